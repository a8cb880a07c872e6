"""Which bolts must be looked at again?

New joints bed in: paint, gaskets and fresh surfaces settle, and the clamp load falls. A joint with a distance or time set
for it is looked at again then. A recheck done far too early does not count, since the settling had not happened yet.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service import notation
from service.checks.core import Check, Outcome, Shown, Unknown, any_recorded, common_practice, derived, need, option
from service.checks.fasteners.shared import READS, SAFETY_INPUTS, capital, found, safety
from service.checks.schedule.shared import counted_from
from service.document.facts import moment
from service.quantities import QuantityError, read, respelled

#: Share of the distance left at which it is nearly due. Common practice.
NEARLY_DUE = 0.20
#: Share of the distance that must be driven for a recheck to count. Common practice.
EARLIEST = 0.50
_DAY = 86400.0


@dataclass(frozen=True, slots=True)
class Interval:
    """After how much a joint is looked at again: m driven, or s gone by."""

    amount: float
    is_time: bool


def interval(text: str) -> Interval:
    """Read a distance (`500 mi`) or a time (`30 day`). Unknown for anything else."""
    for dimension in ("length", "time"):
        try:
            amount = read(text, dimension).si
        except QuantityError:
            continue
        if amount > 0:
            return Interval(amount, dimension == "time")
    raise Unknown(f"{text!r} is neither a distance nor a time; write it as 500 mi or 30 day")


def driven(drives: Sequence[Mapping[str, Any]], after: str, until: str | None = None) -> float:
    """m driven later than `after`, up to `until` when given."""
    start, end = moment(after), moment(until) if until else ""
    return sum(float(read(drive["distance"], "length").si) for drive in drives
               if drive.get("distance") is not None and moment(drive.get("at")) > start and (not until or moment(drive.get("at")) <= end))


def judge(x: Any, out: Outcome) -> None:
    """Distance or time since tightening against the interval."""
    due = interval(x.recheck_after)
    since = out.value("distance_since", driven(x.drives, x.tightened))
    if not due.is_time:
        out.value("distance_left", due.amount - since)
    if counts(x, due, out):
        return
    if due.is_time:
        gone = _days(x.tightened, counted_from(x).isoformat()) * _DAY
        out.must(gone <= due.amount, "its time is up")
        out.must(due.amount - gone >= NEARLY_DUE * due.amount, "its time is nearly up", "caution")
    else:
        out.at_least("distance_left", 0.0, NEARLY_DUE * due.amount, why="left to the recheck, caution in the last fifth")


def counts(x: Any, due: Interval, out: Outcome) -> bool:
    """Whether a recheck was done late enough to count."""
    if not x.has("rechecked_at") or moment(x.rechecked_at) <= moment(x.tightened):
        return False
    if due.is_time:
        return _days(x.tightened, x.rechecked_at) * _DAY >= EARLIEST * due.amount
    if not x.drives:
        out.remark("No drive is logged, so the recheck is taken at its word.")
        return True
    return driven(x.drives, x.tightened, x.rechecked_at) >= EARLIEST * due.amount


def _days(first: str, last: str) -> int:
    start: dt.date = notation.date(first)
    return (notation.date(last) - start).days


def say(s: Any) -> str:
    """The finding in words."""
    name, due = capital(s.position), interval(s.x.recheck_after)
    if not s.limits:
        return f"{name}: looked at again on {s.x.rechecked_at[:10]}."
    after = f"{due.amount / _DAY:g} days" if due.is_time else respelled(s.x.recheck_after, "length")
    gone = f"{_days(s.x.tightened, counted_from(s.x).isoformat())} days since it was tightened" if due.is_time else f"{s.distance_since} driven"
    early = " The recheck on record came too early to count." if s.x.has("rechecked_at") and moment(s.x.rechecked_at) > moment(s.x.tightened) else ""
    text = f"{name}: {gone}, recheck after {after}"
    left = s.v.get("distance_left", 0.0)
    by, to_go = (f" by {s.show(-left, 'length', 'km')}", f", {s.distance_left} left") if not due.is_time else ("", "")
    tail = {"fail": f": overdue{by}, look at it before the next drive.", "caution": f": nearly due{to_go}."}.get(found(s), ".")
    return text + tail + early


CHECK = Check(
    title="Which bolts must be looked at again?",
    system="fasteners",
    safety=safety,
    at=("label", "fastener"),
    applies=any_recorded("fastener.recheck_after@here"),
    reads=(*READS, "drives", "document"),
    inputs=[
        need("fastener.at@here", "tightened"),
        need("fastener.recheck_after@here"),
        option("fastener.rechecked_at@here"),
        option("schedule.as_of"),
        *SAFETY_INPUTS,
    ],
    values={
        "distance_since": Shown("driven since it was tightened", "length", "km"),
        "distance_left": Shown("left to the recheck", "length", "km"),
    },
    judge=judge,
    say=say,
    formula="distance_left = recheck_after − Σ distance of drives later than the tightening",
    basis=[derived("from the drives logged"), common_practice("caution in the last fifth; a recheck counts from half of the distance on")],
)
