"""A backup written while the service serves: the database at one moment, then whatever it names and no earlier backup has."""

from __future__ import annotations

import datetime as dt
import errno
import hashlib
import json
import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from importlib.metadata import version
from pathlib import Path
from typing import Any

from service.backup.generation import ABOUT, BOOKS, DATABASE, FORMAT, ORIGINALS, SHARED, BadBackup, Generation, check, generations, original
from service.lock import FolderLock
from service.settings import shop_files
from service.storage import snapshot
from service.storage.database import Full
from service.storage.disk import digest, sync, sync_folder
from service.storage.files import Folder

#: Secrets of the shop: the keys that sign its archives, and the authority that phones trust.
_SECRETS = ("keys", "authority")
#: What is being written: the generation, a book, an original. Whatever is found there at the start was cut off.
_WORK, _BOOK, _FILE = ".part", ".book", ".file"


@dataclass(slots=True)
class Made:
    """A backup that was made: how many files it has, what was copied for it, what the data folder itself had lost, what was dropped."""

    place: Path
    files: int = 0
    copied: int = 0
    copied_bytes: int = 0
    not_there: list[str] = field(default_factory=list)
    dropped: list[str] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        """As JSON has it."""
        return {**asdict(self), "place": str(self.place)}


def back_up(data: Path, root: Path, *, keep: int, files: str | None = None) -> Made:
    """Back a data folder up into the folder `root`, and keep the newest `keep` backups there. `files`: the URL of its bucket.

    Under its final name a backup is whole, checked and on the disk. Raises BadBackup, OSError; whatever was there before stays.
    """
    if not (data / DATABASE).is_file():
        raise BadBackup(f"{data} holds no records; name with --data where they are kept (a PostgreSQL database is backed up by pg_dump)")
    if root.resolve().is_relative_to(data.resolve()) or data.resolve().is_relative_to(root.resolve()):
        raise BadBackup(f"{root} and {data} stand in one another: what takes the one would take the other too")
    root.mkdir(mode=0o700, parents=True, exist_ok=True)
    with _alone(root):
        try:
            return _Writer(data, root, files).write(keep)
        except Full as error:
            raise OSError(errno.ENOSPC, "No space left on device", str(root)) from error
        except snapshot.BadDatabase as error:
            raise BadBackup(str(error)) from error
        finally:
            _sweep(root)


@contextmanager
def _alone(root: Path) -> Iterator[None]:
    lock = FolderLock(root / ".lock")
    if not lock.take():
        raise BadBackup(f"another backup is being written to {root}")
    try:
        _sweep(root)
        yield
    finally:
        lock.give_back()


def _sweep(root: Path) -> None:
    """Remove what was cut off; whoever calls holds the lock."""
    for name in (_WORK, _BOOK):
        shutil.rmtree(root / name, ignore_errors=True)
    (root / _FILE).unlink(missing_ok=True)


