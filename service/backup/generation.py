"""One backup of a data folder among several, and whether it is whole.

A folder of backups holds one folder for each generation, named by its moment in UTC, and what they share: `files/original/` (photographs
and papers by their SHA-256) and `books/` (each in a folder of its id), laid out as in a data folder. A generation has the database, the
shop's keys and file, `backup.json`, and `sha256sums.txt`, which lists every file of it, the shared ones too. Without this program:

    cd 20260302T101500Z && sha256sum -c sha256sums.txt
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service.storage import snapshot
from service.storage.disk import digest
from service.storage.snapshot import BadDatabase

FORMAT = "as-fitted/backup/1"
DATABASE, ABOUT, SUMS = "records.sqlite3", "backup.json", "sha256sums.txt"
ORIGINALS, BOOKS = "files/original", "books"
#: What generations share is named from within one of them.
SHARED = "../"
_NAME = re.compile(r"\d{8}T\d{6}Z(-\d+)?")
_LINE = re.compile(r"([0-9a-f]{64})  (\S.*)")


class BadBackup(Exception):
    """What is no backup, or one that is not whole: says what is wrong with it."""


@dataclass(frozen=True, slots=True)
class Wrong:
    """A file of a backup, and what is wrong with it."""

    file: str
    why: str


@dataclass(frozen=True, slots=True)
class Generation:
    """A backup, in its folder."""

    place: Path

    def about(self) -> dict[str, Any]:
        """What it says of itself. Raises BadBackup."""
        try:
            found = json.loads((self.place / ABOUT).read_text(encoding="utf-8"))
        except (OSError, ValueError) as error:
            raise BadBackup(f"{self.place} has no {ABOUT} that can be read") from error
        if not isinstance(found, dict) or found.get("format") != FORMAT or not isinstance(found.get("files"), int):
            raise BadBackup(f"{self.place / ABOUT} does not say that it is {FORMAT}")
        return found

    def sums(self) -> dict[str, str]:
        """Its files, shared ones too, and their SHA-256. Raises BadBackup."""
        try:
            lines = (self.place / SUMS).read_text(encoding="utf-8").splitlines()
        except (OSError, ValueError) as error:
            raise BadBackup(f"{self.place} has no {SUMS} that can be read") from error
        found = {}
        for number, line in enumerate(lines, 1):
            match = _LINE.fullmatch(line)
            if match is None or not _is_within(match[2]):
                raise BadBackup(f"{self.place / SUMS}, line {number}: a SHA-256 and a file of the backup are wanted")
            found[match[2]] = match[1]
        return found

    def write_sums(self, sums: Mapping[str, str]) -> None:
        """List its files."""
        (self.place / SUMS).write_text("".join(f"{sums[path]}  {path}\n" for path in sorted(sums)), encoding="utf-8", newline="\n")

    def own(self) -> Iterator[str]:
        """The files that stand in its folder, but for the list of them."""
        for path in sorted(self.place.rglob("*")):
            if not path.is_dir() and path != self.place / SUMS:
                yield path.relative_to(self.place).as_posix()


def generations(root: Path) -> list[Generation]:
    """The backups in a folder, the oldest first."""
    named = [path for path in (root.iterdir() if root.is_dir() else ()) if _NAME.fullmatch(path.name) and path.is_dir()]
    return [Generation(path) for path in sorted(named, key=lambda path: (path.name.partition("-")[0], int(path.name.partition("-")[2] or 0)))]


def found_at(place: Path) -> Generation:
    """The backup at a place, or the newest of a folder of backups. Raises BadBackup."""
    if (place / ABOUT).exists() or (place / SUMS).exists():
        return Generation(place)
    if not (there := generations(place)):
        raise BadBackup(f"{place} is no backup and holds none")
    return there[-1]


def check(generation: Generation, only: Iterable[str] | None = None) -> list[Wrong]:
    """Everything that is wrong with a backup: of all its files, or of these and its own. Nothing: it is whole."""
    try:
        about, sums = generation.about(), generation.sums()
    except BadBackup as error:
        return [Wrong(SUMS if SUMS in str(error) else ABOUT, str(error))]
    own = set(generation.own())
    wrong = [Wrong(path, f"{SUMS} does not list it") for path in sorted(own - set(sums))]
    if about["files"] != len(sums):
        wrong.append(Wrong(SUMS, f"it lists {len(sums)} files, and there were {about['files']}"))
    wanted = sums if only is None else {path: sums[path] for path in sorted({*only, *own} & set(sums))}
    wrong += [Wrong(path, why) for path, sha256 in wanted.items() if (why := _why(generation.place / path, sha256))]
    return [*wrong, *_unlisted(generation, sums, set(about.get("not_there") or ()))]


def _why(path: Path, sha256: str) -> str:
    """What is wrong with a file; empty when nothing is."""
    if path.is_symlink() or not path.is_file():
        return "it is missing"
    try:
        return "" if digest(path) == sha256 else "it is not what was written"
    except OSError as error:
        return f"it cannot be read: {error.strerror}"


def _unlisted(generation: Generation, sums: Mapping[str, str], not_there: set[str]) -> Iterator[Wrong]:
    """What the database names and the backup does not have."""
    try:
        named = snapshot.held(generation.place / DATABASE)
    except BadDatabase as error:
        yield Wrong(DATABASE, str(error))
        return
    for sha256 in sorted(named.originals):
        if sums.get(path := original(sha256)) != sha256 and sha256 not in not_there:
            yield Wrong(path, "the records name it, and the backup does not have it")
    with_files = {path.split("/")[2] for path in sums if path.startswith(f"{SHARED}{BOOKS}/")}
    for book in sorted(set(named.books) - with_files):
        yield Wrong(f"{SHARED}{BOOKS}/{book}", "the records name this book, and the backup does not have it")


def original(sha256: str) -> str:
    """Where an original stands, from within a generation."""
    return f"{SHARED}{ORIGINALS}/{sha256[:2]}/{sha256}"


def _is_within(path: str) -> bool:
    """Whether a path is one of a backup's files: nothing else of the disk is ever read or written."""
    inner = path.removeprefix(SHARED)
    shared = inner != path
    return not inner.startswith("/") and "\\" not in inner and not any(part in ("", ".", "..") for part in inner.split("/")) \
        and (not shared or inner.startswith((f"{ORIGINALS}/", f"{BOOKS}/")))
