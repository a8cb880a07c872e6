"""PNG and WebP files as chunks: a copy without what programs say of people and places."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator

from service.pictures import color, exif

_PNG = b"\x89PNG\r\n\x1a\n"
#: Chunks that the pixels and their colors are made of (PNG specification, third edition, 11).
_PNG_KEPT = frozenset({b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"sBIT", b"cICP", b"bKGD", b"pHYs"})
_WEBP_KEPT = frozenset({b"VP8 ", b"VP8L", b"ALPH"})
#: What the extended header of a WebP file says is in it (WebP container specification, VP8X).
_HAS_PROFILE, _HAS_ALPHA, _HAS_EXIF = 0x20, 0x10, 0x08
_MOST_PROFILE = 4 * 1024 * 1024


def bare_png(data: bytes, orientation: int) -> bytes:
    """The same picture, coded as it was, with nothing but what decodes, colors and turns it. Raises ValueError, struct.error, zlib.error."""
    kept = [_PNG]
    for name, body in _png_chunks(data):
        if name == b"IHDR":
            kept.append(_png_chunk(name, body))
            if orientation != 1:
                kept.append(_png_chunk(b"eXIf", exif.turned(orientation)))
        elif name == b"iCCP":
            colors = color.bare(zlib.decompressobj().decompress(body[body.index(b"\x00") + 2:], _MOST_PROFILE))
            if colors:
                kept.append(_png_chunk(b"iCCP", b"colors\x00\x00" + zlib.compress(colors)))
        elif name in _PNG_KEPT:
            kept.append(_png_chunk(name, body))
    return b"".join(kept)


def _png_chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = len(_PNG)
    while True:
        length, name = struct.unpack_from(">I4s", data, at)
        if at + 12 + length > len(data):
            raise ValueError("a chunk runs over the end")
        yield name, data[at + 8:at + 8 + length]
        if name == b"IEND":
            return
        at += 12 + length


def _png_chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I4s", len(body), name) + body + struct.pack(">I", zlib.crc32(name + body))


def bare_webp(data: bytes, orientation: int) -> bytes:
    """The same picture, coded as it was, with nothing but what decodes, colors and turns it. Raises ValueError, struct.error."""
    kept: list[tuple[bytes, bytes]] = []
    header = colors = b""
    for name, body in _riff_chunks(data):
        if name == b"VP8X" and len(body) >= 10:
            header = body[:10]
        elif name == b"ICCP":
            colors = color.bare(body)
        elif name in _WEBP_KEPT:
            kept.append((name, body))
    turn = exif.turned(orientation) if orientation != 1 else b""
    if header:
        flags = header[0] & _HAS_ALPHA | (_HAS_PROFILE if colors else 0) | (_HAS_EXIF if turn else 0)
        kept[:0] = [(b"VP8X", bytes((flags,)) + header[1:]), *([(b"ICCP", colors)] if colors else [])]
        kept += [(b"EXIF", turn)] if turn else []
    body = b"WEBP" + b"".join(name + struct.pack("<I", len(part)) + part + bytes(len(part) % 2) for name, part in kept)
    return b"RIFF" + struct.pack("<I", len(body)) + body


def _riff_chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    at, end = 12, min(len(data), 8 + struct.unpack_from("<I", data, 4)[0])
    while at + 8 <= end:
        name, length = struct.unpack_from("<4sI", data, at)
        if at + 8 + length > end:
            raise ValueError("a chunk runs over the end")
        yield name, data[at + 8:at + 8 + length]
        at += 8 + length + length % 2