class _Writer:
    """One backup being written."""

    def __init__(self, data: Path, root: Path, files: str | None) -> None:
        self.data, self.root = data, root
        self.work, self.sums = Generation(root / _WORK), dict[str, str]()
        self.made = Made(root)
        self.files = Folder(files or f"file://{(data / 'files').resolve()}")
        self.began = dt.datetime.now(dt.UTC)
        self.new: list[str] = []

    def write(self, keep: int) -> Made:
        """All of it. The database goes first: what it names at that moment was on the disk before."""
        self.work.place.mkdir(mode=0o700)
        snapshot.take(self.data / DATABASE, self.work.place / DATABASE)
        held = snapshot.held(self.work.place / DATABASE)
        self._originals(held.originals)
        self._books(held.books)
        self._own()
        self._close()
        self.made.dropped = _drop_old(self.root, keep)
        return self.made

    def _originals(self, originals: dict[str, int]) -> None:
        for sha256, size in originals.items():
            place = self.root / ORIGINALS / sha256[:2] / sha256
            if not (place.is_file() and place.stat().st_size == size) and not self._copy_original(sha256, place):
                self.made.not_there.append(sha256)
                continue
            self.sums[original(sha256)] = sha256

    def _copy_original(self, sha256: str, place: Path) -> bool:
        """Copy an original. False when the data folder has lost it, or has something else in its place."""
        try:
            content = self.files.original(sha256)
        except FileNotFoundError:
            return False
        if hashlib.sha256(content).hexdigest() != sha256:
            return False
        (self.root / _FILE).write_bytes(content)
        sync(self.root / _FILE)
        place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        (self.root / _FILE).replace(place)
        self._note(original(sha256), len(content))
        return True

    def _note(self, path: str, size: int) -> None:
        self.new.append(path)
        self.made.copied, self.made.copied_bytes = self.made.copied + 1, self.made.copied_bytes + size

    def _books(self, ids: Iterable[str]) -> None:
        """Books that are done: each is copied once, since its id says what is in it. One that was removed meanwhile is forgotten in the copy."""
        known, gone = _sums_of_books(self.root), []
        for id in ids:
            if not (self.root / BOOKS / id).is_dir() and not self._copy_book(id):
                gone.append(id)
                continue
            self.sums |= known.get(id) or {f"{SHARED}{BOOKS}/{id}/{path}": digest(self.root / BOOKS / id / path) for path in _within(self.root / BOOKS / id)}
        if gone:
            snapshot.forget_books(self.work.place / DATABASE, gone)

    def _copy_book(self, id: str) -> bool:
        source, part = self.data / BOOKS / id, self.root / _BOOK
        try:
            shutil.copytree(source, part)
        except (FileNotFoundError, shutil.Error):
            shutil.rmtree(part, ignore_errors=True)
            if source.exists():
                raise
            return False
        sync_folder(part)
        (self.root / BOOKS).mkdir(mode=0o700, exist_ok=True)
        part.rename(self.root / BOOKS / id)
        for path in _within(self.root / BOOKS / id):
            self._note(f"{SHARED}{BOOKS}/{id}/{path}", (self.root / BOOKS / id / path).stat().st_size)
        return True

    def _own(self) -> None:
        """What every generation has of its own."""
        wanted = [self.data / folder / path for folder in _SECRETS for path in _within(self.data / folder)]
        # A logo that stands elsewhere is not the data folder's.
        wanted += [file for file in shop_files(self.data) if file.resolve().is_relative_to(self.data.resolve())]
        for source in wanted:
            path = self.work.place / source.resolve().relative_to(self.data.resolve())
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            shutil.copy(source, path)

    def _close(self) -> None:
        """Say what it is, have it on the disk, look at it once more, give it its name."""
        self.made.files = len(self.sums) + len(list(self.work.own())) + 1
        about = {"format": FORMAT, "made_at": self.began.isoformat(timespec="seconds"), "program": version("asfitted"), "files": self.made.files,
                 "not_there": self.made.not_there}
        (self.work.place / ABOUT).write_text(json.dumps(about, indent=1) + "\n", encoding="utf-8")
        self.work.write_sums(self.sums | {path: digest(self.work.place / path) for path in self.work.own()})
        sync_folder(self.work.place)
        sync(*{(self.work.place / path).parent.resolve() for path in self.new}, *(path for path in (self.root / ORIGINALS, self.root / BOOKS) if path.exists()))
        wrong = check(self.work, self.new)
        if wrong:
            raise BadBackup(f"what was written cannot be read again as it was: {wrong[0].file}: {wrong[0].why}")
        self.made.place = self.work.place.rename(self.root / _name_after(generations(self.root), self.began))
        sync(self.root)


def _within(folder: Path) -> list[str]:
    """The files in a folder, but for those that are being written."""
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file() and path.suffix != ".part")


def _name_after(there: list[Generation], began: dt.datetime) -> str:
    """The name of a new backup: its time, and behind every name there, also when the clock was set back. The newest is never taken for an old one.

    >>> begun = dt.datetime(2026, 3, 2, 10, tzinfo=dt.UTC)
    >>> _name_after([], begun), _name_after([Generation(Path("20260302T100000Z-2"))], begun), _name_after([Generation(Path("20270101T000000Z"))], begun)
    ('20260302T100000Z', '20260302T100000Z-3', '20270101T000000Z-1')
    """
    name = began.strftime("%Y%m%dT%H%M%SZ")
    newest, _, number = there[-1].place.name.partition("-") if there else ("", "", "")
    return name if name > newest else f"{newest}-{int(number or 0) + 1}"


def _sums_of_books(root: Path) -> dict[str, dict[str, str]]:
    """The sums of books as the backups there list them."""
    found: dict[str, dict[str, str]] = {}
    for generation in generations(root):
        try:
            for path, sha256 in generation.sums().items():
                if path.startswith(f"{SHARED}{BOOKS}/"):
                    found.setdefault(path.split("/")[2], {})[path] = sha256
        except BadBackup:
            continue
    return found


def _drop_old(root: Path, keep: int) -> list[str]:
    """Drop all but the newest backups, and the files that no other names; as long as one cannot be read, no files."""
    there = generations(root)
    old, kept = there[:-keep], there[-keep:]
    for generation in old:
        shutil.rmtree(root / _WORK, ignore_errors=True)
        generation.place.rename(root / _WORK)
        shutil.rmtree(root / _WORK)
    if old:
        try:
            named = {path.removeprefix(SHARED) for generation in kept for path in generation.sums()}
        except BadBackup:
            return [generation.place.name for generation in old]
        _drop_unnamed(root, named)
    return [generation.place.name for generation in old]


def _drop_unnamed(root: Path, named: set[str]) -> None:
    books = {path.split("/")[1] for path in named if path.startswith(f"{BOOKS}/")}
    for path in (root / ORIGINALS).glob("*/*"):
        if path.relative_to(root).as_posix() not in named:
            path.unlink()
    for path in (root / BOOKS).glob("*"):
        if path.name not in books:
            shutil.rmtree(root / _BOOK, ignore_errors=True)
            path.rename(root / _BOOK)
            shutil.rmtree(root / _BOOK)
