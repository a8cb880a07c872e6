"""Brake fluid.

Fluid takes up water from the air and boils lower year by year; silicone takes up none, and traps it in drops. The wrong
family swells seals, and antilock units do not stand the foam of silicone. Watch for: a bottle of another grade used to
top up; a system changed over without being taken apart and dried.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from service import notation
from service.checks.brakes.shared import reference_date
from service.checks.core import Check, Fix, Outcome, Shown, any_of, common_practice, need, on_car, option, published

ZERO = 273.15
#: Least boiling points dry and wet, K. Source: 49 CFR 571.116 S5.1.1, S5.1.2 (compared with a public page).
BOILING_POINTS: Mapping[str, tuple[float, float]] = {
    "dot_3": (205 + ZERO, 140 + ZERO), "dot_4": (230 + ZERO, 155 + ZERO), "dot_5": (260 + ZERO, 180 + ZERO), "dot_5_1": (260 + ZERO, 180 + ZERO),
}
#: Grades that a system can be changed to without being taken apart; silicone is none of them. Common practice.
NO_TAKING_APART = ("dot_3", "dot_4", "dot_5_1", "mineral_oil")
#: A filling older than this is due for a change. Common practice.
OLD = timedelta(days=2 * 365.25)


def judge(x: Any, out: Outcome) -> None:
    """Grade against seals, antilock, what was there before, use and age."""
    grade = x.grade
    if grade in BOILING_POINTS:
        dry, wet = BOILING_POINTS[grade]
        out.value("dry_boiling_point", dry)
        out.value("wet_boiling_point", wet)
    silicone, mineral = grade == "dot_5", grade == "mineral_oil"
    out.must(not (silicone and x.antilock), "silicone fluid does not belong in an antilock system", of="antilock")
    mixed = x.previous_grade is not None and (x.previous_grade == "dot_5") != silicone
    out.must(not mixed or x.flushed_dry, "silicone and other fluid have met: take the system apart, flush it and dry it", of="previous_grade")
    out.must(mineral == (x.seals == "mineral_compatible"), "the seals do not stand this fluid", of="seals")
    out.must(not (x.use in ("track", "autocross") and grade == "dot_3"), "DOT 3 boils too early for this use", "caution", of="grade")
    old = _is_old(x) and not silicone
    out.must(not old, "the fluid has been in for more than two years", "caution", of="filled_on")
    if old:
        out.advise("fresh fluid, flushed through until it runs clear")


def _is_old(x: Any) -> bool:
    today = reference_date(x.build)
    return bool(x.filled_on) and today is not None and today - notation.date(x.filled_on) > OLD


GRADE_WORDS = {"dot_3": "DOT 3", "dot_4": "DOT 4", "dot_5": "DOT 5 silicone", "dot_5_1": "DOT 5.1", "mineral_oil": "mineral oil"}


def say(s: Any) -> str:
    """The finding in words."""
    text = f"Filled with {GRADE_WORDS[s.x.grade]}"
    if "dry_boiling_point" in s.v:
        text += f": boils at {s.dry_boiling_point} or above when new, {s.wet_boiling_point} when it has taken up water"
    broken = [item.why for item in s.limits if item.violated]
    return ". ".join([text, *(why[:1].upper() + why[1:] for why in broken)]) + "."


CHECK = Check(
    title="Brake fluid",
    system="brakes",
    safety=True,
    applies=any_of(on_car("brake"), on_car("brake_system"), on_car("brake_fluid")),
    reads=("build",),
    inputs=[need("brake_fluid.grade"), need("build.use"), option("brake_system.antilock", default=False), option("brake_fluid.previous_grade"),
            option("brake_system.flushed_dry", default=False), option("brake_system.seals", default="glycol_compatible"), option("brake_fluid.filled_on")],
    values={
        "dry_boiling_point": Shown("boiling point, dry", "temperature", "degC"),
        "wet_boiling_point": Shown("boiling point, wet", "temperature", "degC"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("brake_fluid.grade", candidates=NO_TAKING_APART)],
    formula="grade against seals, antilock, previous grade, use and age",
    basis=[published("boiling points: 49 CFR 571.116 (compared with a public page)"),
           common_practice("no silicone with antilock or after another grade without drying; no DOT 3 on track; a change every two years")],
)
