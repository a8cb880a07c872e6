"""The record inside the book: the build document and its answer as files in the PDF, and taken out again, checked.

`build.json` is what the book was made from, `answer.json` what the checks found, `history.jsonl` the car's sealed events as the
edition may show them (not in the book of a document that was never kept), `sha256sums.txt` the checksums of these in the form
that common checksum tools read. The PDF alone is enough to restore the record that its edition holds.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import pikepdf

from reports.conformance import Attachment

DOCUMENT, ANSWER, HISTORY, SUMS = "build.json", "answer.json", "history.jsonl", "sha256sums.txt"
#: A document larger than this is no build record; unpacking stops there.
LARGEST = 256 * 1024 * 1024
_SUM = re.compile(r"([0-9a-f]{64})  (\S+)\Z")


class NoRecord(ValueError):
    """The file holds no record that can be trusted; the message says what is wrong with it."""


@dataclass(frozen=True, slots=True)
class Record:
    """What a book was made from: the document, its answer, and the lines of the car's history, if there are any."""

    document: Mapping[str, Any]
    answer: Mapping[str, Any]
    history: str = ""

    @property
    def files(self) -> tuple[Attachment, ...]:
        """The record as files."""
        held = (Attachment(DOCUMENT, "application/json", "Source", "The build document this book was made from", written(self.document)),
                Attachment(ANSWER, "application/json", "Data", "What the checks found", written(self.answer)))
        history = Attachment(HISTORY, "text/plain", "Supplement", "The car's history, each event sealed in the next", self.history.encode())
        return (*held, history) if self.history else held


def files(record: Record) -> tuple[Attachment, ...]:
    """The attachments of a book."""
    sums = "".join(f"{sha256(item.data).hexdigest()}  {item.name}\n" for item in record.files)
    return (*record.files, Attachment(SUMS, "text/plain", "Supplement", "SHA-256 checksums of the attached files", sums.encode()))


def written(value: Mapping[str, Any]) -> bytes:
    """JSON as it is attached: UTF-8, a line for each entry, a line end at the end."""
    return (json.dumps(value, ensure_ascii=False, indent=1) + "\n").encode("utf-8", "backslashreplace")


def document(file: Path) -> dict[str, Any]:
    """The build document that a book carries.

    Raises NoRecord when the file is no PDF, carries no record, or the record does not match its checksum; OSError when the
    file cannot be read.
    """
    held = attached(file, (DOCUMENT, SUMS))
    if DOCUMENT not in held:
        raise NoRecord(f"{file.name} carries no build document ({DOCUMENT}); only a book made by this program does")
    sums = checksums(held.get(SUMS, b""))
    if DOCUMENT not in sums:
        raise NoRecord(f"{file.name} carries a build document but no checksum of it ({SUMS})")
    if sha256(held[DOCUMENT]).hexdigest() != sums[DOCUMENT]:
        raise NoRecord(f"the build document in {file.name} does not match its SHA-256 checksum: the file was damaged or changed")
    try:
        record = json.loads(held[DOCUMENT])
    except ValueError as error:
        raise NoRecord(f"the build document in {file.name} is no JSON: {error}") from error
    if not isinstance(record, dict):
        raise NoRecord(f"the build document in {file.name} is no JSON object")
    return record


def checksums(listed: bytes) -> dict[str, str]:
    """Checksums by file, as `sha256sum` lists them; other lines are passed over."""
    lines = listed.decode("utf-8", "replace").splitlines()
    return {found[2]: found[1] for line in lines if (found := _SUM.match(line))}


def attached(file: Path, names: Iterable[str] = (DOCUMENT, ANSWER, HISTORY, SUMS)) -> dict[str, bytes]:
    """The attached files of these names. Raises NoRecord when the file is no PDF that can be read, OSError."""
    try:
        with pikepdf.open(file) as pdf:
            there = [name for name in names if name in pdf.attachments]
            return {name: _read(pdf.attachments[name].get_file(), name, file) for name in there}
    except (pikepdf.PdfError, pikepdf.DataDecodingError) as error:
        raise NoRecord(f"{file.name} is no PDF that can be read: {error}") from error


def _read(attached: Any, name: str, file: Path) -> bytes:
    if attached.size is not None and attached.size > LARGEST:
        raise NoRecord(f"{name} in {file.name} says that it holds {attached.size} bytes; {LARGEST} is the most that is read")
    data: bytes = attached.read_bytes()
    return data
