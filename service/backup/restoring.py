"""A data folder made out of a backup: all of it, or nothing under its name."""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from service.backup.generation import ABOUT, SHARED, BadBackup, check, found_at
from service.lock import FolderLock
from service.storage.disk import sync, sync_folder

_BLOCK = 1 << 20


@dataclass(frozen=True, slots=True)
class Restored:
    """What became of a backup: which it was, where it is now, how many files, and the originals that it never had."""

    backup: Path
    made_at: str
    data: Path
    files: int
    not_there: tuple[str, ...]


def restore_backup(source: Path, data: Path) -> Restored:
    """Make a data folder out of the backup at `source`, or the newest there, once every file of it was found whole.

    Raises BadBackup, also when there is anything in the folder already; OSError. Then nothing of it is left.
    """
    if data.exists() and (not data.is_dir() or any(data.iterdir())):
        raise BadBackup(f"{data} is not empty: a backup is restored into a folder of its own, and nothing is overwritten")
    generation = found_at(source)
    wrong = check(generation)
    if wrong:
        raise BadBackup(f"{generation.place} is not whole ({len(wrong)} finding{'s' if len(wrong) > 1 else ''}, the first: {wrong[0].file}: {wrong[0].why})")
    data.parent.mkdir(parents=True, exist_ok=True)
    work, lock = data.with_name(f".{data.name}.part"), FolderLock(data.with_name(f".{data.name}.lock"))
    if not lock.take():
        raise BadBackup(f"another backup is being restored to {data}")
    try:
        shutil.rmtree(work, ignore_errors=True)
        sums = generation.sums()
        _fill(work, generation.place, sums)
        if data.exists():
            data.rmdir()
        work.rename(data)
        sync(data.parent)
    finally:
        shutil.rmtree(work, ignore_errors=True)
        data.with_name(f".{data.name}.lock").unlink(missing_ok=True)
        lock.give_back()
    about = generation.about()
    return Restored(generation.place, str(about.get("made_at")), data, len(sums), tuple(about.get("not_there") or ()))


def _fill(work: Path, place: Path, sums: dict[str, str]) -> None:
    """Copy everything, each file compared once more as it is copied, and have it on the disk."""
    work.mkdir(mode=0o700)
    for path, sha256 in sums.items():
        if path == ABOUT:
            continue
        to = work / path.removeprefix(SHARED)
        to.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if _copy(place / path, to) != sha256:
            raise BadBackup(f"{place / path} changed while it was read")
    sync_folder(work)


def _copy(source: Path, to: Path) -> str:
    """Copy a file with its permissions; returns the SHA-256 of what was copied."""
    found = hashlib.sha256()
    handle = os.open(to, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with source.open("rb") as content, open(handle, "wb") as file:
        while block := content.read(_BLOCK):
            found.update(block)
            file.write(block)
    shutil.copymode(source, to)
    return found.hexdigest()


def is_full(error: OSError) -> bool:
    """Whether it says that a disk or a quota is used up."""
    return error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
