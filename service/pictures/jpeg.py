"""The segments of a JPEG file (ITU-T T.81, annex B): how many scans it has, and a copy without what cameras say of people and places."""

from __future__ import annotations

import re
from collections.abc import Iterator

from service.pictures import color, exif

_SOI, _EOI, _SOS = 0xD8, 0xD9, 0xDA
_APP0, _APP2, _APP14, _APP15, _COMMENT = 0xE0, 0xE2, 0xEE, 0xEF, 0xFE
_PROGRESSIVE = frozenset({0xC2, 0xC6, 0xCA, 0xCE})
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
#: Markers without a length: restarts and TEM.
_ALONE = frozenset({0x01, *range(0xD0, 0xD8)})
#: The end of coded data: FF that is neither stuffed, nor a restart, nor a fill byte.
_MARKER = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]")
_PROFILE = b"ICC_PROFILE\x00"
_PROFILE_PIECE = 65519


def segments(data: bytes) -> Iterator[tuple[int, int, int]]:
    """Marker, start and end of each segment up to the end of the first picture; coded data follow their scan under the marker 0.

    Raises ValueError where there is no marker or a segment runs over the end.
    """
    at = 2
    while at < len(data):
        if data[at] != 0xFF:
            raise ValueError("no marker where one belongs")
        while at + 1 < len(data) and data[at + 1] == 0xFF:
            at += 1
        marker = data[at + 1] if at + 1 < len(data) else _EOI
        if marker in _ALONE or marker == _EOI:
            end = at + 2
        else:
            end = at + 2 + int.from_bytes(data[at + 2:at + 4], "big")
            if end > len(data) or end < at + 4:
                raise ValueError("a segment runs over the end")
        yield marker, at, end
        if marker == _EOI:
            return
        at = end
        if marker == _SOS:
            found = _MARKER.search(data, end)
            at = found.start() if found else len(data)
            yield 0, end, at


def scans(data: bytes, most: int) -> int:
    """How many scans a decoder has to go through: counted up to one more than `most`. A file that is broken counts as it begins."""
    count, progressive, parts = 0, False, 0
    try:
        for marker, start, _ in segments(data):
            if marker in _FRAMES:
                progressive, parts = marker in _PROGRESSIVE, data[start + 9]
            if marker == _SOS:
                count += 1
                if count > most or (not progressive and data[start + 4] == parts):
                    return count
    except (ValueError, IndexError):
        return count
    return count


def bare(data: bytes, orientation: int) -> bytes:
    """The same picture, coded as it was, with nothing but what decodes, colors and turns it. Raises ValueError."""
    kept = [b"\xff\xd8"]
    if orientation != 1:
        kept.append(_segment(0xE1, b"Exif\x00\x00" + exif.turned(orientation)))
    profile: dict[int, bytes] = {}
    rest: list[bytes] = []
    for marker, start, end in segments(data):
        if marker == _APP2 and data.startswith(_PROFILE, start + 4):
            profile[data[start + 16]] = data[start + 18:end]
        elif marker == _APP0 and data.startswith(b"JFIF\x00", start + 4):
            rest.append(_segment(_APP0, data[start + 4:start + 16].ljust(12, b"\x00") + b"\x00\x00"))
        elif marker == _APP14 or not (_APP0 <= marker <= _APP15 or marker == _COMMENT):
            rest.append(data[start:end])
    if not rest or rest[-1][:2] != b"\xff\xd9":
        rest.append(b"\xff\xd9")
    colors = color.bare(b"".join(profile[number] for number in sorted(profile)))
    pieces = [colors[at:at + _PROFILE_PIECE] for at in range(0, len(colors), _PROFILE_PIECE)]
    kept += [_segment(_APP2, _PROFILE + bytes((number, len(pieces))) + piece) for number, piece in enumerate(pieces, 1)]
    return b"".join([*kept, *rest])


def _segment(marker: int, content: bytes) -> bytes:
    return bytes((0xFF, marker)) + (len(content) + 2).to_bytes(2, "big") + content
