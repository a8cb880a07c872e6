"""Books that were asked for: from `queued` over `running` to `done`, `failed` or `canceled`.

Only the newest attempt at a book may say anything of it: a process that was thought dead, or was canceled, is not listened to.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, delete, func, insert, select, update
from sqlalchemy.exc import IntegrityError

from service.storage.models import Book, table_of
from service.storage.things import now

_TABLE = table_of(Book)
QUEUED, RUNNING, DONE, FAILED, CANCELED = "queued", "running", "done", "failed", "canceled"
STATES = (QUEUED, RUNNING, DONE, FAILED, CANCELED)
#: A book that was interrupted this often is what interrupts.
MOST_STARTS = 3


@dataclass(frozen=True, slots=True)
class Order:
    """What is asked for: a build's document as it is now, and how its book shall be.

    `keeps`: the car was handed over; `left_out`: ids of photographs and papers that were never sent;
    `shop`: a digest of what the book says of the shop; `events`: of how many of the car's events it carries the history.
    """

    build: str
    car: str
    document: str
    theme: str
    edition: str
    paper: str
    keeps: bool
    left_out: tuple[str, ...]
    shop: str
    events: int


def name_of(order: Order, answer: str, version: str) -> str:
    """The id of a book: a hash of everything that goes into it. The document names each photograph by its own hash."""
    content = {"document": json.loads(order.document), "answer": json.loads(answer), "theme": order.theme, "edition": order.edition,
               "paper": order.paper, "left_out": sorted(order.left_out), "shop": order.shop, "version": version, "events": order.events}
    return hashlib.sha256(json.dumps(content, sort_keys=True, ensure_ascii=False, separators=(",", ":")).encode()).hexdigest()[:32]


def find(connection: Connection, id: str) -> Row[Any] | None:
    """A book that was asked for."""
    return connection.execute(select(_TABLE).where(_TABLE.c.id == id)).first()


def of_build(connection: Connection, build: str) -> Sequence[Row[Any]]:
    """A build's books, the newest first."""
    return connection.execute(select(_TABLE).where(_TABLE.c.build == build).order_by(_TABLE.c.asked_at.desc(), _TABLE.c.id)).all()


def handed_over(connection: Connection, car: str) -> Sequence[Row[Any]]:
    """A car's books that are done and went out with it, the oldest first."""
    return connection.execute(select(_TABLE).where(_TABLE.c.car == car, _TABLE.c.keeps, _TABLE.c.state == DONE).order_by(_TABLE.c.asked_at, _TABLE.c.id)).all()


def take_back(connection: Connection, book: Mapping[str, Any]) -> None:
    """Know a book again as it was known elsewhere; its files are there already."""
    if find(connection, book["id"]) is None:
        connection.execute(insert(_TABLE), {**{column.name: book.get(column.name) for column in _TABLE.c}, "events": book.get("events", 0)})


def ask(connection: Connection, id: str, order: Order) -> tuple[Row[Any], bool]:
    """Ask for a book, and whether that puts it into the queue: one that is there or under way is shared, one that failed or
    was canceled is queued again.
    """
    kept, fresh = find(connection, id), False
    if kept is None:
        # Two may ask at once: they share it.
        with suppress(IntegrityError), connection.begin_nested():
            connection.execute(insert(_TABLE), _new(id, order))
            fresh = True
    elif kept.state in (FAILED, CANCELED):
        again = {**_fresh(), "document": order.document, "events": order.events, "attempt": kept.attempt + 1}
        fresh = connection.execute(update(_TABLE).where(_TABLE.c.id == id, _TABLE.c.attempt == kept.attempt).values(**again)).rowcount == 1
    found = find(connection, id)
    assert found is not None
    return found, fresh


def _new(id: str, order: Order) -> dict[str, Any]:
    return {"id": id, "build": order.build, "car": order.car, "theme": order.theme, "edition": order.edition, "paper": order.paper,
            "document": order.document, "keeps": order.keeps, "left_out": len(order.left_out), "events": order.events, "attempt": 1, "pages": None, **_fresh()}


def _fresh() -> dict[str, Any]:
    return {"state": QUEUED, "starts": 0, "fraction": 0.0, "step": "waiting", "why": None, "asked_at": now(), "started_at": None, "seen_at": None,
            "finished_at": None}


def _say(connection: Connection, id: str, attempt: int, state: str, values: Mapping[str, Any]) -> bool:
    """Change a book, when this is still its newest attempt and it is in this state; returns whether it was."""
    mine = update(_TABLE).where(_TABLE.c.id == id, _TABLE.c.attempt == attempt, _TABLE.c.state == state)
    return connection.execute(mine.values(**values)).rowcount == 1


