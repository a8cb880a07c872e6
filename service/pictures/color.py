"""Color profiles (ICC.1:2022): what says how colors look, without who made the profile and when."""

from __future__ import annotations

import struct

#: Tags that colors are computed from (ICC.1:2022, 9.2).
_KEPT = frozenset({b"wtpt", b"bkpt", b"chad", b"rXYZ", b"gXYZ", b"bXYZ", b"rTRC", b"gTRC", b"bTRC", b"kTRC", b"cicp", b"lumi",
                   b"A2B0", b"A2B1", b"A2B2", b"B2A0", b"B2A1", b"B2A2", b"D2B0", b"D2B1", b"B2D0", b"B2D1", b"gamt"})
#: Header fields that say who and when (ICC.1:2022, 7.2): preferred module, date, platform, maker, model, creator, id.
_BLANKED = ((4, 8), (24, 36), (40, 44), (48, 56), (80, 100))
_MOST_TAGS = 100


def bare(profile: bytes) -> bytes:
    """The profile with nothing but what colors are computed from; nothing when it is no profile."""
    if len(profile) < 132 or profile[36:40] != b"acsp":
        return b""
    count = int.from_bytes(profile[128:132], "big")
    if count > _MOST_TAGS or len(profile) < 132 + 12 * count:
        return b""
    table = [struct.unpack_from(">4sII", profile, 132 + 12 * index) for index in range(count)]
    tags = {name: profile[at:at + size] for name, at, size in table if name in _KEPT and at + size <= len(profile)}
    if not tags:
        return b""
    tags.update({b"desc": _text("colors of the picture", profile[8]), b"cprt": _text("no copyright", profile[8])})
    return _written(_blank(profile[:128]), tags)


def _blank(header: bytes) -> bytearray:
    found = bytearray(header)
    for start, end in _BLANKED:
        found[start:end] = bytes(end - start)
    return found


def _text(words: str, version: int) -> bytes:
    """A description as profiles of version 4 (multiLocalizedUnicodeType) or 2 (textDescriptionType) hold it."""
    if version >= 4:
        wide = words.encode("utf-16-be")
        return b"mluc" + struct.pack(">IIIHHII", 0, 1, 12, 0x656E, 0x5553, len(wide), 28) + wide
    plain = words.encode("ascii") + b"\x00"
    return b"desc" + struct.pack(">II", 0, len(plain)) + plain + bytes(8 + 3 + 67)


def _written(header: bytearray, tags: dict[bytes, bytes]) -> bytes:
    table, bodies = [], []
    at = 132 + 12 * len(tags)
    for name, body in tags.items():
        table.append(struct.pack(">4sII", name, at, len(body)))
        padded = body + bytes(-len(body) % 4)
        bodies.append(padded)
        at += len(padded)
    header[0:4] = at.to_bytes(4, "big")
    return bytes(header) + len(tags).to_bytes(4, "big") + b"".join(table) + b"".join(bodies)
