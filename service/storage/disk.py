"""Files and folders on the disk itself: what has its final name is whole, and is there after a power cut too."""

from __future__ import annotations

import os
import shutil
from hashlib import file_digest
from pathlib import Path
from uuid import uuid4


def sync(*places: Path) -> None:
    """Through to the disk. Windows syncs no folders, and names files durably by itself."""
    for place in places:
        if os.name == "nt" and place.is_dir():
            continue
        handle = os.open(place, os.O_RDWR if os.name == "nt" else os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def sync_folder(folder: Path) -> None:
    """Everything in a folder is on the disk when this returns."""
    for place, _, names in os.walk(folder):
        sync(*(Path(place) / name for name in names), Path(place))


def put_in_place(new: Path, place: Path) -> None:
    """Put a finished folder in its place, whole, and have the disk know it."""
    if place.exists():
        place.rename(place.with_name(f".{place.name}-{uuid4().hex[:8]}-old"))
    new.rename(place)
    sync(place.parent)
    for old in place.parent.glob(f".{place.name}-*-old"):
        shutil.rmtree(old, ignore_errors=True)


def digest(path: Path) -> str:
    """The SHA-256 of a file."""
    with path.open("rb") as content:
        return file_digest(content, "sha256").hexdigest()
