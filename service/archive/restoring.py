"""A bag taken in: the same records, revisions, photographs and books; what is there already is never overwritten."""

from __future__ import annotations

import io
import json
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service import pictures
from service.archive import verifying
from service.archive.bagit import BadBag
from service.archive.containers import Container, opened
from service.storage import books, chain, files, search, things
from service.storage.chain import Event
from service.storage.disk import sync, sync_folder
from service.storage.files import About
from service.storage.models import RETRACTED
from service.storage.store import Store
from service.storage.things import SCOPES, Taken, Where

_FILES, _BOOKS = "data/files/", "data/books/"


class Conflict(Exception):
    """What is kept differs from what the bag holds; nothing was changed."""


@dataclass(frozen=True, slots=True)
class Restored:
    """What became of a bag: its car, how many events are new here, and how many were here before."""

    car: str
    new: int
    before: int


def restore(store: Store, place: Path) -> Restored:
    """Take in a bag that is whole. Raises BadBag with what is wrong, Conflict when something else is kept here under its ids.

    A bag that says more of a car than is kept continues its history; one that says the same or less changes nothing.
    """
    report = verifying.verify(place)
    if report.findings:
        first = report.findings[0]
        raise BadBag(f"{len(report.findings)} findings, the first: {first.file} {first.what}: {first.why}")
    with opened(place) as container:
        events, bodies = verifying.history(container)
        abouts = _keep_files(store, container)
        _keep_book_files(store, container)
        try:
            with store.database.writing() as connection:
                return _keep_rows(connection, container, abouts, events, bodies)
        except Taken as error:
            raise Conflict("an id of the bag's is that of another car's thing here") from error


def _keep_files(store: Store, container: Container) -> list[About]:
    """Originals first: a file that no record names does no harm, a record without its file does. Those known here already are passed over."""
    abouts = []
    for name in sorted(container.sizes):
        sha256 = name.removeprefix(_FILES).partition(".")[0]
        if name.startswith(_FILES) and not _is_known(store, sha256):
            content, kind = _bytes(container, name), _kind(name)
            made = pictures.clean(io.BytesIO(content), kind)
            store.files.keep(sha256, io.BytesIO(content), made.sizes)
            abouts.append(About(sha256, kind, len(content), made.width, made.height))
    return abouts


def _is_known(store: Store, sha256: str) -> bool:
    with store.database.reading() as connection:
        return files.find(connection, sha256) is not None and store.files.has_original(sha256)


def _keep_book_files(store: Store, container: Container) -> None:
    wanted = {name.removeprefix(_BOOKS).partition("/")[0] for name in container.sizes if name.startswith(_BOOKS) and name.count("/") > 2}
    for book in sorted(wanted):
        place, work = store.folder / "books" / book, store.folder / "books" / f".{book}.part"
        if place.exists():
            continue
        shutil.rmtree(work, ignore_errors=True)
        for name in sorted(container.sizes):
            if name.startswith(f"{_BOOKS}{book}/"):
                path = work / name.removeprefix(f"{_BOOKS}{book}/")
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(_bytes(container, name))
        sync_folder(work)
        work.rename(place)
        sync(place.parent)


def _keep_rows(connection: Any, container: Container, abouts: Sequence[About], events: Sequence[Event], bodies: Sequence[str]) -> Restored:
    car = events[0].car
    things.one_at_a_time(connection, f"/cars/{car}")
    kept = things.of_car(connection, car)
    for row, event in zip(kept, events, strict=False):
        if row.hash != chain.seal(chain.line(event)):
            raise Conflict(f"the history kept here and the bag's part at event {event.event} ({event.what}, {event.action} {event.at} by {event.by}; "
                           f"here {chain.what(row.scope, row.list, row.id)}, {row.action} {row.at} by {row.by})")
    new = [_row(event, body) for event, body in zip(events[len(kept):], bodies[len(kept):], strict=True)]
    files.alone(connection)
    for about in abouts:
        files.note(connection, about)
    if new:
        things.take_back(connection, new)
        _make_findable(connection, new)
    for name in sorted(container.sizes):
        if name.startswith(_BOOKS) and name.endswith(".json") and name.count("/") == 2:
            books.take_back(connection, json.loads(_bytes(container, name)))
    return Restored(car, len(new), len(kept))


def _row(event: Event, body: str) -> dict[str, Any]:
    """A revision out of an event and its record."""
    where = event.what.split("/", 3)
    if len(where) == 2:
        scope, name, id = SCOPES[where[0]], *where
    elif len(where) == 4:
        scope, name, id = where[1], where[2], where[3]
    else:
        raise BadBag(f"event {event.event} is of {event.what}, which is nothing of a car's")
    return {"scope": scope, "list": name, "id": id, "number": event.revision, "place": event.place, "car": event.car, "action": event.action, "at": event.at,
            "by": event.by, "device": event.device, "reason": event.reason, "body": body, "event": event.event, "previous": event.previous,
            "hash": chain.seal(chain.line(event))}


def _make_findable(connection: Any, rows: Sequence[dict[str, Any]]) -> None:
    """In the order in which things were changed last, which is that of what is found."""
    new = {(row["scope"], row["id"]) for row in rows if row["number"] == 1}
    last = sorted({(row["scope"], row["id"]): row for row in rows}.values(), key=lambda row: row["event"])
    pairs = [(Where(row["scope"], row["list"], row["id"], row["car"]), json.loads(row["body"])) for row in last]
    for where, _ in pairs:
        if (where.scope, where.id) not in new:
            search.forget(connection, where)
    search.note_all(connection, [pair for row, pair in zip(last, pairs, strict=True) if row["action"] != RETRACTED])
    files.attach(connection, [pair for pair in pairs if (pair[0].scope, pair[0].id) in new])


def _kind(name: str) -> str:
    known = {suffix: kind for kind, suffix in pictures.SUFFIXES.items()}
    return known[name.rpartition(".")[2]]


def _bytes(container: Container, name: str) -> bytes:
    with container.reading(name) as content:
        return content.read()
