"""What a camera says of a picture (Exif 2.3): which way is up, and when it was taken. The rest is nobody's business."""

from __future__ import annotations

import logging
import struct
from datetime import datetime
from typing import Any

from PIL import Image

_log = logging.getLogger(__name__)
_ORIENTATION, _DETAILS, _TAKEN, _OFFSET = 0x0112, 0x8769, 0x9003, 0x9011
_TURNS = {2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180, 4: Image.Transpose.FLIP_TOP_BOTTOM, 5: Image.Transpose.TRANSPOSE,
          6: Image.Transpose.ROTATE_270, 7: Image.Transpose.TRANSVERSE, 8: Image.Transpose.ROTATE_90}


def said(image: Image.Image) -> tuple[int, str | None]:
    """Orientation (1 to 8) and when it was taken. What is written badly is as if it were not there: the picture is not."""
    try:
        found = image.getexif()
        orientation = found.get(_ORIENTATION, 1)
        return (orientation if orientation in _TURNS else 1), _taken(found.get_ifd(_DETAILS))
    except Exception as error:  # noqa: BLE001 - a reader of hostile bytes fails in any way
        _log.info("unreadable Exif passed over: %s", type(error).__name__)
        return 1, None


def upright(image: Image.Image, orientation: int) -> Image.Image:
    """The picture turned as its orientation says."""
    turn = _TURNS.get(orientation)
    return image.transpose(turn) if turn is not None else image


def turned(orientation: int) -> bytes:
    """An Exif block that says which way is up and nothing else: one entry of type SHORT in a big-endian TIFF (TIFF 6.0)."""
    return b"MM\x00*" + struct.pack(">IHHHIHHI", 8, 1, _ORIENTATION, 3, 1, orientation, 0, 0)


def _taken(details: Any) -> str | None:
    raw, offset = details.get(_TAKEN), details.get(_OFFSET)
    if not isinstance(raw, str) or len(raw) < 19:
        return None
    text = f"{raw[:10].replace(':', '-')}T{raw[11:19]}"
    for candidate in (f"{text}{offset.strip()}" if isinstance(offset, str) else text, text):
        try:
            return datetime.fromisoformat(candidate).isoformat()
        except ValueError:
            continue
    return None
