"""The book as files: links, outline, bytes, missing photographs, hostile text, pictures without their camera's data."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import html5lib
import pytest
from PIL import Image
from pypdf import PdfReader

from reports.book import Book, MissingPhoto, make
from tests.reports import sample
from tests.reports.reading import squeeze, text_of_pdf

HOSTILE = "<script>alert(1)</script> & \"quote' ]]> \x00\x07\u202eabc 😀 {{ 7*7 }} " + "w" * 400


#: The scripts of the site, by what their element says; anything else came out of a record.
OURS = {"viewer.js", "search.js", "search-index.js", "search/minisearch.js", "application/ld+json"}


def scripts(page: str) -> set[str]:
    """What the script elements of a page name, by html5lib, an independent parser."""
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    return {element.get("src") or element.get("type") or "inline" for element in tree.iter("script")}


def test_every_link_leads_somewhere(book: Book, pages: dict[str, str]) -> None:
    assert book.site
    ids = {name: set(re.findall(r'\sid="([^"]+)"', page)) for name, page in pages.items()}
    for name, page in pages.items():
        for target in re.findall(r'(?:href|src)="([^"]+)"', page):
            file, _, anchor = target.partition("#")
            assert (book.site.parent / (file or name)).is_file(), f"{name}: {target}"
            assert not anchor or anchor in ids[file or name], f"{name}: {target}"
        for target in re.findall(r'srcset="([^"]+)"', page):
            assert all((book.site.parent / part.split()[0]).is_file() for part in target.split(", "))


def test_ids_are_unique_on_each_page(pages: dict[str, str]) -> None:
    for name, page in pages.items():
        ids = re.findall(r'\sid="([^"]+)"', page)
        assert len(ids) == len(set(ids)), name


def test_pages_are_valid_html(pages: dict[str, str]) -> None:
    """Judge: html5lib's strict parser, which follows the HTML standard's parsing rules."""
    for page in pages.values():
        html5lib.HTMLParser(strict=True).parse(page)


def test_the_site_needs_no_network(pages: dict[str, str], book: Book) -> None:
    assert book.site
    style = (book.site.parent / "style.css").read_text()
    assert not any(re.search(r'(?:src|href)="(?:https?:)?//', page) for page in pages.values())
    assert "http" not in re.sub(r"/\*.*?\*/", "", style)


def test_outline_names_the_sections_in_order(book: Book, pages: dict[str, str]) -> None:
    assert book.pdf
    reader = PdfReader(book.pdf)
    titles = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    headings = re.findall(r'<li(?: class="part")?><a href="[^"]+">([^<]+)</a>', pages["index.html"])
    of_the_site_alone = ["Day by day", "Search this book"]
    assert [*titles, *of_the_site_alone] == ["Contents", *headings]
    assert len(reader.pages) == book.pages


def test_contents_give_the_real_page(book: Book) -> None:
    assert book.pdf
    reader = PdfReader(book.pdf)
    contents = reader.pages[1].extract_text()
    for entry in (entry for entry in reader.outline if not isinstance(entry, list) and entry.title != "Contents"):
        page = (reader.get_destination_page_number(entry) or 0) + 1
        assert re.search(rf"{re.escape(entry.title[:20])}[^\n]*?[ .]{page}\s", contents + "\n"), entry.title


def test_same_input_same_bytes(tmp_path: Path, photos: Path) -> None:
    made = [make(sample.document(), sample.ANSWER, sample.VOCABULARY, photos, tmp_path / name) for name in ("one", "two")]
    first, second = ({file.relative_to(book.out): file.read_bytes() for file in book.out.rglob("*") if file.is_file()} for book in made)
    assert first == second


def test_the_other_paper(tmp_path: Path, photos: Path) -> None:
    made = make(sample.document(photos=[]), sample.ANSWER, sample.VOCABULARY, photos, tmp_path / "a4", paper="a4", site=False)
    assert made.pdf
    box = PdfReader(made.pdf).pages[0].mediabox
    # ISO 216: A4 is 210 by 297 mm.
    assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx((210, 297), abs=0.1)
    assert made.site is None
    assert sorted(file.name for file in made.out.iterdir()) == ["book.pdf", "glovebox.html", "glovebox.pdf"]


def test_unknown_paper_is_refused(tmp_path: Path, photos: Path) -> None:
    with pytest.raises(ValueError, match="'foolscap' is none of letter, a4"):
        make(sample.document(), sample.ANSWER, sample.VOCABULARY, photos, tmp_path / "x", paper="foolscap")


@pytest.mark.parametrize("file", ["photos/lost.jpg", "../outside.jpg", ""])
def test_a_missing_photo_leaves_nothing_behind(file: str, tmp_path: Path, photos: Path) -> None:
    (tmp_path / "outside.jpg").write_bytes((photos / "photos/bar.jpg").read_bytes())
    document = sample.document(photos=[*sample.DOCUMENT["photos"], {"id": "f-lost", "file": file}])
    with pytest.raises(MissingPhoto, match="f-lost") as caught:
        make(document, sample.ANSWER, sample.VOCABULARY, photos, tmp_path / "books" / "lost")
    assert (caught.value.record, caught.value.file) == ("f-lost", file)
    assert not (tmp_path / "books").exists()


def test_a_file_that_is_no_picture_is_refused(tmp_path: Path) -> None:
    (tmp_path / "note.jpg").write_text("not a picture")
    with pytest.raises(MissingPhoto, match="no picture"):
        make(sample.document(photos=[{"id": "f-note", "file": "note.jpg"}]), sample.ANSWER, sample.VOCABULARY, tmp_path, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_what_else_lies_in_the_folder_stays(tmp_path: Path, photos: Path) -> None:
    out = tmp_path / "mine"
    out.mkdir()
    (out / "letter.txt").write_text("keep me")
    make(sample.document(photos=[]), sample.ANSWER, sample.VOCABULARY, photos, out, pdf=False)
    assert (out / "letter.txt").read_text() == "keep me"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["mine"]


def test_pictures_lose_camera_and_position(book: Book) -> None:
    assert book.site
    files = list((book.site.parent / "photos").glob("*.jpg"))
    assert files
    for file in files:
        with Image.open(file) as image:
            assert not image.getexif()
        assert b"Camera Of Somebody" not in file.read_bytes()


def test_pictures_keep_their_shape(book: Book) -> None:
    assert book.site
    sizes = {file.stem.rsplit("-", 1)[0]: Image.open(file).size for file in (book.site.parent / "photos").glob("*-l.jpg")}
    assert sizes == {"f-cover": (800, 600), "f-bar": (600, 800), "f-mount": (700, 500), "f-dash": (640, 480)}


def test_hostile_text_stays_text(tmp_path: Path, photos: Path) -> None:
    document = sample.document()
    for name in ("parts", "fixes", "fasteners", "drives", "tasks", "photos"):
        for record in document[name]:
            record.update({key: HOSTILE for key, value in record.items()
                           if isinstance(value, str) and key not in ("id", "kind", "file", "status", "system", "fact", "position", "of")})
    answer = {**sample.ANSWER, "results": [{**result, "summary": HOSTILE, "title": HOSTILE} for result in sample.ANSWER["results"]]}
    made = make(document, answer, sample.VOCABULARY, photos, tmp_path / "hostile")
    assert made.site
    assert made.pdf
    for file in made.site.parent.glob("*.html"):
        page = file.read_text(encoding="utf-8")
        assert scripts(page) <= OURS
        html5lib.HTMLParser(strict=True).parse(page)
        assert "49 w" not in page
        assert "\u202e" not in page
    assert squeeze("<script>alert(1)</script> &") in squeeze(text_of_pdf(made.pdf))


def test_reports_import_nothing_of_service() -> None:
    code = "import sys, reports.book, reports.pdf, reports.site; sys.exit(any(m == 'service' or m.startswith('service.') for m in sys.modules))"
    assert subprocess.run([sys.executable, "-c", code], check=False, cwd=Path(__file__).parents[2]).returncode == 0
