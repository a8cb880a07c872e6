"""A lock on a folder that ends with the process that holds it, however that ends."""

from __future__ import annotations

import contextlib
import sys
from pathlib import Path
from typing import IO, Any


class FolderLock:
    """One process at a time holds it. `file` is made when it is not there and stays."""

    def __init__(self, file: Path) -> None:
        self._file = file
        self._held: IO[Any] | None = None

    def take(self) -> bool:
        """Take it; returns False when another process holds it."""
        held = self._file.open("a+b")
        try:
            _lock(held)
        except OSError:
            held.close()
            return False
        self._held = held
        return True

    def give_back(self) -> None:
        """Let the next one have it."""
        if self._held is not None:
            with contextlib.suppress(OSError):
                self._held.close()
            self._held = None


if sys.platform == "win32":
    import msvcrt

    def _lock(held: IO[Any]) -> None:
        held.seek(0)
        msvcrt.locking(held.fileno(), msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _lock(held: IO[Any]) -> None:
        fcntl.flock(held.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
