"""Which cars carry a part: by part number and maker, serials in a range, fitted between two dates."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, select

from service.storage import search
from service.storage.models import RETRACTED, Revision, table_of
from service.storage.search import Asked
from service.storage.words import LONGEST, words

_REVISION = table_of(Revision)
_RUNS = re.compile(r"\d+|[^\W\d_]+")
_SEVERAL = re.compile(r"[,;]\s*|\s+and\s+")
_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is recalled. Dates are ISO dates, both ends belong to the range; `status` None takes parts of every status."""

    part_number: str = ""
    maker: str = ""
    serial_from: str = ""
    serial_to: str = ""
    fitted_from: str = ""
    fitted_to: str = ""
    status: str | None = "fitted"

    def asked(self) -> Asked:
        """The words that every part in question is found by."""
        items = [((code[:LONGEST],),) for code in [_code(self.part_number)] if code]
        return Asked((*items, *(((word,),) for word in words(self.maker))))


@dataclass(frozen=True, slots=True)
class Carried:
    """A part in question: its row, its record, and what about it nobody recorded (`serial`, `fitted_on`)."""

    row: Row[Any]
    part: Mapping[str, Any]
    unknown: tuple[str, ...]


def natural(serial: str) -> tuple[tuple[int, int, str], ...]:
    """What serials are ordered by: their digits as numbers, their letters as letters, dashes and case no matter.

    >>> natural("TC-099") < natural("tc 100") < natural("TC-100-B") < natural("TD-1")
    True
    """
    return tuple((0, int(run), "") if run.isdecimal() else (1, 0, run) for run in _RUNS.findall(" ".join(words(serial))))


def between(serial: str, low: str, high: str) -> bool:
    """Whether a serial lies in a range, both ends in it, an empty end open. An end that is a bare number is held against the
    serial's last number.

    >>> between("HS5540-C-31177", "HS5540-C-9", "HS5540-C-31200"), between("HS5540-C-31177", "31000", "31100")
    (True, False)
    """
    own = natural(serial)
    numbers = tuple(run for run in own if run[0] == 0)[-1:]

    def against(end: str) -> tuple[tuple[int, int, str], ...]:
        return numbers if end.strip().isdecimal() and numbers else own

    return (not low or natural(low) <= against(low)) and (not high or against(high) <= natural(high))


def carried(connection: Connection, wanted: Wanted, limit: int | None = None, before: int | None = None) -> list[Carried]:
    """Parts in question, last changed first; `before` is the number of an earlier page's last."""
    found: list[Carried] = []
    for row in _candidates(connection, wanted.asked(), before):
        fits = _fits(wanted, row)
        if fits is not None and not _came_along(connection, row):
            found.append(fits)
            if len(found) == limit:
                break
    return found


def _came_along(connection: Connection, row: Row[Any]) -> bool:
    """Whether a later build of the car took the part over: its record tells of the part from then on, retracted or not."""
    own = _REVISION.c
    same = select(own.body).where(own.current, own.car == row.car, own.list == row.list, own.id == row.id, own.scope != row.scope, own.place > row.place)
    return any(json.loads(other.body).get("came_from") for other in connection.execute(same))


def _candidates(connection: Connection, asked: Asked, before: int | None) -> Iterator[Row[Any]]:
    while True:
        rows = search.rows(connection, asked, None, "parts", _AT_ONCE, before)
        yield from rows
        if len(rows) < _AT_ONCE:
            return
        before = rows[-1].number


def _fits(wanted: Wanted, row: Row[Any]) -> Carried | None:
    """The row as a part in question, or None. What nobody recorded speaks for a part, not against it."""
    part = json.loads(row.body)
    if wanted.part_number and _code(part.get("part_number")) != _code(wanted.part_number):
        return None
    if not set(words(wanted.maker)) <= set(words(part.get("maker") or "")):
        return None
    if wanted.status is not None and (part.get("status") or "fitted") != wanted.status:
        return None
    unknown = []
    if wanted.serial_from or wanted.serial_to:
        serials = [serial for serial in _SEVERAL.split(part.get("serial") or "") if natural(serial)]
        if serials and not any(between(serial, wanted.serial_from, wanted.serial_to) for serial in serials):
            return None
        unknown += [] if serials else ["serial"]
    if wanted.fitted_from or wanted.fitted_to:
        day = (part.get("fitted_on") or "")[:10]
        if day and not (wanted.fitted_from or day) <= day <= (wanted.fitted_to or day):
            return None
        unknown += [] if day else ["fitted_on"]
    return Carried(row, part, tuple(unknown))


def _code(raw: str | None) -> str:
    return "".join(words(raw or ""))


def later(connection: Connection, car: str, build: str, part: Mapping[str, Any]) -> tuple[str, Mapping[str, Any]] | None:
    """The build and record of the newest part of the same kind and position in a later build of the car: it may have taken the place."""
    current = select(_REVISION).where(_REVISION.c.current, _REVISION.c.action != RETRACTED)
    builds: Sequence[Any] = connection.execute(current.where(_REVISION.c.scope == "/builds", _REVISION.c.car == car)
                                               .order_by(_REVISION.c.place, _REVISION.c.id)).all()
    ids = [row.id for row in builds]
    for id in reversed(ids[ids.index(build) + 1:] if build in ids else []):
        for row in reversed(connection.execute(current.where(_REVISION.c.scope == id, _REVISION.c.list == "parts").order_by(_REVISION.c.place)).all()):
            other = json.loads(row.body)
            if other.get("kind") == part.get("kind") and other.get("position") == part.get("position"):
                return id, other
    return None
