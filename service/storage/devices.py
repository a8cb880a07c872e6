"""Devices: who may ask, told by a token of which only the SHA-256 is kept."""

from __future__ import annotations

import datetime as dt
import hashlib
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, insert, select, update

from service.storage import things
from service.storage.models import Device, table_of

_TABLE = table_of(Device)
_COLUMNS = tuple(_TABLE.c)
OWNER, BUILDER, READER = "owner", "builder", "reader"
#: Bytes of a token's randomness: 256 bits.
_TOKEN_BYTES = 32
#: When a device was last seen is kept to the hour: one durable write an hour for each device, not one for each request.
_SEEN = dt.timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Enrolled:
    """A device and its token, which is told this once."""

    device: Row[Any]
    token: str


def digest(secret: str) -> str:
    """What is kept of a token or code (256 random bits need no slow hash)."""
    return hashlib.sha256(secret.encode()).hexdigest()


def enroll(connection: Connection, *, name: str, by: str, role: str, made_by: str, car: str | None = None, expires_at: str | None = None) -> Enrolled:
    """Keep a new device. A name that was used before gets the next free number."""
    things.one_at_a_time(connection, "/devices")
    token, id = secrets.token_urlsafe(_TOKEN_BYTES), things.new_id()
    connection.execute(insert(_TABLE), {"id": id, "name": _free_name(connection, name), "by": by, "role": role, "car": car, "digest": digest(token),
                                        "made_at": things.now(), "made_by": made_by, "expires_at": expires_at})
    return Enrolled(connection.execute(select(*_COLUMNS).where(_TABLE.c.id == id)).one(), token)


def _free_name(connection: Connection, name: str) -> str:
    taken = set(connection.execute(select(_TABLE.c.name).where(_TABLE.c.name.startswith(name, autoescape=True))).scalars())
    number, free = 1, name
    while free in taken:
        number += 1
        free = f"{name} {number}"
    return free


def by_token(connection: Connection, token: str) -> Row[Any] | None:
    """The device of a token, revoked and expired ones too; None when it is nobody's."""
    return connection.execute(select(*_COLUMNS).where(_TABLE.c.digest == digest(token))).first()


def find(connection: Connection, id: str) -> Row[Any] | None:
    """The device with this id."""
    return connection.execute(select(*_COLUMNS).where(_TABLE.c.id == id)).first()


def listed(connection: Connection, *, shares: bool, car: str | None = None) -> Sequence[Row[Any]]:
    """Devices, or the links by which customers read (of one car, when it is given), in the order they were made."""
    wanted = select(*_COLUMNS).where(_TABLE.c.role == READER if shares else _TABLE.c.role != READER)
    if car is not None:
        wanted = wanted.where(_TABLE.c.car == car)
    return connection.execute(wanted.order_by(_TABLE.c.made_at, _TABLE.c.id)).all()


def owners(connection: Connection) -> Sequence[Row[Any]]:
    """The owners' devices that are not revoked."""
    return connection.execute(select(*_COLUMNS).where(_TABLE.c.role == OWNER, _TABLE.c.revoked_at.is_(None))).all()


def revoke(connection: Connection, id: str, by: str) -> None:
    """Refuse a device from now on. One that is revoked already stays so."""
    connection.execute(update(_TABLE).where(_TABLE.c.id == id, _TABLE.c.revoked_at.is_(None)).values(revoked_at=things.now(), revoked_by=by))


def unseen(device: Row[Any], now: dt.datetime) -> bool:
    """Whether it is so long since a device was seen that it is worth a write."""
    return device.seen_at is None or now - dt.datetime.fromisoformat(device.seen_at) >= _SEEN


def see(connection: Connection, id: str, now: dt.datetime) -> None:
    """Note, to the hour, that a device was seen."""
    hour = now.replace(minute=0, second=0, microsecond=0)
    connection.execute(update(_TABLE).where(_TABLE.c.id == id).values(seen_at=hour.isoformat(timespec="seconds")))


def expired(device: Row[Any], now: dt.datetime) -> bool:
    """Whether a device's time is over."""
    return device.expires_at is not None and now >= dt.datetime.fromisoformat(device.expires_at)