def begin(connection: Connection, id: str, attempt: int) -> Row[Any] | None:
    """Begin a queued book; None when it is not to be begun: canceled, begun by another process, or given up."""
    at = now()
    begun = {"state": RUNNING, "starts": _TABLE.c.starts + 1, "step": "beginning", "started_at": at, "seen_at": at}
    return find(connection, id) if _say(connection, id, attempt, QUEUED, begun) else None


def go_on(connection: Connection, id: str, attempt: int, fraction: float, step: str) -> bool:
    """Say how far a book is; returns False when nobody wants it any more."""
    return _say(connection, id, attempt, RUNNING, {"fraction": fraction, "step": step, "seen_at": now()})


def finish(connection: Connection, id: str, attempt: int, pages: int | None) -> list[str]:
    """A book is there. Returns the ids of those that it takes the place of: earlier states of the build, alike in theme,
    edition and paper, unless they went out with the car. They are forgotten here; their files are the caller's to remove.
    """
    done = {"state": DONE, "fraction": 1.0, "step": "done", "pages": pages, "finished_at": now(), "document": None}
    if not _say(connection, id, attempt, RUNNING, done):
        return []
    book = find(connection, id)
    assert book is not None
    alike = (_TABLE.c.build == book.build, _TABLE.c.theme == book.theme, _TABLE.c.edition == book.edition, _TABLE.c.paper == book.paper)
    earlier = select(_TABLE.c.id).where(*alike, _TABLE.c.asked_at < book.asked_at, _TABLE.c.state.in_((DONE, FAILED, CANCELED)), ~_TABLE.c.keeps)
    ids = list(connection.execute(earlier).scalars())
    connection.execute(delete(_TABLE).where(_TABLE.c.id.in_(ids)))
    return ids


def fail(connection: Connection, id: str, attempt: int, why: str) -> None:
    """A book cannot be made, and why."""
    _say(connection, id, attempt, RUNNING, {"state": FAILED, "step": "failed", "why": why, "finished_at": now(), "document": None})


def interrupted(connection: Connection, book: Row[Any]) -> None:
    """Queue a running book again whose process is gone, or give it up when that happened too often."""
    if book.starts >= MOST_STARTS:
        fail(connection, book.id, book.attempt, f"the service stopped {book.starts} times while it made this book; ask for it again to try once more")
        return
    again = {"state": QUEUED, "attempt": book.attempt + 1, "fraction": 0.0, "step": "waiting", "started_at": None, "seen_at": None}
    _say(connection, book.id, book.attempt, RUNNING, again)


def put_back(connection: Connection, id: str, attempt: int) -> None:
    """Queue a running book again because the service is being stopped; that is no mark against it."""
    again = {"state": QUEUED, "attempt": attempt + 1, "starts": _TABLE.c.starts - 1, "fraction": 0.0, "step": "waiting", "started_at": None, "seen_at": None}
    _say(connection, id, attempt, RUNNING, again)


def silent(connection: Connection, seconds: float) -> Sequence[Row[Any]]:
    """Running books of which nothing was heard for this long."""
    before = (dt.datetime.now(dt.UTC) - dt.timedelta(seconds=seconds)).isoformat(timespec="microseconds")
    return connection.execute(select(_TABLE).where(_TABLE.c.state == RUNNING, _TABLE.c.seen_at <= before)).all()


def queued(connection: Connection) -> Sequence[Row[Any]]:
    """Books that wait, in the order in which they were asked for."""
    return connection.execute(select(_TABLE).where(_TABLE.c.state == QUEUED).order_by(_TABLE.c.asked_at)).all()


def cancel(connection: Connection, book: Row[Any]) -> bool:
    """End a book that waits or is being made; returns False when it was in neither state any more."""
    ended = {"state": CANCELED, "step": "canceled", "finished_at": now(), "document": None}
    waiting = update(_TABLE).where(_TABLE.c.id == book.id, _TABLE.c.attempt == book.attempt, _TABLE.c.state.in_((QUEUED, RUNNING)))
    return connection.execute(waiting.values(**ended)).rowcount == 1


def forget(connection: Connection, id: str) -> None:
    """Forget a book; its files are the caller's to remove."""
    connection.execute(delete(_TABLE).where(_TABLE.c.id == id))


def known(connection: Connection) -> set[str]:
    """The ids of all books."""
    return set(connection.execute(select(_TABLE.c.id)).scalars())


def count(connection: Connection) -> dict[str, int]:
    """How many books are in each state."""
    counted: dict[str, int] = {row[0]: row[1] for row in connection.execute(select(_TABLE.c.state, func.count()).group_by(_TABLE.c.state))}
    return {state: counted.get(state, 0) for state in STATES}
