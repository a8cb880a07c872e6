"""Files and folders through to the disk, so that what has its final name is there after a power cut too."""

from __future__ import annotations

import os
from pathlib import Path


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
