"""Nothing on a printed page leaves it: every letter and every picture lies inside the margins, whatever the car."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import page
import pypdfium2
import pypdfium2.raw as raw
import pytest

from reports import qr
from reports.book import Book, make
from reports.document import Photo
from reports.photos import Picture, Size
from reports.sections import photographs
from tests.reports import sample
from tests.reports.reading import squeeze, text_of_pdf

#: Margins of the style, in points, less two for letters that lean out.
LEFT, RIGHT, TOP, BOTTOM = 72 - 2, 54 - 2, 24, 24
#: Letters without a picture of their own are placed but not seen.
BLANK = frozenset(" \u00a0\u200b\u202f\n\r\t\u00ad")
LONG = "w" * 4000


def outside(file: Path) -> Iterator[str]:
    """What lies outside the margins, read by pdfium, which knows nothing of how the page was set."""
    document = pypdfium2.PdfDocument(file)
    for number in range(1, len(document)):
        sheet = document[number]
        width, height = sheet.get_size()
        text = sheet.get_textpage()
        letters = text.get_text_range()
        boxes = [(letters[index] if index < len(letters) else "?", text.get_charbox(index)) for index in range(0, text.count_chars(), 7)]
        boxes += [("picture", item.get_bounds()) for item in sheet.get_objects(filter=[raw.FPDF_PAGEOBJ_IMAGE])]
        for what, (left, bottom, right, top) in boxes:
            if what not in BLANK and right - left > 0.1 and not (left >= LEFT and right <= width - RIGHT and bottom >= BOTTOM and top <= height - TOP):
                yield f"page {number + 1}: {what!r} at {left:.0f} {bottom:.0f} {right:.0f} {top:.0f}"


def test_the_sample_stays_inside(book: Book) -> None:
    assert book.pdf
    assert list(outside(book.pdf)) == []


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_long_words_everywhere_stay_inside(paper: str, tmp_path: Path, photos: Path) -> None:
    document: dict[str, Any] = sample.document()
    kept = {"id", "kind", "file", "status", "system", "fact", "position", "of", "edition", "supersedes"}
    for name in ("parts", "fixes", "fasteners", "drives", "tasks", "signoffs", "measurements", "papers"):
        for record in document[name][:1]:
            record.update({key: f"{value} {LONG if key in ('notes', 'problem') else 'w' * 300}" for key, value in record.items() if isinstance(value, str) and key not in kept})
    document["photos"] = [{**photo, "caption": "c" * 300} for photo in document["photos"]]
    made = make(document, sample.ANSWER, sample.VOCABULARY, photos, tmp_path / "long", site=False, paper=paper)
    assert made.pdf
    assert list(outside(made.pdf)) == []


def test_what_is_too_wide_would_be_noticed(tmp_path: Path) -> None:
    from weasyprint import HTML

    HTML(string="<style>@page { size: letter; margin: 1in }</style><p>cover<p style='break-before: page; white-space: nowrap'>" + "wide " * 60).write_pdf(str(tmp_path / "wide.pdf"))
    assert any("page 2" in found for found in outside(tmp_path / "wide.pdf"))


def tables(file: Path) -> Iterator[tuple[int, list[str]]]:
    document = pypdfium2.PdfDocument(file)
    for number in range(len(document)):
        yield number, document[number].get_textpage().get_text_range().splitlines()


def test_tables_repeat_their_heads(tmp_path: Path, photos: Path) -> None:
    """A tightening record of three pages: each of them begins with the names of the columns, and no row is cut in two."""
    joints = [{"id": f"j{n}", "joint": f"joint {n} of the long list", "system": "suspension", "thread": "M10x1.5", "applied_torque": "45 N*m", "tool": f"wrench {n}",
               "by": "Anselm Rook", "recheck_after": "500 mi"} for n in range(90)]
    made = make(sample.document(fasteners=joints), {**sample.ANSWER, "facts": []}, sample.VOCABULARY, photos, tmp_path / "table", site=False)
    assert made.pdf
    sheets = [lines for _, lines in tables(made.pdf) if any("wrench" in line for line in lines)]
    assert len(sheets) >= 3
    for lines in sheets:
        whole = " ".join(lines)
        assert "Joint" in whole and "Recheck" in whole
        assert whole.count("of the long list") == whole.count("wrench")


def test_captions_stay_with_their_photographs(tmp_path: Path, photos: Path) -> None:
    shown = [{**sample.DOCUMENT["photos"][3], "id": f"q{n}", "caption": f"Caption number {n}.", "of": []} for n in range(11)]
    made = make(sample.document(photos=shown), {**sample.ANSWER, "facts": []}, sample.VOCABULARY, photos, tmp_path / "plates", site=False)
    assert made.pdf
    document = pypdfium2.PdfDocument(made.pdf)
    plates = 0
    for number in range(2, len(document)):
        text = document[number].get_textpage().get_text_range()
        pictures = len(list(document[number].get_objects(filter=[raw.FPDF_PAGEOBJ_IMAGE])))
        if "Caption number" in text:
            assert text.count("Caption number") == pictures <= 4
            plates += pictures
    assert plates == 10


def test_a_panorama_has_a_row_of_its_own(tmp_path: Path) -> None:
    sizes = {f"p{n}": (4, 3) for n in range(3)} | {"wide": (20, 7)}
    pictures = [Picture(Photo(key), *(Size("f.jpg", width, height),) * 3) for key, (width, height) in sizes.items()]
    assert [[picture.photo.id for picture in row] for row in photographs.rows(pictures)] == [["p0", "p1"], ["wide"], ["p2"]]


def test_an_address_is_printed_as_a_code_that_can_be_read(tmp_path: Path, photos: Path) -> None:
    address = "https://cars.example/brant-1187?from=book"
    made = make(sample.document(photos=[]), {}, sample.VOCABULARY, photos, tmp_path / "led", site=False, address=address)
    assert made.pdf
    for file in (made.pdf, made.out / "glovebox.pdf"):
        assert "cars.example/brant-1187" in squeeze(text_of_pdf(file))
        assert [page.validate_pdf(file, profile=profile).failures for profile in ("3a", "ua1")] == [[], []]
    assert str(qr.code(address)) in (made.out / "glovebox.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("address", ["cars.example", "javascript:alert(1)", "https://cars.example/a b", "https://cars.example/" + "x" * 300])
def test_what_is_no_address_is_refused(address: str, tmp_path: Path, photos: Path) -> None:
    with pytest.raises(ValueError, match="no web address"):
        make(sample.document(photos=[]), {}, sample.VOCABULARY, photos, tmp_path / "x", address=address)
