"""What a file is by what is in it, and whether it is one thing only and within bounds."""

from __future__ import annotations

import re
import struct
from typing import IO

from service.pictures.jpeg import scans

#: Largest photograph taken in: most phones and cameras stay below (common practice).
MOST_PIXELS = 50_000_000
MOST_BYTES = 40 * 1024 * 1024
#: A progressive JPEG has about ten scans; each costs as much as decoding the whole picture once (common practice).
MOST_SCANS = 100
SUFFIXES = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp", "image/heic": "heic", "application/pdf": "pdf"}
PDF = "application/pdf"
SIZES = ("large", "medium", "small")

_HEIC_BRANDS = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1")
_HEAD = 1024
_PAGE = re.compile(rb"<(?:script|html|!doctype|\?php|svg)\b", re.IGNORECASE)
_ZIP_END = b"PK\x05\x06"
_ZIP_ENTRY = b"PK\x01\x02"
_ZIP_TAIL = 22 + 65535


class BadPicture(ValueError):
    """A file that is no picture or paper that can be taken in; the message says what would be right."""


def media_type(head: bytes) -> str | None:
    """What a file is by its first bytes, whatever it is called; None when it is nothing that is taken in."""
    if head.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "image/webp"
    if head[4:8] == b"ftyp" and head[8:12] in _HEIC_BRANDS:
        return "image/heic"
    return PDF if head.startswith(b"%PDF-") else None


def judge(stream: IO[bytes], kind: str) -> None:
    """Refuse what costs or cheats whoever opens it. Raises BadPicture. The stream is left at its beginning."""
    size = stream.seek(0, 2)
    if size > MOST_BYTES:
        raise BadPicture(f"the file has {size / 2**20:.0f} MB; up to {MOST_BYTES // 2**20} MB are taken in")
    stream.seek(0)
    head = stream.read(_HEAD)
    other = _other_face(stream, head, size, kind)
    if other:
        raise BadPicture(f"the file is a {SUFFIXES[kind].upper()} file and {other} at once; save the picture again by itself and send that")
    stream.seek(0)
    if kind == "image/jpeg":
        count = scans(stream.read(), MOST_SCANS)
        if count > MOST_SCANS:
            raise BadPicture(f"the JPEG file has more than {MOST_SCANS} scans; save it again and send that")
        stream.seek(0)


def _other_face(stream: IO[bytes], head: bytes, size: int, kind: str) -> str | None:
    """What else a file would be taken for by programs that read it another way."""
    if kind != PDF and b"%PDF-" in head:
        return "a PDF"
    if kind != PDF and _PAGE.search(head):
        return "a page with a program in it"
    stream.seek(max(0, size - _ZIP_TAIL))
    return "a ZIP archive" if _ends_as_zip(stream, stream.read()) else None


def _ends_as_zip(stream: IO[bytes], tail: bytes) -> bool:
    """Whether a ZIP archive ends here: its end record, and its first entry where that says (ZIP application note, 4.3.16)."""
    end = tail.rfind(_ZIP_END)
    while end >= 0:
        if len(tail) - end >= 22:
            length = struct.unpack_from("<I", tail, end + 12)[0]
            start = stream.seek(0, 2) - len(tail) + end - length
            if start >= 0:
                stream.seek(start)
                if stream.read(4) == _ZIP_ENTRY:
                    return True
        end = tail.rfind(_ZIP_END, 0, end)
    return False
