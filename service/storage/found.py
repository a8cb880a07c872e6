"""What was last found of a build: the verdicts as they were given with its book or at the last recheck, one small file each.

They can be lost without harm: the next recheck then has nothing to compare with, says so, and keeps what it finds.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple
from uuid import uuid4


class Found(NamedTuple):
    """Verdicts by finding, the digest of the document they were found of, and the checksum of the program that found them."""

    document: str
    program: str
    verdicts: Mapping[str, tuple[str, bool]]


class LastFound:
    """The folder where these are kept. A build is named by its id, one that is only a file by its path."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "found"

    def get(self, name: str) -> Found | None:
        """What was last found; None when nothing was, or what was kept cannot be read."""
        try:
            return _read(json.loads(self._place(name).read_bytes()))
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def put(self, name: str, found: Found) -> None:
        """Keep it in place of what was found before."""
        self.folder.mkdir(parents=True, exist_ok=True)
        write_whole(self._place(name), json.dumps({"name": name, **found._asdict()}))

    def _place(self, name: str) -> Path:
        return self.folder / f"{hashlib.sha256(name.encode()).hexdigest()[:40]}.json"


def _read(kept: Mapping[str, Any]) -> Found:
    return Found(kept["document"], kept["program"], {finding: (verdict, bool(safety)) for finding, (verdict, safety) in kept["verdicts"].items()})


def write_whole(place: Path, content: str, *, through: bool = False) -> None:
    """Write a file so that it is there whole or not at all; `through` to the disk itself before it gets its name."""
    part = place.with_name(f".{place.name}.{uuid4().hex[:8]}")
    with part.open("w", encoding="utf-8") as file:
        file.write(content)
        if through:
            file.flush()
            os.fsync(file.fileno())
    part.replace(place)
