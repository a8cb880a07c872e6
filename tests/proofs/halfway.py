"""Work that is killed halfway: run in a process of its own by `test_halfway`."""

from __future__ import annotations

from multiprocessing.synchronize import Event
from pathlib import Path

from service.archive.restoring import restore
from service.archive.writing import archive
from service.backup.restoring import restore_backup
from service.backup.writing import back_up
from service.storage.store import open_store


def work(what: str, source: Path, out: Path, car: str, begun: Event) -> None:
    """Archive a car of the data folder `source` to `out`, take the bag `source` in at `out`, back up or restore a backup."""
    store = open_store(source if what == "archive" else out) if what in ("archive", "restore") else None
    begun.set()
    if what == "archive":
        assert store is not None
        archive(store, car, out)
    elif what == "restore":
        assert store is not None
        restore(store, source)
    elif what == "back up":
        back_up(source, out, keep=3)
    else:
        restore_backup(source, out)
