"""Files of forms on their way in: written to the data folder as they come and hashed on the way, never whole in memory."""

from __future__ import annotations

import hashlib
import tempfile
from pathlib import Path
from typing import IO, Any

from flask import Request, current_app


class Incoming:
    """A file without a name in the data folder; it is gone when it is closed, or when the process is."""

    def __init__(self, folder: Path) -> None:
        self.file: IO[bytes] = tempfile.TemporaryFile(dir=folder)  # noqa: SIM115 - whoever reads the form closes it
        self._hash = hashlib.sha256()

    def write(self, data: bytes) -> int:
        """Take the next bytes."""
        self._hash.update(data)
        return self.file.write(data)

    @property
    def sha256(self) -> str:
        """The hash of what has come."""
        return self._hash.hexdigest()

    def __getattr__(self, name: str) -> Any:
        return getattr(self.file, name)


class StreamingRequest(Request):
    """A request whose files go to the data folder, so that a full disk shows and a slow phone costs no memory."""

    def _get_file_stream(self, total_content_length: int | None, content_type: str | None, filename: str | None = None,
                         content_length: int | None = None) -> IO[bytes]:
        return Incoming(current_app.extensions["asfitted"].uploads.folder)  # type: ignore[return-value]
