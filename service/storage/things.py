"""What is kept: cars, builds and records of builds, each as a row of revisions of which the newest holds."""

from __future__ import annotations

import datetime as dt
import json
import re
import sqlite3
import threading
import time
import uuid
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

from sqlalchemy import Connection, Row, bindparam, func, insert, literal_column, select, tuple_, update
from sqlalchemy.exc import IntegrityError

from service.storage import chain
from service.storage.models import BUILDS, CARS, CHANGED, CREATED, RETRACTED, Revision, table_of
from service.storage.prepared import Prepared

_TABLE = table_of(Revision)
_COLUMNS = tuple(_TABLE.c)
_HEAD = Prepared(select(_TABLE.c.event, _TABLE.c.hash).where(_TABLE.c.car == bindparam("car")).order_by(_TABLE.c.event.desc()).limit(1), ["car"])
_LAST_PLACE = Prepared(select(func.max(_TABLE.c.place)).where(_TABLE.c.scope == bindparam("scope"), _TABLE.c.list == bindparam("list"), _TABLE.c.current),
                       ["scope", "list"])
_INSERT = Prepared(insert(_TABLE), [column.name for column in _COLUMNS if column.name != "seq"])
#: The kind of lock that the chain of a car takes; records that are judged together take another.
_CHAIN = 2
_CURRENT = select(*_COLUMNS).where(_TABLE.c.current)
#: Ids stand in addresses: one path segment, and not one that a client resolves away.
_ID = re.compile(r"(?!\.{1,2}\Z)[^/\\?#\x00-\x1f\x7f]{1,200}\Z")

ID_RULE = "an id that is kept here is one piece of an address: up to 200 characters without / \\ ? # or control characters"

#: The scopes of cars and builds. A record's scope is its build.
SCOPES = {CARS: "/cars", BUILDS: "/builds"}


class Taken(Exception):
    """The id is already that of another thing in its scope."""


class Stale(Exception):
    """Someone else has changed the thing meanwhile."""


@dataclass(frozen=True, slots=True)
class Author:
    """Who makes a change, from which device."""

    by: str
    device: str


@dataclass(frozen=True, slots=True)
class Where:
    """Where a thing stands: its scope, its list, its id, its car."""

    scope: str
    list: str
    id: str
    car: str


def car_at(car: str) -> Where:
    """Where a car stands."""
    return Where(SCOPES[CARS], CARS, car, car)


def build_at(build: str, car: str) -> Where:
    """Where a build of a car stands."""
    return Where(SCOPES[BUILDS], BUILDS, build, car)


def good_id(text: str) -> bool:
    """Whether a text can be an id here: one segment of an address, at most 200 characters."""
    return bool(_ID.match(text))


def new_id() -> str:
    """A fresh id."""
    return str(uuid.uuid4())


def now() -> str:
    """This moment, RFC 3339 in UTC."""
    return dt.datetime.now(dt.UTC).isoformat(timespec="microseconds")


