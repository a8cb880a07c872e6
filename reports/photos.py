"""Photographs made ready: upright, without EXIF or position data, in three sizes; never cropped.

The decoder's own scaling gives the large size, halving gives the medium one, a filter only makes the smallest: most of
the time of a photograph is decoding, so nothing is decoded larger than it is needed.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from hashlib import file_digest
from io import BytesIO
from pathlib import Path
from threading import get_ident

from PIL import Image, ImageOps

from reports import typography
from reports.document import Photo
from reports.kept import tidy, used
from reports.theme import BadTheme

LARGE, SMALL = 1600, 400
#: The largest side that a small photograph may have and still count as large enough; taken as it is above this.
ACCEPTED = 2400
QUALITY = 84
#: Largest side of a shop's logo.
LOGO = 600
#: Width over height from which a photograph is a panorama.
PANORAMA = 1.9
WORKERS = 2


class MissingPhoto(FileNotFoundError):
    """A photo record names a file that is not there, or is no picture."""

    def __init__(self, record: str, file: str, why: str = "is not there, seen from the document's folder"):
        super().__init__(f"photo record {record!r}: the file {file!r} {why}")
        self.record, self.file = record, file


@dataclass(frozen=True, slots=True)
class Size:
    """One rendition: its file below the book's folder of photos and its size in pixels."""

    file: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph ready to print."""

    photo: Photo
    large: Size
    medium: Size
    small: Size

    @property
    def anchor(self) -> str:
        """The picture's anchor in page and book."""
        return f"photo-{typography.slug(self.photo.id or self.photo.file)}"

    @property
    def shape(self) -> str:
        """`landscape`, `portrait` or `square`."""
        ratio = self.large.width / self.large.height
        return "landscape" if ratio > 1.1 else "portrait" if ratio < 0.9 else "square"

    @property
    def panorama(self) -> bool:
        """Whether it is so wide that it needs the whole width of a page."""
        return self.large.width / self.large.height >= PANORAMA

    @property
    def sizes(self) -> tuple[Size, ...]:
        """All renditions of different width, smallest first."""
        return tuple({size.width: size for size in (self.small, self.medium, self.large)}.values())


def check(photos: Iterable[Photo], folder: Path) -> None:
    """Raise MissingPhoto for the first record whose file is not there, lies outside `folder`, or is no picture."""
    root = folder.resolve()
    for photo in photos:
        path = (folder / photo.file).resolve()
        if not photo.file or root not in path.parents or not path.is_file():
            raise MissingPhoto(photo.id, photo.file)
        try:
            Image.open(path).close()
        except (OSError, Image.DecompressionBombError) as problem:
            raise MissingPhoto(photo.id, photo.file, "is no picture that can be read") from problem


def develop(photos: Iterable[Photo], folder: Path, out: Path, progress: Callable[[float], None] | None = None,
            kept: Path | None = None) -> dict[str, Picture]:
    """Write the renditions of every photograph below `out` and return the pictures by record id, in order.

    Renditions are kept in the folder `kept`, if one is given, under the checksum of the photograph, and taken from there the next
    time. Raises MissingPhoto when a file turns out to be broken inside.
    """
    wanted = list(photos)
    out.mkdir(parents=True, exist_ok=True)
    pictures: dict[str, Picture] = {}
    with ThreadPoolExecutor(WORKERS) as pool:
        jobs = [pool.submit(_develop, photo, folder / photo.file, out, name_of(photo), kept)
                for photo in wanted]
        for done, (photo, job) in enumerate(zip(wanted, jobs, strict=True), 1):
            pictures[photo.id] = job.result()
            if progress:
                progress(done / len(wanted))
    if kept and kept.is_dir():
        tidy(kept)
    return pictures


def name_of(photo: Photo) -> str:
    """What the files of a photograph are called: its renditions `…-l.jpg`, its large one in a packet `….jpg`."""
    return typography.slug(photo.id or photo.file)


def _develop(photo: Photo, path: Path, out: Path, name: str, kept: Path | None) -> Picture:
    files = [f"{name}-{word}.jpg" for word in ("l", "m", "s")]
    found = [kept / f"{_sum(path)}-{LARGE}-{QUALITY}-{word}.jpg" for word in ("l", "m", "s")] if kept else []
    if found and all(used(file) for file in found):
        return Picture(photo, *(_copied(file, out, name) for file, name in zip(found, files, strict=True)))
    try:
        large = _upright(path)
    except (OSError, SyntaxError, ValueError) as problem:
        raise MissingPhoto(photo.id, photo.file, "is broken inside") from problem
    medium = large.reduce(2) if max(large.size) > LARGE // 2 else large
    small = medium.copy()
    small.thumbnail((SMALL, SMALL), Image.Resampling.LANCZOS)
    sizes = [_save(image, out, file) for image, file in zip((large, medium, small), files, strict=True)]
    for file, place in zip(files, found, strict=False):
        _keep(out / file, place)
    return Picture(photo, *sizes)


def _sum(path: Path) -> str:
    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest()


def _copied(kept: Path, out: Path, name: str) -> Size:
    shutil.copyfile(kept, out / name)
    with Image.open(kept) as image:
        return Size(name, *image.size)


def _keep(file: Path, place: Path) -> None:
    """A copy under its own name only when it is whole."""
    place.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    beside = place.with_suffix(f".{os.getpid()}-{get_ident()}")
    shutil.copyfile(file, beside)
    beside.replace(place)


def _upright(path: Path) -> Image.Image:
    """The picture at the decoder's own scale nearest above `LARGE`, turned upright, in plain RGB, carrying no metadata."""
    with Image.open(path) as image:
        width, height = image.size
        scale = LARGE / max(width, height)
        if scale < 1:
            image.draft("RGB", (int(width * scale) + 1, int(height * scale) + 1))
        turned = ImageOps.exif_transpose(image)
        turned = turned.convert("RGB")
    if max(turned.size) > ACCEPTED:
        turned.thumbnail((LARGE, LARGE), Image.Resampling.LANCZOS, reducing_gap=2.0)
    bare = Image.new("RGB", turned.size)
    bare.paste(turned)
    return bare


def cleaned(path: Path) -> bytes:
    """A photographed paper as JPEG at its full size, upright, in plain RGB, carrying no metadata; raises OSError when it is no picture."""
    with Image.open(path) as image:
        upright = ImageOps.exif_transpose(image).convert("RGB")
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    packed = BytesIO()
    bare.save(packed, "JPEG", quality=QUALITY, subsampling="4:2:0")
    return packed.getvalue()


def _save(image: Image.Image, out: Path, file: str) -> Size:
    image.save(out / file, "JPEG", quality=QUALITY, optimize=False, progressive=False, subsampling="4:2:0")
    return Size(file, *image.size)


def logo(path: Path, out: Path) -> None:
    """A shop's logo beside the photographs: a drawing as it is, a picture small and without its metadata; BadTheme when it cannot be read."""
    if path.suffix.lower() == ".svg":
        out.write_bytes(path.read_bytes())
        return
    try:
        with Image.open(path) as image:
            bare = ImageOps.exif_transpose(image).convert("RGBA" if out.suffix == ".png" else "RGB")
    except (OSError, Image.DecompressionBombError) as problem:
        raise BadTheme(f"the logo {path} is no picture that can be read") from problem
    bare.thumbnail((LOGO, LOGO), Image.Resampling.LANCZOS)
    clean = Image.new(bare.mode, bare.size)
    clean.paste(bare)
    clean.save(out)
