"""The photographs of a build handed out to whoever makes a book of it: clean, upright, ready-sized."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service.storage import files
from service.storage.files import About
from service.storage.store import Store


@dataclass(frozen=True, slots=True)
class Handed:
    """A document whose photographs' files stand in a folder, and the ids of those that were never sent, which it leaves out."""

    document: dict[str, Any]
    missing: list[str]


def hand_out(store: Store, document: Mapping[str, Any], folder: Path) -> Handed:
    """Put the large clean size of every photograph of a build's document below `folder`, as `photos/….jpg`.

    Nothing in these files tells of owner, place or camera. The document that comes back names them; `folder` can be removed
    when the book is made.
    """
    (folder / "photos").mkdir(parents=True, exist_ok=True)
    known = _known(store, document)
    photos, missing = [], []
    for photo in document.get("photos") or ():
        about = known.get(str(photo.get("sha256")))
        if about is None:
            missing.append(str(photo["id"]))
            continue
        file = f"photos/{about.sha256}.jpg"
        if not (folder / file).exists():
            (folder / file).write_bytes(store.files.size("large", about))
        photos.append({**photo, "file": file})
    return Handed(_without(document, photos, frozenset(missing)), missing)


def never_sent(store: Store, document: Mapping[str, Any]) -> tuple[str, ...]:
    """The ids of a document's photographs whose files were never sent: a book leaves them out."""
    known = _known(store, document)
    return tuple(str(photo["id"]) for photo in document.get("photos") or () if str(photo.get("sha256")) not in known)


def _known(store: Store, document: Mapping[str, Any]) -> dict[str, About]:
    with store.database.reading() as connection:
        found = (files.find(connection, str(photo.get("sha256"))) for photo in document.get("photos") or ())
        return {about.sha256: about for about in found if about is not None}


def _without(document: Mapping[str, Any], photos: list[dict[str, Any]], missing: frozenset[str]) -> dict[str, Any]:
    """The document with these photographs, and no record naming one that is missing."""
    found = {**document, "photos": photos}
    if missing:
        for name, records in document.items():
            if isinstance(records, list) and name != "photos":
                found[name] = [_named(record, missing) for record in records]
    return found


def _named(record: Any, missing: frozenset[str]) -> Any:
    if not isinstance(record, dict) or not record.get("photos"):
        return record
    return {**record, "photos": [id for id in record["photos"] if id not in missing]}
