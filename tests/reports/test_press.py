"""The book printed in parts: bound so that nobody notices, and what has not changed is not set again."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import page
import pikepdf
import pytest
from pypdf import PdfReader

from reports import kept, press, setting
from reports.book import Book, make
from tests.reports import sample


def made(out: Path, photos: Path, **options: Any) -> Path:
    document = options.pop("document", None) or sample.document()
    book = make(document, sample.ANSWER, sample.VOCABULARY, photos, out, site=False, **options)
    assert book.pdf
    return book.pdf


@pytest.fixture
def set_parts(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the parts set in this process, in their order."""
    names: list[str] = []
    lay_out = setting.lay_out

    def noted(key: str, *rest: Any) -> Any:
        names.append(key)
        return lay_out(key, *rest)

    monkeypatch.setattr(setting, "lay_out", noted)
    return names


def test_one_caption_changed(tmp_path: Path, photos: Path, set_parts: list[str]) -> None:
    kept = tmp_path / "kept"
    made(tmp_path / "first", photos, kept=kept)
    every = list(set_parts)
    assert len(every) == len(set(every)) > 5
    set_parts.clear()
    document = sample.document()
    document["photos"] = [{**photo, "caption": "The dash, after all."} if photo["id"] == "f-dash" else photo for photo in document["photos"]]
    changed = made(tmp_path / "changed", photos, document=document, kept=kept)
    assert [key.partition("-")[0] for key in set_parts] == ["photographs"]
    set_parts.clear()
    assert changed.read_bytes() == made(tmp_path / "anew", photos, document=document).read_bytes()
    assert set_parts == every


def test_nothing_changed_nothing_set(tmp_path: Path, photos: Path, set_parts: list[str]) -> None:
    first = made(tmp_path / "first", photos, kept=tmp_path / "kept")
    set_parts.clear()
    assert made(tmp_path / "second", photos, kept=tmp_path / "kept").read_bytes() == first.read_bytes()
    assert set_parts == []


def test_a_part_that_grows_moves_the_others(tmp_path: Path, photos: Path) -> None:
    """Page numbers of parts that were kept are those of the new book."""
    kept = tmp_path / "kept"
    made(tmp_path / "first", photos, kept=kept)
    document = sample.document()
    document["fixes"] = [{**document["fixes"][0], "id": f"x-{number}", "problem": "A drone at fifty. " * 60} for number in range(8)]
    longer = made(tmp_path / "longer", photos, document=document, kept=kept)
    assert longer.read_bytes() == made(tmp_path / "anew", photos, document=document).read_bytes()


