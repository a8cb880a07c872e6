"""Three clean sizes of a picture: upright, in plain colors, without a trace of who, where, what with.

Most of the time of a photograph is decoding, so it is decoded straight to about the large size by the decoder's own scaling,
in the decoder's own colors; halving gives the medium size, and only the small one is filtered.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import lru_cache
from typing import IO

import pillow_heif
from PIL import Image, ImageCms, ImageFile

from service.pictures import exif
from service.pictures.kinds import MOST_PIXELS, SIZES, BadPicture

Image.init()
pillow_heif.register_heif_opener(thumbnails=False)

#: The long side of the large size, in pixels, is whatever between these the decoder gives; `_LARGE` where it has to be resized.
_LEAST, _LARGE, _MOST = 1600, 2000, 2600
_SMALL = 320
_QUALITY = 84
_PLUGINS = {"image/jpeg": "JPEG", "image/png": "PNG", "image/webp": "WEBP", "image/heic": "HEIF"}
_DEEP = frozenset({"I", "I;16", "I;16B", "I;16L"})


@dataclass(frozen=True, slots=True)
class Clean:
    """A file's clean sizes as JPEG, when it was taken if it says so, and the pixels of the whole picture upright."""

    sizes: dict[str, bytes]
    width: int
    height: int
    taken_at: str | None


def opened(stream: IO[bytes], kind: str) -> Image.Image:
    """A picture of this kind and no other, not decoded yet. Raises BadPicture for one that is too large or that moves."""
    # The library that sets books turns this on for the whole process; a photograph cut short is refused all the same.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        image = Image.open(stream, formats=(_PLUGINS[kind],))
    except Image.DecompressionBombError as error:
        raise BadPicture(f"it says that it has far more than the {MOST_PIXELS // 1_000_000} million pixels that are taken in") from error
    if image.width * image.height > MOST_PIXELS:
        raise BadPicture(f"{image.width} by {image.height} pixels are more than the {MOST_PIXELS // 1_000_000} million that are taken in")
    if kind == "image/webp" and getattr(image, "is_animated", False):
        raise BadPicture("the picture moves; send one that stands still")
    return image


def sized(stream: IO[bytes], kind: str) -> Clean:
    """The clean sizes of a picture. Raises whatever its decoder raises, and BadPicture."""
    with opened(stream, kind) as image:
        orientation, taken_at = exif.said(image)
        size = image.size if orientation < 5 else image.size[::-1]
        return of_large(exif.upright(_large(image), orientation), size, taken_at)


def of_large(large: Image.Image, size: tuple[int, int], taken_at: str | None = None) -> Clean:
    """The three sizes from the large one."""
    medium = large.reduce(2) if max(large.size) > _LARGE // 2 else large
    small = medium.copy()
    small.thumbnail((_SMALL, _SMALL), Image.Resampling.BICUBIC, reducing_gap=1.5)
    made = {name: encoded(image) for name, image in zip(SIZES, (large, medium, small), strict=True)}
    return Clean(made, *size, taken_at)


def encoded(image: Image.Image, quality: int = _QUALITY) -> bytes:
    """A JPEG file of nothing but the pixels."""
    found = io.BytesIO()
    image.save(found, "JPEG", quality=quality, subsampling="4:2:0")
    return found.getvalue()


def _large(image: Image.Image) -> Image.Image:
    """About the large size, in plain colors, carrying nothing but its pixels."""
    long = max(image.size)
    shrink = next((scale for scale in (1, 2, 4, 8) if long / scale <= _MOST), 8)
    resized = shrink > 1 and long / shrink < _LEAST
    if resized:
        shrink //= 2
    image.draft("RGB" if image.info.get("icc_profile") else "YCbCr", (max(1, image.width // shrink), max(1, image.height // shrink)))
    image.load()
    found = plain(image, max(1, round(max(image.size) / (long / shrink))))
    if max(found.size) > _MOST or resized:
        found.thumbnail((_LARGE, _LARGE), Image.Resampling.BICUBIC, reducing_gap=1.5)
    return found


def plain(image: Image.Image, shrink: int = 1) -> Image.Image:
    """A decoded picture shrunk by a whole number: three channels, transparency on white, colors as sRGB, nothing else.

    Where it can be, it is the picture itself that is changed.
    """
    profile = image.info.get("icc_profile")
    colors = _eight_bits(image)
    if shrink > 1:
        colors = colors.reduce(shrink)
    if colors.mode in ("LA", "RGBA"):
        colors = _on_white(colors)
    if profile:
        colors = _as_srgb(colors, profile)
    if colors.mode not in ("RGB", "YCbCr"):
        colors = colors.convert("RGB")
    colors.info = {}
    return colors


def _eight_bits(image: Image.Image) -> Image.Image:
    """The picture in a mode of 8 bits a channel without a palette, in which pixels can be averaged."""
    if image.mode in _DEEP:
        return image.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    if "transparency" in image.info or image.mode in ("PA", "RGBa", "La"):
        return image.convert("RGBA")
    return image if image.mode in ("L", "LA", "RGB", "RGBA", "YCbCr", "CMYK") else image.convert("RGB")


def _on_white(image: Image.Image) -> Image.Image:
    ground = Image.new("RGB", image.size, "white")
    ground.paste(image, mask=image.getchannel("A"))
    return ground


def _as_srgb(image: Image.Image, profile: bytes) -> Image.Image:
    """The colors of a profile as sRGB. A profile that cannot be read, or is for other channels, says nothing about them."""
    try:
        transform = _to_srgb(profile, image.mode)
        return image if transform is None else ImageCms.applyTransform(image, transform, inPlace=image.mode == "RGB") or image
    except (ImageCms.PyCMSError, ValueError, OSError):
        return image


@lru_cache(maxsize=8)
def _to_srgb(profile: bytes, mode: str) -> ImageCms.ImageCmsTransform | None:
    own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    if mode == "RGB" and "sRGB" in ImageCms.getProfileDescription(own):
        return None
    return ImageCms.buildTransform(own, ImageCms.createProfile("sRGB"), mode, "RGB")