class _Places:
    """Numbers that put things in the order they were made: microseconds, never the same twice in a process."""

    def __init__(self) -> None:
        self._last = 0
        self._lock = threading.Lock()

    def next(self, count: int = 1, after: int = 0) -> int:
        """The first of `count` numbers in a row, all beyond `after`: a clock that was set back puts nothing before what was there."""
        with self._lock:
            first = max(time.time_ns() // 1000, self._last + 1, after + 1)
            self._last = first + count - 1
            return first


_places = _Places()


def as_text(body: Mapping[str, Any]) -> str:
    """A thing as it is kept."""
    return json.dumps(body, ensure_ascii=False, separators=(",", ":"))


def create(connection: Connection, author: Author, where: Where, body: Mapping[str, Any]) -> None:
    """Keep a new thing. Raises Taken when its id was used before in its scope, by a retracted one too."""
    create_all(connection, author, [(where, body)])


def create_all(connection: Connection, author: Author, things: Sequence[tuple[Where, Mapping[str, Any]]]) -> None:
    """Keep new things, in this order. Raises Taken when an id was used before."""
    first, at = _places.next(len(things), _last_place(connection, {(where.scope, where.list) for where, _ in things})), now()
    rows = [_row(author, where, CREATED, 1, first + index, at, as_text(body)) for index, (where, body) in enumerate(things)]
    try:
        _append(connection, rows)
    except (IntegrityError, sqlite3.IntegrityError) as error:
        raise Taken from error


def _last_place(connection: Connection, lists: Iterable[tuple[str, str]]) -> int:
    """The place of the last entry of these lists."""
    found = (_LAST_PLACE.first(connection, {"scope": scope, "list": name}) for scope, name in lists)
    return max((int(row[0]) for row in found if row and row[0] is not None), default=0)


def _append(connection: Connection, rows: list[dict[str, Any]]) -> None:
    """Add revisions to the chains of their cars, one transaction at a time for each car."""
    heads: dict[str, Sequence[Any]] = {}
    for car in sorted({row["car"] for row in rows}):
        one_at_a_time(connection, f"/cars/{car}", _CHAIN)
        heads[car] = _HEAD.first(connection, {"car": car}) or (0, chain.BEGINNING)
    for row in rows:
        number, previous = heads[row["car"]]
        row.update(event=number + 1, previous=previous)
        row["hash"] = chain.seal(chain.line(event_of(row)))
        heads[row["car"]] = (number + 1, row["hash"])
    if len(rows) == 1:
        _INSERT.run(connection, rows[0])
    else:
        connection.execute(insert(_TABLE), rows)


def event_of(row: Mapping[str, Any]) -> chain.Event:
    """A revision as an event of its car."""
    return chain.Event(row["event"], row["car"], row["at"], row["by"], row["device"], row["action"], chain.what(row["scope"], row["list"], row["id"]),
                       row["number"], row["place"], row["reason"], chain.record_seal(row["body"]), row["previous"])


def _row(author: Author, where: Where, action: str, number: int, place: int, at: str, body: str, reason: str | None = None) -> dict[str, Any]:
    return {"scope": where.scope, "list": where.list, "id": where.id, "number": number, "current": True, "place": place, "car": where.car,
            "action": action, "at": at, "by": author.by, "device": author.device, "reason": reason, "body": body}


def history(connection: Connection, car: str, until: int | None = None) -> str:
    """The sealed lines of a car's events, oldest first, `until` the number of the last one wanted."""
    rows = of_car(connection, car, until)
    return "".join(chain.line(event_of(dict(row._mapping))) for row in rows)


def events_of(connection: Connection, car: str) -> int:
    """How many events a car has."""
    head = _HEAD.first(connection, {"car": car})
    return int(head[0]) if head else 0


def take_back(connection: Connection, events: Sequence[Mapping[str, Any]]) -> None:
    """Keep revisions as they were kept elsewhere: the car's next events, in their order, with their hashes. Raises Taken for an id in use.

    Each has every column of a revision but `seq` and `current`; the newest of each thing is its current state.
    """
    last = {(row["scope"], row["id"]): row["number"] for row in events}
    for scope, id in set(last) - {(row["scope"], row["id"]) for row in events if row["number"] == 1}:
        connection.execute(update(_TABLE).where(_TABLE.c.scope == scope, _TABLE.c.id == id, _TABLE.c.current).values(current=False))
    rows = [{**row, "current": row["number"] == last[row["scope"], row["id"]]} for row in events]
    try:
        connection.execute(insert(_TABLE), rows if len(rows) > 1 else rows[0])
    except IntegrityError as error:
        raise Taken from error


def change(connection: Connection, author: Author, kept: Row[Any], body: Mapping[str, Any]) -> int:
    """Keep a new state of the thing whose current revision is `kept`; returns its number. Raises Stale when that is no longer so."""
    return _follow(connection, author, kept, CHANGED, as_text(body))


def retract(connection: Connection, author: Author, kept: Row[Any], reason: str | None) -> int:
    """Take a thing back; what was there is kept. Returns the number of that revision. Raises Stale."""
    return _follow(connection, author, kept, RETRACTED, kept.body, reason)


def _follow(connection: Connection, author: Author, kept: Row[Any], action: str, body: str, reason: str | None = None) -> int:
    done = connection.execute(update(_TABLE).where(_TABLE.c.seq == kept.seq, _TABLE.c.current).values(current=False))
    if done.rowcount != 1:
        raise Stale
    where = Where(kept.scope, kept.list, kept.id, kept.car)
    _append(connection, [_row(author, where, action, kept.number + 1, kept.place, now(), body, reason)])
    return int(kept.number) + 1


def find(connection: Connection, scope: str, id: str) -> Row[Any] | None:
    """The current revision of a thing, a retraction too; None when there never was one."""
    newest = select(*_COLUMNS).where(_TABLE.c.scope == scope, _TABLE.c.id == id).order_by(_TABLE.c.number.desc()).limit(1)
    return connection.execute(newest).first()


def find_all(connection: Connection, scope: str, ids: Iterable[str]) -> Sequence[Row[Any]]:
    """The current revisions of several things of a scope that are not retracted."""
    wanted = _CURRENT.where(_TABLE.c.scope == scope, _TABLE.c.id.in_(list(ids)), _TABLE.c.action != RETRACTED)
    return connection.execute(wanted).all()


def listed(connection: Connection, scope: str, name: str, limit: int | None = None, after: tuple[int, str] | None = None) -> Sequence[Row[Any]]:
    """A list's entries that are not retracted, in the order they were made, `after` the place and id of an earlier page's last."""
    wanted = _CURRENT.where(_TABLE.c.scope == scope, _TABLE.c.list == name, _TABLE.c.action != RETRACTED)
    if after is not None:
        wanted = wanted.where(tuple_(_TABLE.c.place, _TABLE.c.id) > tuple_(*after))
    wanted = wanted.order_by(_TABLE.c.place, _TABLE.c.id)
    return connection.execute(wanted.limit(limit) if limit is not None else wanted).all()


def newest(connection: Connection, scope: str, name: str, limit: int, before: int | None = None,
           wanted_body: Callable[[Mapping[str, Any]], bool] = lambda body: True) -> Sequence[Row[Any]]:
    """A list's things that are not retracted, the newest made first; `before` is the place of an earlier page's last.

    `wanted_body` says which of them are wanted; they are read until there are enough.
    """
    wanted = _CURRENT.where(_TABLE.c.scope == scope, _TABLE.c.list == name, _TABLE.c.action != RETRACTED)
    if before is not None:
        wanted = wanted.where(_TABLE.c.place < before)
    rows = connection.execute(wanted.order_by(_TABLE.c.place.desc(), _TABLE.c.id.desc()))
    return list(islice((row for row in rows if wanted_body(json.loads(row.body))), limit))


def builds_of(connection: Connection, car: str, limit: int, after: tuple[int, str] | None = None) -> Sequence[Row[Any]]:
    """A car's builds, in the order they were made."""
    wanted = _CURRENT.where(_TABLE.c.car == car, _TABLE.c.list == literal_column(f"'{BUILDS}'"))
    if after is not None:
        wanted = wanted.where(tuple_(_TABLE.c.place, _TABLE.c.id) > tuple_(*after))
    return connection.execute(wanted.order_by(_TABLE.c.place, _TABLE.c.id).limit(limit)).all()


def every_build(connection: Connection) -> Iterator[tuple[str, int]]:
    """Every build, car by car in the order of their ids, with the number of its car's last event."""
    build, other = _TABLE.alias("build"), _TABLE.alias("other")
    last = select(func.max(other.c.event)).where(other.c.car == build.c.car).scalar_subquery()
    wanted = select(build.c.id, last).where(build.c.scope == SCOPES[BUILDS], build.c.list == BUILDS, build.c.current, build.c.action != RETRACTED)
    for row in connection.execute(wanted.order_by(build.c.car, build.c.place, build.c.id)):
        yield str(row[0]), int(row[1])


def one_at_a_time(connection: Connection, scope: str, kind: int = 1) -> None:
    """From here to its end, no other transaction that asks the same changes this scope. SQLite's one writer is alone anyway."""
    if connection.dialect.name == "postgresql":
        connection.execute(select(func.pg_advisory_xact_lock(func.hashtextextended(scope, kind))))


def whole_scope(connection: Connection, scope: str) -> Sequence[Row[Any]]:
    """Every record of a build that is not retracted, in the order they were made."""
    wanted = _CURRENT.where(_TABLE.c.scope == scope, _TABLE.c.action != RETRACTED).order_by(_TABLE.c.place, _TABLE.c.id)
    return connection.execute(wanted).all()


def revisions(connection: Connection, scope: str, id: str) -> Sequence[Row[Any]]:
    """Every revision of a thing, oldest first."""
    wanted = select(*_COLUMNS).where(_TABLE.c.scope == scope, _TABLE.c.id == id).order_by(_TABLE.c.number)
    return connection.execute(wanted).all()


def of_car(connection: Connection, car: str, limit: int | None = None, after: int = 0) -> Sequence[Row[Any]]:
    """Everything that was ever recorded of a car, in the order it was recorded, `after` the number of an earlier page's last event."""
    wanted = select(*_COLUMNS).where(_TABLE.c.car == car, _TABLE.c.event > after).order_by(_TABLE.c.event)
    return connection.execute(wanted.limit(limit) if limit is not None else wanted).all()
