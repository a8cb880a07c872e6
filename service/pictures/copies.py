"""Copies of originals that can be handed out: the same picture, without what cameras and programs say of people and places."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable, Mapping
from typing import IO

from service.pictures import chunks, exif, jpeg, sizes

#: Coded again only where it cannot be helped, and then so that nobody sees it (common practice).
_QUALITY = 93
_BARE: Mapping[str, Callable[[bytes, int], bytes]] = {"image/jpeg": jpeg.bare, "image/png": chunks.bare_png, "image/webp": chunks.bare_webp}


def copied(stream: IO[bytes], kind: str) -> tuple[bytes, str]:
    """A clean copy of a picture and its kind: JPEG, PNG and WebP coded as they were, HEIC and what is built oddly again as JPEG."""
    if kind not in _BARE:
        return again(stream, kind), "image/jpeg"
    with sizes.opened(stream, kind) as image:
        orientation, _ = exif.said(image)
    stream.seek(0)
    try:
        return _BARE[kind](stream.read(), orientation), kind
    except (ValueError, IndexError, struct.error, zlib.error):
        stream.seek(0)
        return again(stream, kind), "image/jpeg"


def again(stream: IO[bytes], kind: str) -> bytes:
    """The whole picture coded again as JPEG, upright."""
    with sizes.opened(stream, kind) as image:
        orientation, _ = exif.said(image)
        image.load()
        return sizes.encoded(exif.upright(sizes.plain(image), orientation), _QUALITY)

