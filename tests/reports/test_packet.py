"""The packet: everything in it, checksums that hold, the same bytes twice, nothing of the shop in the owner's."""

from __future__ import annotations

import json
import re
import subprocess
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import html5lib
import pytest
from PIL import Image

from reports import packet
from reports.answer import Answer
from reports.book import MissingPaper, make
from reports.document import Document
from reports.embedded import Record
from reports.source import Source
from reports.theme import Theme
from reports.vocabulary import Vocabulary
from tests.reports import sample

PAPERS = [{"id": "a-1", "file": "papers/slip.pdf", "title": "Weigh slip of the coast road scale", "kind": "weight slip", "edition": "owner"},
          {"id": "a-3", "file": "papers/card.jpg", "title": "Warranty <card>", "kind": "warranty", "edition": "owner"},
          {"id": "a-2", "file": "papers/bill.pdf", "title": "Bill nobody else should read", "kind": "receipt", "edition": "shop"}]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Photographs and papers; the photographed paper carries its camera's data."""
    folder = sample.photo_folder(tmp_path_factory.mktemp("packet"))
    (folder / "papers").mkdir()
    (folder / "papers/slip.pdf").write_bytes(b"%PDF-1.4 slip")
    (folder / "papers/bill.pdf").write_bytes(b"%PDF-1.4 bill")
    (folder / "papers/card.jpg").write_bytes((folder / "photos/bar.jpg").read_bytes())
    return folder


@pytest.fixture(scope="module")
def packed(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = make(sample.document(papers=PAPERS), sample.ANSWER, sample.VOCABULARY, folder, tmp_path_factory.mktemp("packed") / "book", packet=True)
    assert made.packet
    return made.packet


def test_everything_is_in_it(packed: Path) -> None:
    names = ZipFile(packed).namelist()
    assert names[0] == "index.html"
    assert {"book.pdf", "glovebox.pdf", "glovebox.html", "site/index.html", "build.json", "answer.json", "sha256sums.txt",
            "papers/01-weigh-slip-of-the-coast-road-scale.pdf"} <= set(names)
    assert len([name for name in names if name.startswith("photos/")]) == 4
    assert len(names) == len(set(names))


def test_the_checksums_hold(packed: Path, tmp_path: Path) -> None:
    """Judges: unzip and sha256sum of the system."""
    assert subprocess.run(["unzip", "-q", str(packed), "-d", str(tmp_path)], check=False).returncode == 0
    checked = subprocess.run(["sha256sum", "--check", "--strict", "sha256sums.txt"], cwd=tmp_path, check=False, capture_output=True, text=True)
    assert checked.returncode == 0
    assert len(checked.stdout.splitlines()) == len(ZipFile(packed).namelist()) - 1


def test_the_start_page_leads_to_what_is_there(packed: Path) -> None:
    with ZipFile(packed) as zipped:
        page = zipped.read("index.html").decode()
        targets = re.findall(r'href="([^"]+)"', page)
        assert len(targets) >= 9
        assert all(any(name == target or (target.endswith("/") and name.startswith(target)) for name in zipped.namelist()) for target in targets)
        html5lib.HTMLParser(strict=True).parse(page)
        assert "Warranty &lt;card&gt;" in page


def test_nothing_of_the_shop_is_in_the_owners(packed: Path) -> None:
    with ZipFile(packed) as zipped:
        assert not any("bill" in name for name in zipped.namelist())
        assert all(b"Bill nobody" not in zipped.read(name) and b"Merrow Street" not in zipped.read(name) for name in zipped.namelist())
        assert json.loads(zipped.read("build.json"))["papers"] == PAPERS[:2]


def test_photographed_papers_lose_their_cameras_data(packed: Path) -> None:
    with ZipFile(packed) as zipped:
        name = next(name for name in zipped.namelist() if name.startswith("papers/02-"))
        with Image.open(BytesIO(zipped.read(name))) as image:
            assert image.size == (600, 800)
            assert not image.getexif()


def repacked(made: Path, folder: Path, out: Path) -> bytes:
    source = Source(Document.of(sample.document(papers=PAPERS)), Answer.of({}), Vocabulary({}), whole=True)
    packet.write(source, Theme.load(), made, folder, out, "2026-05-09", Record({}, {}))
    return out.read_bytes()


def test_same_input_same_bytes(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "made" / "site").mkdir(parents=True)
    (tmp_path / "made" / "site" / "index.html").write_text("page")
    (tmp_path / "made" / "book.pdf").write_bytes(b"%PDF")
    first = repacked(tmp_path / "made", folder, tmp_path / "one.zip")
    (tmp_path / "made" / "book.pdf").touch()
    assert repacked(tmp_path / "made", folder, tmp_path / "two.zip") == first
    assert {entry.date_time[:3] for entry in ZipFile(tmp_path / "one.zip").infolist()} == {(2026, 5, 9)}


@pytest.mark.parametrize("file", ["papers/none.pdf", "../slip.pdf", ""])
def test_a_missing_paper_leaves_nothing_behind(file: str, folder: Path, tmp_path: Path) -> None:
    document = sample.document(papers=[{"id": "a-9", "file": file, "edition": "owner"}])
    with pytest.raises(MissingPaper, match="a-9"):
        make(document, sample.ANSWER, sample.VOCABULARY, folder, tmp_path / "books" / "x", packet=True)
    assert not (tmp_path / "books").exists()


def test_a_paper_that_is_neither_pdf_nor_picture(folder: Path, tmp_path: Path) -> None:
    (folder / "papers/letter.txt").write_text("Dear")
    document = Document.of(sample.document(papers=[{"id": "a-9", "file": "papers/letter.txt", "edition": "owner"}]))
    (tmp_path / "made").mkdir()
    with pytest.raises(MissingPaper, match="neither PDF nor a picture"):
        packet.write(Source(document, Answer.of({}), Vocabulary({})), Theme.load(), tmp_path / "made", folder, tmp_path / "p.zip", "2026-05-09", Record({}, {}))
