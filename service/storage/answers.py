"""Answers kept for retries: the same key and request are given the first answer again."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, bindparam, delete, func, insert, select

from service.storage.models import Answer, table_of
from service.storage.prepared import Prepared
from service.storage.things import now

_TABLE = table_of(Answer)
_FIND = Prepared(select(_TABLE.c.digest, _TABLE.c.status, _TABLE.c.headers, _TABLE.c.body)
                 .where(_TABLE.c.device == bindparam("device"), _TABLE.c.key == bindparam("key")), ["device", "key"])
_KEEP = Prepared(insert(_TABLE), [column.name for column in _TABLE.c])
#: A phone that was away longer than this asks again with a new key (the client-chosen id still makes no double).
KEPT_DAYS = 60


@dataclass(frozen=True, slots=True)
class Given:
    """An answer as it was given, and the digest of the request that it was given to."""

    digest: str
    status: int
    headers: Mapping[str, str]
    body: str


def claim(connection: Connection, device: str, key: str) -> None:
    """Make a retry that arrives during the first wait for it. SQLite's one writer already does."""
    if connection.dialect.name == "postgresql":
        connection.execute(select(func.pg_advisory_xact_lock(func.hashtextextended(f"{device}\n{key}", 0))))


def find(connection: Connection, device: str, key: str) -> Given | None:
    """The answer that was given to this device under this key."""
    row = _FIND.first(connection, {"device": device, "key": key})
    return Given(row[0], row[1], json.loads(row[2]), row[3]) if row else None


def keep(connection: Connection, device: str, key: str, given: Given) -> None:
    """Keep an answer, in the transaction of what it answers."""
    _KEEP.run(connection, {"device": device, "key": key, "digest": given.digest, "status": given.status,
                           "headers": json.dumps(dict(given.headers)), "body": given.body, "at": now()})


def forget_old(connection: Connection) -> None:
    """Drop answers that nobody will ask for again: older than the newest by so long, so that a wrong clock at a start forgets nothing."""
    newest = connection.execute(select(func.max(_TABLE.c.at))).scalar()
    if newest is None:
        return
    oldest = min(dt.datetime.now(dt.UTC), dt.datetime.fromisoformat(newest)) - dt.timedelta(days=KEPT_DAYS)
    connection.execute(delete(_TABLE).where(_TABLE.c.at < oldest.isoformat(timespec="microseconds")))
