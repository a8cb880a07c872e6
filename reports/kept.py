"""Folders of things made before, kept for the next time: of bounded size, what was not used for longest goes first."""

from __future__ import annotations

import os
import time
from contextlib import suppress
from pathlib import Path

#: Bytes that a folder may hold (a book of 500 photographs takes about a third).
MOST = 500_000_000
#: Seconds for which what was used stays, whatever the size: another process may be about to read it.
LINGER = 600.0


def used(file: Path) -> bool:
    """Whether a file is there; then it has been used just now."""
    try:
        os.utime(file)
    except OSError:
        return False
    return True


def tidy(folder: Path, most: int = MOST, linger: float = LINGER) -> None:
    """Remove what has not been used for longest until the folder holds no more than `most` bytes."""
    held, now = 0, time.time()
    files = []
    for file in folder.iterdir():
        with suppress(FileNotFoundError):  # another process may tidy too
            files.append((file.stat(), file))
    for found, file in sorted(files, key=lambda pair: pair[0].st_mtime, reverse=True):
        held += found.st_size
        if held > most and now - found.st_mtime > linger:
            file.unlink(missing_ok=True)
