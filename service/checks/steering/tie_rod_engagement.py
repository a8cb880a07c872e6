"""Thread in the tie-rod sleeve.

A tie-rod end that pulls out of its sleeve leaves a wheel free to steer itself. Length of thread is measured, not counted
from outside; both ends of a sleeve should sit about equally deep. The jam nut or clamp keeps it from turning out.
"""

from __future__ import annotations

from typing import Any

from service import notation
from service.calc import steering as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, common_practice, need

#: Thread in the sleeve, in diameters: fail below the first, caution below the second. Common practice.
LEAST, WANTED = 1.25, 1.5


def judge(x: Any, out: Outcome) -> None:
    """Jam nut, then thread in diameters."""
    with out.part():
        out.must(x.jam_nut_tight, "the jam nut or clamp is loose", of="jam_nut_tight")
    with out.part():
        out.value("engagement", x.engagement)
        try:
            thread = notation.thread(x.thread)
        except notation.NotationError as error:
            raise Unknown(f"the thread cannot be read: {error}") from error
        out.value("engagement_ratio", calc.engagement_ratio(x.engagement, thread.diameter))
        out.at_least("engagement_ratio", LEAST, WANTED, why="diameters of thread in the sleeve")


def say(s: Any) -> str:
    """The finding in words."""
    tight = "" if s.x.jam_nut_tight is None else f"jam nut {'tight' if s.x.jam_nut_tight else 'loose'}"
    ratio = s.v.get("engagement_ratio")
    if ratio is None:
        return f"{_name(s)}: {tight}. Tighten it and mark it with paint."
    first = f"{_name(s)}: {s.engagement} of thread, {ratio:.2f} diameters" + (f", {tight}" if tight else "")
    if ratio < WANTED:
        first += f"; {WANTED:g} are wanted. Turn it in deeper, or fit a longer end or sleeve"
        if s.x.jam_nut_tight is False:
            first += ", and tighten the jam nut"
    elif s.x.jam_nut_tight is False:
        first += ". Tighten it and mark it with paint"
    return first + "."


def _name(s: Any) -> str:
    return str(s.position)[:1].upper() + str(s.position)[1:]


CHECK = Check(
    title="Thread in the tie-rod sleeve",
    system="steering",
    safety=True,
    at=("label", "tie_rod"),
    inputs=[need("tie_rod.thread@here"), need("tie_rod.engagement@here"), need("tie_rod.jam_nut_tight@here")],
    values={
        "engagement": Shown("thread inside the sleeve", "length", "mm"),
        "engagement_ratio": Shown("thread inside, in diameters", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("tie_rod.engagement@here")],
    formula="engagement ratio = engagement/d",
    basis=[common_practice("1.5 diameters of thread, never under 1.25; about equal in both ends of a sleeve")],
)
