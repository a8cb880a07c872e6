"""The photographs and papers of a build handed out to whoever makes a book or packet of it: clean, and nothing else."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service.pictures import SUFFIXES, BadPicture
from service.storage import files
from service.storage.files import About
from service.storage.store import Store

_log = logging.getLogger(__name__)
_Giver = Callable[[About], tuple[bytes, str]]


@dataclass(frozen=True, slots=True)
class Handed:
    """A document whose files stand in a folder, and the ids of photographs and papers that were never sent, which it leaves out."""

    document: dict[str, Any]
    missing: list[str]


def hand_out(store: Store, document: Mapping[str, Any], folder: Path, *, whole: bool = False) -> Handed:
    """Put the photographs of a build's document below `folder` as `photos/….jpg`, and its papers as `papers/….pdf`.

    Photographs are given in the large size that books print, or `whole`: a clean copy of the original. Papers are always whole;
    which of them are handed over is for the document to say. Nothing in these files tells of owner, place or camera. The
    document that comes back names them; `folder` can be removed when the book is made. Raises OSError when the store of files
    or the folder cannot be reached.
    """
    give = {"photos": store.files.copy if whole else lambda about: (store.files.size("large", about), "image/jpeg"), "papers": store.files.copy}
    found, missing = {**document}, list[str]()
    for name, giver in give.items():
        found[name] = _put_all(store, document.get(name) or (), folder / name, giver, missing)
    return Handed(_without(found, frozenset(missing)), missing)


def never_sent(store: Store, document: Mapping[str, Any]) -> tuple[str, ...]:
    """The ids of a document's photographs and papers whose files were never sent: a book leaves them out."""
    records = [*(document.get("photos") or ()), *(document.get("papers") or ())]
    known = _known(store, records)
    return tuple(str(record["id"]) for record in records if str(record.get("sha256")) not in known)


def _put_all(store: Store, records: Iterable[Mapping[str, Any]], folder: Path, give: _Giver, missing: list[str]) -> list[dict[str, Any]]:
    """The records whose files are in the folder now, naming them; ids of the others go to `missing`."""
    folder.mkdir(parents=True, exist_ok=True)
    records, there = list(records), []
    known = _known(store, records)
    for record in records:
        file = _put(known.get(str(record.get("sha256"))), folder, give)
        if file is None:
            missing.append(str(record["id"]))
        else:
            there.append({**record, "file": f"{folder.name}/{file}"})
    return there


def _put(about: About | None, folder: Path, give: _Giver) -> str | None:
    """Put a file into the folder, once; returns its name. None when it was never sent, or was lost."""
    if about is None:
        return None
    already = next(folder.glob(f"{about.sha256}.*"), None)
    if already is not None:
        return already.name
    try:
        content, kind = give(about)
    except (FileNotFoundError, BadPicture):
        _log.exception("a file that was kept is not there whole: %s", about.sha256)
        return None
    file = f"{about.sha256}.{SUFFIXES[kind]}"
    (folder / file).write_bytes(content)
    return file


def _known(store: Store, records: Iterable[Mapping[str, Any]]) -> dict[str, About]:
    with store.database.reading() as connection:
        found = (files.find(connection, str(record.get("sha256"))) for record in records)
        return {about.sha256: about for about in found if about is not None}


def _without(document: dict[str, Any], missing: frozenset[str]) -> dict[str, Any]:
    """The document with no record naming a photograph that is missing."""
    if missing:
        for name, records in document.items():
            if isinstance(records, list):
                document[name] = [_named(record, missing) for record in records]
    return document


def _named(record: Any, missing: frozenset[str]) -> Any:
    if not isinstance(record, dict) or not record.get("photos"):
        return record
    return {**record, "photos": [id for id in record["photos"] if id not in missing]}
