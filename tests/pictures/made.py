"""Pictures made for tests: with everything a phone writes into them."""

from __future__ import annotations

import io
import random
import zlib
from functools import cache
from typing import Any

import pillow_heif
from PIL import Image, ImageDraw

#: The tags are those of Exif 2.3: GPSLatitude, GPSLongitude, CameraOwnerName, BodySerialNumber, DateTimeOriginal, OffsetTimeOriginal.
OWNER, SERIAL = "Signe Havnqvist", "SN-4711-0815"


def pixels(width: int = 1200, height: int = 900) -> Image.Image:
    """Red above left, blue elsewhere, so that a turn shows."""
    image = Image.new("RGB", (width, height), (30, 60, 200))
    ImageDraw.Draw(image).rectangle((0, 0, width // 2, height // 2), fill=(210, 30, 30))
    return image


def noise(seed: int, size: tuple[int, int] = (900, 700)) -> bytes:
    """A JPEG of nothing but noise: nearly a megabyte, another one for each seed."""
    found = io.BytesIO()
    Image.frombytes("RGB", size, random.Random(seed).randbytes(size[0] * size[1] * 3)).save(found, "JPEG", quality=92)
    return found.getvalue()


def exif(orientation: int = 1) -> Image.Exif:
    """What a phone says of itself, its owner and its place."""
    found = Image.Exif()
    found[0x0112] = orientation
    found[0x013B] = OWNER
    found.get_ifd(0x8769).update({0xA430: OWNER, 0xA431: SERIAL, 0x9003: "2026:03:02 14:30:00", 0x9011: "-06:00"})
    found.get_ifd(0x8825).update({1: "N", 2: (57.0, 41.0, 9.5), 3: "E", 4: (11.0, 58.0, 1.5)})
    return found


def picture(kind: str = "JPEG", orientation: int = 1, size: tuple[int, int] = (1200, 900), **options: Any) -> bytes:
    """A picture file with everything in it."""
    found = io.BytesIO()
    if kind == "HEIF":
        pillow_heif.from_pillow(pixels(*size)).save(found, quality=60, exif=exif(orientation).tobytes())
    else:
        pixels(*size).save(found, kind, **{"exif": exif(orientation), **options})
    return found.getvalue()


def bomb(width: int = 60_000, height: int = 60_000) -> bytes:
    """A PNG of a few bytes that says it has billions of pixels (PNG specification, 5.3 and 11.2.2: chunk layout and IHDR)."""
    def chunk(name: bytes, data: bytes) -> bytes:
        return len(data).to_bytes(4, "big") + name + data + zlib.crc32(name + data).to_bytes(4, "big")

    header = width.to_bytes(4, "big") + height.to_bytes(4, "big") + bytes((8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")


@cache
def pdf() -> bytes:
    """A PDF of one page. It holds the moment it was made, so there is one."""
    found = io.BytesIO()
    pixels(850, 1100).save(found, "PDF", author=OWNER)
    return found.getvalue()
