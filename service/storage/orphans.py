"""Files that no record names: what a crash between keeping a file and committing its record leaves behind. They harm nothing."""

from __future__ import annotations

import datetime as dt
import logging
from itertools import islice

from service.storage import files
from service.storage.store import Store

#: What comes in is committed long before this.
_AGE = dt.timedelta(days=1)
#: Files looked up in one query.
_AT_ONCE = 500
_log = logging.getLogger(__name__)


def collect(store: Store, age: dt.timedelta = _AGE) -> int:
    """Drop originals older than `age` that no record ever named; returns how many."""
    originals = store.files.originals(dt.datetime.now(dt.UTC) - age)
    dropped = 0
    while batch := list(islice(originals, _AT_ONCE)):
        with store.database.reading() as connection:
            known = files.known(connection, batch)
        dropped += sum(_drop(store, sha256) for sha256 in batch if sha256 not in known)
    return dropped


def _drop(store: Store, sha256: str) -> bool:
    """Drop one while nobody notes it; whoever is about to finds it gone and keeps it again."""
    with store.database.writing() as connection:
        files.alone(connection)
        if files.find(connection, sha256) is not None:
            return False
        store.files.drop(sha256)
    return True


def tidy(store: Store) -> None:
    """What a server does beside its work: drop abandoned uploads and files that no record names."""
    uploads, orphans = store.uploads.drop_abandoned(), collect(store)
    if uploads or orphans:
        _log.info("tidied: %s files of abandoned uploads, %s files that no record names", uploads, orphans)
