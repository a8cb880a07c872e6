"""What was last found of a build: the verdicts as they were given with its book or at the last recheck.

For builds that are kept, a row each; for documents and bags elsewhere, a small file each, which can be lost without harm: the next
recheck then compares with the answer in the bag, or keeps what it finds.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple
from uuid import uuid4

from sqlalchemy import Connection, select
from sqlalchemy.dialects import postgresql, sqlite

from service.storage.disk import sync
from service.storage.models import Finding, table_of

_TABLE = table_of(Finding)


class Found(NamedTuple):
    """Verdicts by finding, the digest of the document they were found of, and the checksum of the program that found them."""

    document: str
    program: str
    verdicts: Mapping[str, tuple[str, bool]]


def get(connection: Connection, build: str) -> Found | None:
    """What was last found of a build; None when nothing was."""
    row = connection.execute(select(_TABLE.c.document, _TABLE.c.program, _TABLE.c.verdicts).where(_TABLE.c.build == build)).first()
    return _read(row[0], row[1], json.loads(row[2])) if row else None


def put(connection: Connection, found: Mapping[str, Found]) -> None:
    """Keep what was found of builds, in place of what was found before."""
    if found:
        kept = (sqlite if connection.dialect.name == "sqlite" else postgresql).insert(_TABLE)
        newest = kept.on_conflict_do_update(index_elements=["build"], set_={name: kept.excluded[name] for name in Found._fields})
        connection.execute(newest, [{"build": build, **one._asdict(), "verdicts": json.dumps(one.verdicts)} for build, one in sorted(found.items())])


class FoundFiles:
    """The folder of what was last found of documents and bags, by the path they were read from."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "found"

    def get(self, name: str) -> Found | None:
        """What was last found; None when nothing was, or what was kept cannot be read."""
        try:
            kept = json.loads(self._place(name).read_bytes())
            return _read(kept["document"], kept["program"], kept["verdicts"])
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def put(self, name: str, found: Found) -> None:
        """Keep it in place of what was found before."""
        self.folder.mkdir(parents=True, exist_ok=True)
        write_whole(self._place(name), json.dumps({"name": name, **found._asdict()}))

    def _place(self, name: str) -> Path:
        return self.folder / f"{hashlib.sha256(name.encode()).hexdigest()[:40]}.json"


def _read(document: str, program: str, verdicts: Mapping[str, tuple[str, bool]]) -> Found:
    return Found(document, program, {finding: (verdict, bool(safety)) for finding, (verdict, safety) in verdicts.items()})


def write_whole(place: Path, content: str, *, through: bool = False) -> None:
    """Write a file so that it is there whole or not at all; `through` to the disk itself before it gets its name."""
    part = place.with_name(f".{place.name}.{uuid4().hex[:8]}")
    part.write_text(content, encoding="utf-8")
    if through:
        sync(part)
    part.replace(place)
