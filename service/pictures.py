"""Photographs and papers made safe to show: their kind told by content, three clean sizes without a trace of who, where, what with.

Most of the time of a photograph is decoding, so it is decoded straight to about the large size by the decoder's own scaling,
in the decoder's own colors; halving gives the medium size, and only the small one is filtered.
"""

from __future__ import annotations

import io
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO, Any

import pillow_heif
from PIL import Image, ImageCms, ImageFile

Image.init()
pillow_heif.register_heif_opener(thumbnails=False)

#: Largest photograph taken in: most phones and cameras stay below (common practice).
MOST_PIXELS = 50_000_000
MOST_BYTES = 40 * 1024 * 1024
#: The long side of the large size, in pixels, is whatever between these the decoder gives; `_LARGE` where it has to be resized.
_LEAST, _LARGE, _MOST = 1600, 2000, 2600
_SMALL = 320
_QUALITY = 84
#: Pictures decoded at once: each takes up to 4 bytes a pixel.
_decoding = threading.BoundedSemaphore(2)
_PDF_PIXELS = 1800
_pdf_lock = threading.Lock()

SUFFIXES = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp", "image/heic": "heic", "application/pdf": "pdf"}
SIZES = ("large", "medium", "small")
_FORMATS = ("JPEG", "PNG", "WEBP", "HEIF")
_HEIC_BRANDS = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1")


class BadPicture(ValueError):
    """A file that is no picture or paper that can be taken in; the message says what would be right."""


@dataclass(frozen=True, slots=True)
class Clean:
    """A file's clean sizes as JPEG, when it was taken if it says so, and its size upright in pixels."""

    sizes: dict[str, bytes]
    width: int
    height: int
    taken_at: str | None


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
    return "application/pdf" if head.startswith(b"%PDF-") else None


def clean(file: Path | IO[bytes], kind: str) -> Clean:
    """The clean sizes of a picture, or of the first page of a PDF. Raises BadPicture for one that is broken, too large, or a bomb."""
    with _decoding, _told():
        # The library that sets books turns this on for the whole process; a photograph cut short is refused all the same.
        ImageFile.LOAD_TRUNCATED_IMAGES = False
        if kind == "application/pdf":
            return _sized(_first_page(file), None)
        with Image.open(file, formats=_FORMATS) as image:
            _judge_size(image)
            taken_at = _taken_at(image)
            return _sized(_upright(image), taken_at)


@contextmanager
def _told() -> Iterator[None]:
    """Whatever a decoder says about a broken file, said as a bad picture."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    except BadPicture:
        raise
    except (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError, RuntimeError, MemoryError, Image.DecompressionBombError) as error:
        raise BadPicture(f"the file is broken inside or is none that can be read ({error})"[:200]) from error


def _judge_size(image: Image.Image) -> None:
    if image.width * image.height > MOST_PIXELS:
        raise BadPicture(f"{image.width} by {image.height} pixels are more than the {MOST_PIXELS // 1_000_000} million that are taken in")


def _upright(image: Image.Image) -> Image.Image:
    """About the large size, upright, in plain colors, carrying nothing but its pixels."""
    long = max(image.size)
    shrink = next((scale for scale in (1, 2, 4, 8) if long / scale <= _MOST), 8)
    resized = shrink > 1 and long / shrink < _LEAST
    if resized:
        shrink //= 2
    profile = image.info.get("icc_profile")
    original = image.size
    if image.format in ("JPEG", "MPO") and image.mode == "RGB":
        image.draft("RGB" if profile else "YCbCr", (image.width // shrink, image.height // shrink))
    image.load()
    orientation = image.getexif().get(0x0112, 1)
    plain = _plain(image, profile)
    left = max(original) / shrink
    if max(plain.size) > left + 8:
        plain = plain.reduce(max(1, round(max(plain.size) / left)))
    if max(plain.size) > _MOST or resized:
        plain.thumbnail((_LARGE, _LARGE), Image.Resampling.BICUBIC, reducing_gap=1.5)
    return _turned(plain, orientation)


def _plain(image: Image.Image, profile: bytes | None) -> Image.Image:
    """Three channels, transparency on white, colors as sRGB, nothing else."""
    if image.mode in ("LA", "PA", "RGBA", "RGBa") or "transparency" in image.info:
        layer = image.convert("RGBA")
        ground = Image.new("RGB", layer.size, "white")
        ground.paste(layer, mask=layer.getchannel("A"))
        return ground
    plain = image if image.mode in ("RGB", "YCbCr") else image.convert("RGB")
    if profile and image.mode == "RGB":
        plain = _as_srgb(plain, profile)
    bare = plain.copy() if plain is image else plain
    bare.info = {}
    return bare


def _as_srgb(image: Image.Image, profile: bytes) -> Image.Image:
    try:
        own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        if "sRGB" in ImageCms.getProfileDescription(own):
            return image
        found = ImageCms.profileToProfile(image, own, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except ImageCms.PyCMSError:
        # A profile that cannot be read says nothing about the colors.
        return image
    return found or image


_TURNS = {2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180, 4: Image.Transpose.FLIP_TOP_BOTTOM, 5: Image.Transpose.TRANSPOSE,
          6: Image.Transpose.ROTATE_270, 7: Image.Transpose.TRANSVERSE, 8: Image.Transpose.ROTATE_90}


def _turned(image: Image.Image, orientation: Any) -> Image.Image:
    """Upright by the EXIF orientation (Exif 2.3, tag 0x0112)."""
    turn = _TURNS.get(orientation)
    return image.transpose(turn) if turn is not None else image


def _sized(large: Image.Image, taken_at: str | None) -> Clean:
    medium = large.reduce(2) if max(large.size) > _LARGE // 2 else large
    small = medium.copy()
    small.thumbnail((_SMALL, _SMALL), Image.Resampling.BICUBIC, reducing_gap=1.5)
    sizes = {name: _encoded(image) for name, image in zip(SIZES, (large, medium, small), strict=True)}
    return Clean(sizes, large.width, large.height, taken_at)


def _encoded(image: Image.Image) -> bytes:
    found = io.BytesIO()
    image.save(found, "JPEG", quality=_QUALITY, subsampling="4:2:0")
    return found.getvalue()


def _taken_at(image: Image.Image) -> str | None:
    """When the camera says that it was taken (Exif DateTimeOriginal, with OffsetTimeOriginal where it is there)."""
    details = image.getexif().get_ifd(0x8769)
    raw, offset = details.get(0x9003), details.get(0x9011)
    if not isinstance(raw, str) or len(raw) < 19:
        return None
    text = f"{raw[:10].replace(':', '-')}T{raw[11:19]}"
    for candidate in (f"{text}{offset.strip()}" if isinstance(offset, str) else text, text):
        try:
            return datetime.fromisoformat(candidate).isoformat()
        except ValueError:
            continue
    return None


def _first_page(file: Path | IO[bytes]) -> Image.Image:
    import pypdfium2

    data = file.read_bytes() if isinstance(file, Path) else file.read()
    # The library's own rule: one thread at a time.
    with _pdf_lock:
        try:
            document = pypdfium2.PdfDocument(data)
            try:
                page = document[0]
                scale = min(_PDF_PIXELS / max(*page.get_size(), 1.0), 4.0)
                picture: Image.Image = page.render(scale=scale).to_pil().convert("RGB")
                return picture
            finally:
                document.close()
        except pypdfium2.PdfiumError as error:
            raise BadPicture(f"the PDF cannot be read (is it locked by a password?): {error}") from error

