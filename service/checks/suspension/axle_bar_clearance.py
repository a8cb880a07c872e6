"""Anti-roll bar clear of axle, sump and tie rods at full bump.

The bar hangs on the body, the axle comes up to it. Bushings and links let the bar move a little more than the drawing
says, hence the half inch. Measure in the direction in which the gap closes.
"""

from __future__ import annotations

from typing import Any

from service.calc import suspension as calc
from service.checks.core import Check, Fix, Outcome, Shown, all_of, any_recorded, common_practice, derived, need, on_car, option

#: Gap left at full bump, m: half an inch for bushing and link movement. Common practice.
WANTED, LEAST = 0.013, 0.0
#: A gap that nobody can tell from none, m.
TOUCHING = 0.0002


def judge(x: Any, out: Outcome) -> None:
    """Gap at ride height less what the travel takes of it."""
    out.value("clearance_at_full_bump", calc.clearance_at_full_bump(x.clearance_at_ride, x.clearance_motion_ratio, _bump_travel(x)))
    out.at_least("clearance_at_full_bump", LEAST, WANTED, why="half an inch for movement of bushings and links")


def _bump_travel(x: Any) -> float:
    """Bump travel; one worked out from the stop follows the stop's gap, where a remedy changes that."""
    travel = float(x.bump_travel)
    if x.has("gap", "gap_as_found") and not x.car.facts.own("suspension", "bump_travel", x.position):
        travel += (x.gap - x.gap_as_found) / (x.stop_ratio or 1.0)
    return travel


def say(s: Any) -> str:
    """The finding in words."""
    gap = s.v["clearance_at_full_bump"]
    if gap < 0:
        lack = s.show(-gap, "length", "mm")
        return f"At full bump the {s.position} bar hits what is nearest to it: it lacks {lack}. Lower the bar or stop the travel earlier."
    cleared = f"clears what is nearest to it by {s.clearance_at_full_bump}" if gap > TOUCHING else "just touches what is nearest to it"
    first = f"At full bump the {s.position} bar {cleared}"
    if s.verdict == "pass" or not any(item.violated for item in s.limits):
        return first + "."
    return f"{first}; {s.show(WANTED, 'length', 'mm')} is wanted, because bushings and links give."


CHECK = Check(
    title="Anti-roll bar clear of axle and sump",
    system="suspension",
    safety=True,
    at="axles",
    reads=("car",),
    applies=all_of(on_car("anti_roll_bar@here"), any_recorded("anti_roll_bar.clearance_at_ride@here", "suspension.bump_travel@here")),
    inputs=[
        need("anti_roll_bar.clearance_at_ride@here"),
        need("suspension.bump_travel@here"),
        option("anti_roll_bar.clearance_motion_ratio@here", default=1.0),
        option("suspension.bump_stop_gap@here", "gap"),
        option("suspension.bump_stop_gap@here", "gap_as_found"),
        option("suspension.bump_stop_motion_ratio@here", "stop_ratio"),
    ],
    values={"clearance_at_full_bump": Shown("clearance of the bar at full bump", "length", "mm")},
    judge=judge,
    say=say,
    remedies=[Fix("suspension.bump_stop_gap@here", "a taller or lower bump stop"), "spacers that drop the bar's bushings"],
    formula="clearance at full bump = clearance at ride − ratio · bump travel",
    basis=[derived("travel times ratio"), common_practice("13 mm (1/2 in) for movement of bushings and links")],
)
