"""The files of photographs and papers: kept once each by what is in them, in the data folder or in an S3 bucket."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

import obstore
from obstore.exceptions import AlreadyExistsError
from obstore.store import LocalStore, ObjectStore, from_url
from sqlalchemy import Connection, insert, select

from service.storage.models import Attachment, File, table_of
from service.storage.things import Where

_FILES, _ATTACHMENTS = table_of(File), table_of(Attachment)
_CHUNK = 1024 * 1024


@dataclass(frozen=True, slots=True)
class About:
    """What is known of a file: its hash, its media type, its bytes, and its size upright in pixels."""

    sha256: str
    type: str
    bytes: int
    width: int
    height: int


class Folder:
    """Where files are: `original/ab/abcd…` as they came, byte for byte, and `large/…`, `medium/…`, `small/…` made from them."""

    def __init__(self, url: str) -> None:
        self._local = Path(url.removeprefix("file://")) if url.startswith("file://") else None
        self._store: ObjectStore = LocalStore(self._local, mkdir=True) if self._local else from_url(url)

    @staticmethod
    def _key(size: str, sha256: str) -> str:
        return f"{size}/{sha256[:2]}/{sha256}"

    def keep(self, size: str, sha256: str, content: IO[bytes] | bytes) -> None:
        """Keep a file; when it is there already, it is the same one. An original is on the disk itself when this returns."""
        key = self._key(size, sha256)
        try:
            obstore.put(self._store, key, content, mode="create")
        except AlreadyExistsError:
            return
        if self._local is not None and size == "original":
            _sync(self._local / key)

    def read(self, size: str, sha256: str) -> Iterator[bytes]:
        """A file's bytes, piece by piece. Raises FileNotFoundError before the first when it is not there."""
        found = obstore.get(self._store, self._key(size, sha256))
        return (bytes(piece) for piece in found.stream(min_chunk_size=_CHUNK))

    def has(self, size: str, sha256: str) -> bool:
        """Whether a file is there."""
        try:
            obstore.head(self._store, self._key(size, sha256))
        except FileNotFoundError:
            return False
        return True


def _sync(path: Path) -> None:
    """Through to the disk: the file, then the folders that name it."""
    for place in (path, path.parent, path.parent.parent):
        handle = os.open(place, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def note(connection: Connection, about: About) -> None:
    """Know a file, once."""
    if find(connection, about.sha256) is None:
        connection.execute(insert(_FILES), {"sha256": about.sha256, "type": about.type, "bytes": about.bytes, "width": about.width, "height": about.height})


def find(connection: Connection, sha256: str) -> About | None:
    """What is known of a file; None when it was never taken in."""
    row = connection.execute(select(_FILES).where(_FILES.c.sha256 == sha256)).first()
    return About(row.sha256, row.type, row.bytes, row.width, row.height) if row else None


def attach(connection: Connection, things: Iterable[tuple[Where, Mapping[str, Any]]]) -> None:
    """Note the builds in which photographs and papers stand, from (where, body) pairs; other things are passed over."""
    rows = [{"id": where.id, "scope": where.scope, "list": where.list} for where, _ in things if where.list in ("photos", "papers")]
    if rows:
        connection.execute(insert(_ATTACHMENTS), rows)


def scopes_of(connection: Connection, name: str, id: str) -> list[str]:
    """The builds that have a photograph or paper of this id."""
    wanted = select(_ATTACHMENTS.c.scope).where(_ATTACHMENTS.c.id == id, _ATTACHMENTS.c.list == name).order_by(_ATTACHMENTS.c.scope)
    return list(connection.execute(wanted).scalars())

