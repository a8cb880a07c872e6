"""The PDF as an archive file: both standards by an independent checker, the record inside it, dates of the record, nothing by the clock."""

from __future__ import annotations

import json
import subprocess
import zlib
from hashlib import sha256
from pathlib import Path
from typing import Any

import page
import pikepdf
import pytest
from pypdf import PdfReader

from reports import embedded
from reports.book import Book, make
from reports.conformance import UNDATED, latest_day
from tests.reports import sample

#: Level A of PDF/A-3 is level U, and tags besides.
PROFILES = ("3a", "ua1")


def failures(file: Path, profile: str) -> list[str]:
    """What the checker (page-validation, which passes the veraPDF test corpus) finds wrong."""
    return [f"{failure.rule_id}: {failure.message}" for failure in page.validate_pdf(file, profile=profile).failures]


@pytest.mark.parametrize("profile", PROFILES)
def test_the_book_is_an_archive_file_and_accessible(book: Book, profile: str) -> None:
    """ISO 19005-3:2012 level A, ISO 14289-1:2014."""
    assert book.pdf
    assert failures(book.pdf, profile) == []


def test_the_checker_would_notice(book: Book, tmp_path: Path) -> None:
    assert book.pdf
    with pikepdf.open(book.pdf) as pdf:
        del pdf.Root.Metadata
        pdf.save(tmp_path / "bare.pdf")
    assert all(failures(tmp_path / "bare.pdf", profile) for profile in PROFILES)


def test_the_files_inside_are_the_record_and_the_answer(book: Book) -> None:
    """Read by pypdf, which knows nothing of this program."""
    assert book.pdf
    attached = {name: data[0] for name, data in PdfReader(book.pdf).attachments.items()}
    assert json.loads(attached["build.json"]) == sample.document()
    assert json.loads(attached["answer.json"]) == sample.ANSWER
    lines = attached["sha256sums.txt"].decode().splitlines()
    assert lines == [f"{sha256(attached[name]).hexdigest()}  {name}" for name in ("build.json", "answer.json")]


def test_the_files_inside_say_what_they_are(book: Book) -> None:
    """PDF/A-3 wants of each file its kind, its relation to the document, and its date: here the last day in the record."""
    assert book.pdf
    with pikepdf.open(book.pdf) as pdf:
        entries = {str(entry.UF): entry for entry in pdf.Root.AF}
        assert {name: str(entry.AFRelationship) for name, entry in entries.items()} == {
            "build.json": "/Source", "answer.json": "/Data", "sha256sums.txt": "/Supplement"}
        assert {str(entry.EF.F.Subtype) for entry in entries.values()} == {"/application/json", "/text/plain"}
        assert {str(entry.EF.F.Params.ModDate) for entry in entries.values()} == {"D:20260509000000Z"}
        assert str(pdf.docinfo["/Title"]) == "1963 Quellmark Brant"


def test_the_date_is_the_last_day_of_the_record() -> None:
    assert latest_day({"a": ["2026-03-02T10:00:00-05:00", {"b": "2026-12-01"}], "c": "9999-99-99"}) == "2026-12-01"
    assert latest_day({"note": "on 2026-03-02"}) == UNDATED


def test_every_stream_ends_where_it_says(book: Book, tmp_path: Path, photos: Path) -> None:
    """A packed stream that ends with a carriage return would be read one byte short; qpdf's own check and ours over the raw bytes."""
    assert book.pdf
    assert b"\r\nendstream" not in book.pdf.read_bytes()
    assert subprocess.run(["qpdf", "--check", str(book.pdf)], check=False, capture_output=True).returncode == 0


def test_a_stream_that_ends_badly_is_packed_anew() -> None:
    from reports import conformance

    content = next(text for text in (b"%d" % number for number in range(100000)) if zlib.compress(text).endswith(b"\r"))
    with pikepdf.new() as pdf:
        stream = pikepdf.Stream(pdf, b"")
        stream.write(zlib.compress(content), filter=pikepdf.Name.FlateDecode)
        conformance._repack(stream)
        assert stream.read_bytes() == content
        assert not stream.read_raw_bytes().endswith(b"\r")


def test_the_record_comes_out_again(book: Book) -> None:
    assert book.pdf
    assert embedded.document(book.pdf) == sample.document()


@pytest.mark.parametrize(("change", "words"), [
    (lambda pdf: pdf.attachments.__delitem__("build.json"), "carries no build document"),
    (lambda pdf: pdf.attachments.__delitem__("sha256sums.txt"), "no checksum"),
    (lambda pdf: pdf.Root.AF[0].EF.F.write(b'{"car": {}}'), "does not match its SHA-256"),
])
def test_a_record_that_cannot_be_trusted_is_refused(change: Any, words: str, book: Book, tmp_path: Path) -> None:
    assert book.pdf
    with pikepdf.open(book.pdf) as pdf:
        change(pdf)
        pdf.save(tmp_path / "changed.pdf")
    with pytest.raises(embedded.NoRecord, match=words):
        embedded.document(tmp_path / "changed.pdf")


def test_what_is_no_pdf_is_refused(tmp_path: Path) -> None:
    (tmp_path / "book.pdf").write_text("a letter")
    with pytest.raises(embedded.NoRecord, match="no PDF"):
        embedded.document(tmp_path / "book.pdf")


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_car_of_three_records_too(paper: str, tmp_path: Path, photos: Path) -> None:
    small: dict[str, Any] = {"format": "as-fitted/build/1", "car": {"make": "Quellmark", "model": "Brant", "year": 1963}, "build": {"use": "street"},
                             "parts": sample.DOCUMENT["parts"][:1], "fixes": sample.DOCUMENT["fixes"], "drives": sample.DOCUMENT["drives"]}
    made = make(small, {}, sample.VOCABULARY, photos, tmp_path / "small", site=False, paper=paper)
    assert made.pdf
    assert [failures(made.pdf, profile) for profile in PROFILES] == [[], []]