def test_two_processes_print_what_one_prints(tmp_path: Path, photos: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    alone = made(tmp_path / "alone", photos)
    monkeypatch.setattr(press, "LARGE", 0)
    asked: list[str] = []
    ask = press.Helper.ask
    monkeypatch.setattr(press.Helper, "ask", lambda self, work, order: (asked.append(work), ask(self, work, order))[1])
    assert made(tmp_path / "both", photos).read_bytes() == alone.read_bytes()
    assert set(asked) == {"set_part", "print_part"}


def test_a_second_process_that_dies_is_told(tmp_path: Path, photos: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(press, "LARGE", 0)
    monkeypatch.setattr(press, "_HELPER", "raise SystemExit(3)")
    with pytest.raises((RuntimeError, BrokenPipeError)):
        made(tmp_path / "book", photos)
    assert list(tmp_path.iterdir()) == []


def test_a_damaged_note_is_made_again(tmp_path: Path, photos: Path) -> None:
    first = made(tmp_path / "first", photos, kept=tmp_path / "kept")
    for note in (tmp_path / "kept" / "parts").glob("*.json"):
        note.write_text("{", encoding="utf-8")
    assert made(tmp_path / "second", photos, kept=tmp_path / "kept").read_bytes() == first.read_bytes()


def test_little_used_parts_go(tmp_path: Path, photos: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made(tmp_path / "first", photos, kept=tmp_path / "kept")
    parts = tmp_path / "kept" / "parts"
    old, new = sorted(parts.glob("*.pdf"))[:2]
    for file in parts.iterdir():
        os.utime(file, (1e9, 1e9 + (file == new)))
    kept.tidy(parts, most=new.stat().st_size + 1, linger=kept.LINGER)
    assert list(parts.iterdir()) == [new] and old != new


def test_what_was_just_used_stays(tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / name).write_bytes(b"x" * 10)
    kept.tidy(tmp_path, most=1)
    assert len(list(tmp_path.iterdir())) == 2
    kept.tidy(tmp_path, most=1, linger=-1.0)
    assert list(tmp_path.iterdir()) == []


def targets(pdf: pikepdf.Pdf) -> dict[str, int]:
    """The page of each named place."""
    pages = {item.obj.objgen: number for number, item in enumerate(pdf.pages, 1)}
    names = list(pdf.Root.Names.Dests.Names)
    assert names[::2] == sorted(names[::2], key=bytes)
    return {str(name): pages[found[0].objgen] for name, found in zip(names[::2], names[1::2], strict=True)}


def test_every_link_leads_to_its_page(book: Book) -> None:
    assert book.pdf
    with pikepdf.open(book.pdf) as pdf:
        known = targets(pdf)
        links = [link for sheet in pdf.pages for link in sheet.get("/Annots", []) if link.Subtype == "/Link"]
        assert len(links) > 20
        assert all("/A" not in link and str(link.Dest) in known for link in links)


def test_page_numbers_in_the_text_are_those_of_the_links(book: Book) -> None:
    """Each cross-reference: the number printed beside it is the page its link leads to."""
    assert book.pdf
    with pikepdf.open(book.pdf) as pdf:
        known = targets(pdf)
        linked = [[known[str(link.Dest)] for link in sheet.get("/Annots", [])] for sheet in pdf.pages]
    found = 0
    for sheet, pages in zip(PdfReader(book.pdf).pages, linked, strict=True):
        for number in re.findall(r",\s?page\s(\d+)", sheet.extract_text()):
            assert int(number) in pages
            found += 1
    assert found >= 2


def test_every_page_says_its_number_and_no_placeholder_is_left(book: Book) -> None:
    assert book.pdf
    for number, sheet in enumerate(PdfReader(book.pdf).pages, 1):
        text = sheet.extract_text()
        assert not re.search(r"(?<![\d,.])000(?!\d)", text)
        assert number < 3 or re.search(rf"(?m)^\s*{number}\s*$", text), number


def test_table_headers_are_named_once(book: Book) -> None:
    assert book.pdf
    with pikepdf.open(book.pdf) as pdf:
        names = [str(item.ID) for item in pdf.objects if isinstance(item, pikepdf.Dictionary) and item.get("/S") == "/TH"]
    assert len(names) == len(set(names)) > 10


def test_the_running_head_names_book_and_section_on_every_page(book: Book) -> None:
    assert book.pdf
    for sheet in list(PdfReader(book.pdf).pages)[2:]:
        assert "1963 Quellmark Brant" in sheet.extract_text()


def test_large_books_are_divided_and_still_pass(tmp_path: Path, photos: Path, set_parts: list[str]) -> None:
    results = [{**sample.ANSWER["results"][0], "check": f"driveline.check_{number}", "title": f"Check number {number}"} for number in range(20)]
    results += [{**result, "system": "suspension", "check": result["check"].replace("driveline", "suspension")} for result in results]
    answer = {**sample.ANSWER, "results": [{**result, "series": None} for result in results]}
    document = sample.document()
    document["photos"] = [{**document["photos"][3], "id": f"f-{number}", "of": []} for number in range(40)]
    book = make(document, answer, sample.VOCABULARY, photos, tmp_path / "large", site=False)
    assert {"findings-1", "findings-2", "photographs-1", "photographs-2"} <= set(set_parts)
    assert book.pdf
    assert [page.validate_pdf(book.pdf, profile=profile).failures for profile in ("3a", "ua1")] == [[], []]
    titles = [entry.title for entry in PdfReader(book.pdf).outline if not isinstance(entry, list)]
    assert titles.count("What was checked") == titles.count("Photographs") == 1
