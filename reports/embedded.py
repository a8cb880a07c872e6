"""The record inside the book: the build document and its answer as files in the PDF, and taken out again, checked.

`build.json` is what the book was made from, `answer.json` what the checks found, `sha256sums.txt` the checksums of both in
the form that common checksum tools read. The PDF alone is enough to restore the record that its edition holds.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

import pikepdf

from reports.conformance import Attachment

DOCUMENT, ANSWER, SUMS = "build.json", "answer.json", "sha256sums.txt"
#: A document larger than this is no build record; unpacking stops there.
LARGEST = 256 * 1024 * 1024
_SUM = re.compile(r"([0-9a-f]{64})  (\S+)\Z")


class NoRecord(ValueError):
    """The file holds no record that can be trusted; the message says what is wrong with it."""


def files(document: Mapping[str, Any], answer: Mapping[str, Any]) -> tuple[Attachment, ...]:
    """The attachments of a book."""
    record, found = written(document), written(answer)
    sums = "".join(f"{sha256(data).hexdigest()}  {name}\n" for name, data in ((DOCUMENT, record), (ANSWER, found)))
    return (Attachment(DOCUMENT, "application/json", "Source", "The build document this book was made from", record),
            Attachment(ANSWER, "application/json", "Data", "What the checks found", found),
            Attachment(SUMS, "text/plain", "Supplement", "SHA-256 checksums of the attached files", sums.encode()))


def written(value: Mapping[str, Any]) -> bytes:
    """JSON as it is attached: UTF-8, a line for each entry, a line end at the end."""
    return (json.dumps(value, ensure_ascii=False, indent=1) + "\n").encode("utf-8", "backslashreplace")


def document(file: Path) -> dict[str, Any]:
    """The build document that a book carries.

    Raises NoRecord when the file is no PDF, carries no record, or the record does not match its checksum; OSError when the
    file cannot be read.
    """
    held = _held(file)
    if DOCUMENT not in held:
        raise NoRecord(f"{file.name} carries no build document ({DOCUMENT}); only a book made by this program does")
    lines = held.get(SUMS, b"").decode("ascii", "replace").splitlines()
    sums = {found[2]: found[1] for line in lines if (found := _SUM.match(line))}
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


def _held(file: Path) -> dict[str, bytes]:
    """The attached files of our names."""
    try:
        with pikepdf.open(file) as pdf:
            names = [name for name in (DOCUMENT, SUMS) if name in pdf.attachments]
            return {name: _read(pdf.attachments[name].get_file(), name, file) for name in names}
    except (pikepdf.PdfError, pikepdf.DataDecodingError) as error:
        raise NoRecord(f"{file.name} is no PDF that can be read: {error}") from error


def _read(attached: Any, name: str, file: Path) -> bytes:
    if attached.size is not None and attached.size > LARGEST:
        raise NoRecord(f"{name} in {file.name} says that it holds {attached.size} bytes; {LARGEST} is the most that is read")
    data: bytes = attached.read_bytes()
    return data
