"""Files that come in pieces: kept as far as they have come, over dropped connections and restarts, until they are taken in."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterable
from pathlib import Path

from service.storage.things import new_id

#: A phone that has not gone on for this long begins again.
KEPT_DAYS = 7
_LENGTH = ".length"


class NotThere(Exception):
    """There is no such upload under way."""


class Elsewhere(Exception):
    """A piece begins where the upload is not; `offset` is where it is."""

    def __init__(self, offset: int) -> None:
        super().__init__(offset)
        self.offset = offset


class TooMuch(Exception):
    """A piece goes beyond the length that the upload was said to have."""


class Uploads:
    """Uploads in a folder: `ID` holds what has come, `ID.length` how much it will be."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        self._lock = threading.Lock()

    def begin(self, length: int) -> str:
        """A new upload of so many bytes."""
        upload = new_id()
        (self.folder / f"{upload}{_LENGTH}").write_text(str(length), encoding="ascii")
        (self.folder / upload).touch()
        return upload

    def far(self, upload: str) -> tuple[int, int]:
        """How many bytes have come, and how many there will be. Raises NotThere."""
        try:
            return (self.folder / upload).stat().st_size, int((self.folder / f"{upload}{_LENGTH}").read_text(encoding="ascii"))
        except (FileNotFoundError, ValueError) as error:
            raise NotThere(upload) from error

    def add(self, upload: str, offset: int, pieces: Iterable[bytes]) -> int:
        """Add what begins at `offset`; returns how many bytes have come, which are on the disk itself then. What came before a
        connection dropped stays. Raises NotThere, TooMuch, and Elsewhere, also when another connection has gone on meanwhile.
        """
        here, length = self.far(upload)
        if here != offset:
            raise Elsewhere(here)
        with (self.folder / upload).open("r+b", buffering=0) as file:
            try:
                for piece in pieces:
                    if offset + len(piece) > length:
                        raise TooMuch(length)
                    self._write(file.fileno(), offset, piece)
                    offset += len(piece)
            finally:
                os.fsync(file.fileno())
        return offset

    def _write(self, handle: int, offset: int, piece: bytes) -> None:
        with self._lock:
            here = os.fstat(handle).st_size
            if here != offset:
                raise Elsewhere(here)
            os.lseek(handle, offset, os.SEEK_SET)
            left = memoryview(piece)
            while left:
                left = left[os.write(handle, left):]

    def path(self, upload: str) -> Path:
        """The file of an upload."""
        return self.folder / upload

    def drop(self, upload: str) -> None:
        """Forget an upload: it was taken in, or given up."""
        (self.folder / upload).unlink(missing_ok=True)
        (self.folder / f"{upload}{_LENGTH}").unlink(missing_ok=True)

    def drop_abandoned(self, days: float = KEPT_DAYS) -> int:
        """Forget uploads that have not gone on for so long; returns how many files that were."""
        oldest = time.time() - days * 86400
        old = [path for path in self.folder.iterdir() if _touched(path) < oldest and _touched(path.with_suffix("")) < oldest]
        for path in old:
            path.unlink(missing_ok=True)
        return len(old)


def _touched(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except FileNotFoundError:
        return 0.0
