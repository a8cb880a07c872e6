"""Pairing: codes for one device each, and how often a wrong one may be tried. Kept in the database, so that it holds over
restarts and for every process."""

from __future__ import annotations

import datetime as dt
import math
import secrets
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, delete, insert, select

from service.storage import devices, things
from service.storage.models import PairingCode, WrongCode, table_of

_CODES, _WRONG = table_of(PairingCode), table_of(WrongCode)
#: Digits and letters without those that are read for one another (I, L, O, U): 5 bits each, 50 bits a code.
_ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
_GROUPS, _GROUP = 2, 5
_READ_AS = str.maketrans({"I": "1", "L": "1", "O": "0", "-": None, " ": None})
CODE_LIVES = dt.timedelta(minutes=10)
#: Wrong codes within `_WINDOW` from one address and from all of them: a code that lives this long is guessed with a chance of 100 in 2^50.
_WINDOW = dt.timedelta(minutes=10)
_MOST_FROM_ONE, _MOST_FROM_ALL = 5, 100


@dataclass(frozen=True, slots=True)
class Code:
    """A pairing code as it is shown, for which role it is, and until when it is good."""

    text: str
    role: str
    expires_at: str


def make_code(connection: Connection, role: str, made_by: str) -> Code:
    """A fresh code. Codes that have expired are forgotten."""
    now = dt.datetime.now(dt.UTC)
    connection.execute(delete(_CODES).where(_CODES.c.expires_at < _text(now)))
    text = "-".join("".join(secrets.choice(_ALPHABET) for _ in range(_GROUP)) for _ in range(_GROUPS))
    code = Code(text, role, _text(now + CODE_LIVES))
    connection.execute(insert(_CODES), {"digest": devices.digest(_plain(text)), "role": role, "made_at": _text(now), "made_by": made_by,
                                        "expires_at": code.expires_at})
    return code


def pair(connection: Connection, code: str, *, name: str, by: str) -> devices.Enrolled | None:
    """The device that a code pairs, whose code is then used up; None when the code is wrong, used or too old."""
    told = (_CODES.c.role, _CODES.c.made_by, _CODES.c.made_at, _CODES.c.expires_at)
    row = connection.execute(delete(_CODES).where(_CODES.c.digest == devices.digest(_plain(code))).returning(*told)).first()
    # A code that is not made yet was made before the clock was set back: it would live longer than it may.
    if row is None or not row.made_at <= things.now() < row.expires_at:
        return None
    return devices.enroll(connection, name=name, by=by, role=row.role, made_by=row.made_by)


def wait(connection: Connection, source: str) -> int:
    """How many seconds this address has to wait before it may try a code; 0 when it may."""
    now = dt.datetime.now(dt.UTC)
    recent = _recent(now)
    return max(_wait(connection, now, _MOST_FROM_ONE, recent, _WRONG.c.source == source), _wait(connection, now, _MOST_FROM_ALL, recent))


def _recent(now: dt.datetime) -> Any:
    """What counts. What is still to come was counted before the clock was set back, and would lock everyone out until then."""
    return _WRONG.c.at.between(_text(now - _WINDOW), _text(now))


def _wait(connection: Connection, now: dt.datetime, most: int, *which: object) -> int:
    """Until the newest `most` are no longer all within the window."""
    at = connection.execute(select(_WRONG.c.at).where(*which).order_by(_WRONG.c.at.desc()).offset(most - 1).limit(1)).scalar()  # type: ignore[arg-type]
    return max(1, math.ceil((dt.datetime.fromisoformat(at) + _WINDOW - now).total_seconds())) if at is not None else 0


def note_wrong(connection: Connection, source: str) -> None:
    """Count a wrong code against an address, and forget those that no longer count."""
    now = dt.datetime.now(dt.UTC)
    connection.execute(delete(_WRONG).where(~_recent(now)))
    connection.execute(insert(_WRONG), {"source": source, "at": _text(now)})


def one_at_a_time(connection: Connection) -> None:
    """From here to the end of the transaction, no other code is tried: what counts is counted."""
    things.one_at_a_time(connection, "/pairing")


def _plain(code: str) -> str:
    """A code as it is compared: however it was typed.

    >>> _plain(" abcde-fgh1o ")
    'ABCDEFGH10'
    """
    return code.upper().translate(_READ_AS)


def _text(moment: dt.datetime) -> str:
    return moment.isoformat(timespec="microseconds")
