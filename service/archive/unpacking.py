"""A packet taken in: the build as it stands there, with the clean copies of photographs and papers that it carries.

A packet has no originals. What is taken in are the copies, under their own checksums, and the records name these; where the
original is here already, its record stays with it. Doing it twice makes the same records, so it changes nothing.
"""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reports import packet
from reports.embedded import DOCUMENT
from service import pictures
from service.archive import handed
from service.archive.bagit import BadBag
from service.archive.containers import Container, opened
from service.archive.handed import content_of
from service.document import load
from service.storage import documents, files
from service.storage.documents import Imported
from service.storage.files import About
from service.storage.store import Store
from service.storage.things import Author

_LISTS = ("photos", "papers")


@dataclass(frozen=True, slots=True)
class Unpacked:
    """What became of a packet: its build, and how many clean copies stand in place of originals that are not here."""

    taken: Imported
    copies: int


def unpack(store: Store, place: Path, author: Author) -> Unpacked:
    """Take a packet in, as `POST /v1/documents` would its document; what differs is listed and nothing is changed then.

    Raises BadBag when it is not whole, DocumentError when its record is not valid here, OSError when a copy cannot be kept.
    """
    findings = handed.verify(place).findings
    if findings:
        raise BadBag(f"{len(findings)} findings, the first: {findings[0].file} {findings[0].what}: {findings[0].why}")
    with opened(place) as container:
        raw = json.loads(content_of(container, DOCUMENT))
        load(raw)
        copies = {(name, id): (content, kind) for name, id, content, kind in _copies(store, container, raw)}
    raw = _naming(raw, {key: hashlib.sha256(content).hexdigest() for key, (content, _) in copies.items()})
    abouts = [_keep(store, content, kind) for content, kind in copies.values()]
    with store.database.writing() as connection:
        taken = documents.take(connection, author, raw, load(raw))
        if not taken.differing:
            files.alone(connection)
            for about in abouts:
                files.note(connection, about)
    return Unpacked(taken, len(copies))


def _copies(store: Store, container: Container, document: Mapping[str, Any]) -> Iterator[tuple[str, str, bytes, str]]:
    """The copies in a packet whose originals are not here: list, record, content, kind."""
    held = packet.named(document)
    for name in _LISTS:
        for record in document.get(name) or ():
            file = held[name].get(record["id"], "")
            if file in container.sizes and not _is_here(store, str(record.get("sha256"))):
                yield name, record["id"], content_of(container, file), "application/pdf" if file.endswith(".pdf") else "image/jpeg"


def _is_here(store: Store, sha256: str) -> bool:
    with store.database.reading() as connection:
        return files.find(connection, sha256) is not None


def _naming(document: Mapping[str, Any], sums: Mapping[tuple[str, str], str]) -> dict[str, Any]:
    """The document whose records name the copies."""
    return {**document, **{name: [{**record, "sha256": sums.get((name, record["id"]), record.get("sha256"))} for record in document[name]]
                           for name in _LISTS if document.get(name)}}


def _keep(store: Store, content: bytes, kind: str) -> About:
    try:
        made, sha256 = pictures.clean(io.BytesIO(content), kind), hashlib.sha256(content).hexdigest()
    except pictures.BadPicture as error:
        raise BadBag(f"it holds a picture or paper that cannot be taken in: {error}") from error
    store.files.keep(sha256, io.BytesIO(content), made.sizes)
    return About(sha256, kind, len(content), made.width, made.height)
