"""The files of photographs and papers: kept once each by what is in them, in the data folder or in an S3 bucket."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import IO, Any, Literal

import obstore
from obstore.exceptions import AlreadyExistsError, BaseError
from obstore.store import LocalStore, ObjectStore, from_url
from sqlalchemy import Connection, insert, select

from service import pictures
from service.storage.database import Full
from service.storage.disk import sync
from service.storage.models import Attachment, File, table_of
from service.storage.things import Where, one_at_a_time

_FILES, _ATTACHMENTS = table_of(File), table_of(Attachment)
_ORIGINAL = "original"
_END_OF_JPEG = b"\xff\xd9"
#: A bucket that does not answer within this is said to be away: whoever asks can ask again.
_RETRY: Any = {"max_retries": 3, "retry_timeout": timedelta(seconds=20)}
#: How the store names a disk or quota that is used up.
_FULL = ("StorageFull", "QuotaExceeded")


@dataclass(frozen=True, slots=True)
class About:
    """What is known of a file: its hash, its media type, its bytes, and its size upright in pixels."""

    sha256: str
    type: str
    bytes: int
    width: int
    height: int


class Away(OSError):
    """The place where files are kept does not answer, or refuses: nothing was stored."""


@contextmanager
def _told() -> Iterator[None]:
    """What goes wrong in the store, said in terms of our own. That a file is there, or is not, passes."""
    try:
        yield
    except AlreadyExistsError:
        raise
    except BaseError as error:
        if any(kind in str(error) for kind in _FULL):
            raise Full("there is no room for a file") from error
        raise Away(str(error).partition("\n")[0]) from error


class Folder:
    """Where files are: `original/ab/abcd…` as they came, byte for byte, and `large/…`, `medium/…`, `small/…` made from them."""

    def __init__(self, url: str) -> None:
        self._local = Path(url.removeprefix("file://")) if url.startswith("file://") else None
        if self._local is not None:
            (self._local / _ORIGINAL).mkdir(parents=True, exist_ok=True)
            sync(self._local, self._local.parent)
        self._store: ObjectStore = LocalStore(self._local) if self._local else from_url(url, retry_config=_RETRY)

    @staticmethod
    def _key(size: str, sha256: str) -> str:
        return f"{size}/{sha256[:2]}/{sha256}"

    def keep(self, sha256: str, content: IO[bytes], sizes: Mapping[str, bytes]) -> bool:
        """Keep an original and what was made from it; tells whether it is new. The original is on the disk itself then. Raises Full.

        What is there already under its hash stays, unless a power cut left it cut short.
        """
        key, new = self._key(_ORIGINAL, sha256), True
        content.seek(0)
        try:
            self._put(key, content, "create")
        except AlreadyExistsError:
            new = False
            if not self._is_whole(key, sha256):
                content.seek(0)
                self._put(key, content, "overwrite")
        if self._local is not None:
            path = self._local / key
            sync(path, path.parent, path.parent.parent)
        self._keep_sizes(sha256, sizes)
        return new

    def _keep_sizes(self, sha256: str, sizes: Mapping[str, bytes]) -> None:
        for size, made in sizes.items():
            self._put(self._key(size, sha256), made, "overwrite")

    def _put(self, key: str, content: IO[bytes] | bytes, mode: Literal["create", "overwrite"]) -> None:
        with _told():
            obstore.put(self._store, key, content, mode=mode)

    def _get(self, key: str) -> bytes:
        with _told():
            return bytes(obstore.get(self._store, key).bytes())

    def _is_whole(self, key: str, sha256: str) -> bool:
        return hashlib.sha256(self._get(key)).hexdigest() == sha256

    def original(self, sha256: str) -> bytes:
        """An original's bytes as they came. Raises FileNotFoundError."""
        return self._get(self._key(_ORIGINAL, sha256))

    def has_original(self, sha256: str) -> bool:
        """Whether an original is there."""
        try:
            with _told():
                obstore.head(self._store, self._key(_ORIGINAL, sha256))
        except FileNotFoundError:
            return False
        return True

    def size(self, size: str, about: About) -> bytes:
        """A clean size as JPEG: the first page of a paper. Made again from the original when it was lost or is cut short."""
        try:
            found = self._get(self._key(size, about.sha256))
            if found.endswith(_END_OF_JPEG):
                return found
        except FileNotFoundError:
            pass
        sizes = pictures.clean(io.BytesIO(self.original(about.sha256)), about.type).sizes
        # Where there is no room for them they are made each time.
        with suppress(Full, Away):
            self._keep_sizes(about.sha256, sizes)
        return sizes[size]

    def copy(self, about: About) -> tuple[bytes, str]:
        """A clean copy of an original that can be handed out, and its media type."""
        return pictures.copy(io.BytesIO(self.original(about.sha256)), about.type)

    def originals(self, before: datetime) -> Iterator[str]:
        """The hashes of originals that were last written before a moment."""
        for batch in obstore.list(self._store, prefix=_ORIGINAL):
            yield from (found["path"].rpartition("/")[2] for found in batch if found["last_modified"] < before)

    def drop(self, sha256: str) -> None:
        """Remove an original that no record names, and what was made from it."""
        for size in (*pictures.SIZES, _ORIGINAL):
            with suppress(FileNotFoundError):
                obstore.delete(self._store, self._key(size, sha256))


def alone(connection: Connection) -> None:
    """From here to its end no other transaction that asks the same notes or drops files."""
    one_at_a_time(connection, "/files")


def note(connection: Connection, about: About) -> None:
    """Know a file, once."""
    if find(connection, about.sha256) is None:
        connection.execute(insert(_FILES), {"sha256": about.sha256, "type": about.type, "bytes": about.bytes, "width": about.width, "height": about.height})


def find(connection: Connection, sha256: str) -> About | None:
    """What is known of a file; None when it was never taken in."""
    row = connection.execute(select(_FILES).where(_FILES.c.sha256 == sha256)).first()
    return About(row.sha256, row.type, row.bytes, row.width, row.height) if row else None


def known(connection: Connection, hashes: Iterable[str]) -> set[str]:
    """Those of these files that are known."""
    return set(connection.execute(select(_FILES.c.sha256).where(_FILES.c.sha256.in_(list(hashes)))).scalars())


def attach(connection: Connection, things: Iterable[tuple[Where, Mapping[str, Any]]]) -> None:
    """Note the builds in which photographs and papers stand, from (where, body) pairs; other things are passed over."""
    rows = [{"id": where.id, "scope": where.scope, "list": where.list} for where, _ in things if where.list in ("photos", "papers")]
    if rows:
        connection.execute(insert(_ATTACHMENTS), rows)


def scopes_of(connection: Connection, name: str, id: str) -> list[str]:
    """The builds that have a photograph or paper of this id."""
    wanted = select(_ATTACHMENTS.c.scope).where(_ATTACHMENTS.c.id == id, _ATTACHMENTS.c.list == name).order_by(_ATTACHMENTS.c.scope)
    return list(connection.execute(wanted).scalars())

