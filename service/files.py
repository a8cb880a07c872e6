"""Build documents and photographs as files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from service.document import DocumentError, Problem, load, parse


def read_document(path: Path) -> dict[str, Any]:
    """A loaded document from a file (`-` reads standard input). Raises DocumentError, also for a file that is not there."""
    try:
        raw = sys.stdin.buffer.read() if str(path) == "-" else path.read_bytes()
    except OSError as error:
        raise DocumentError([Problem("", f"cannot read {path}: {error.strerror}")], unreadable=True) from error
    return load(parse(raw))


def photo_folder(file: Path) -> Path:
    """Photo files are relative to the document's folder, or to the one above it where the photos folder stands there."""
    folder = file.resolve().parent
    return folder if (folder / "photos").is_dir() or not (folder.parent / "photos").is_dir() else folder.parent
