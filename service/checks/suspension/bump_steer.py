"""Toe change with travel.

A wheel that steers itself over bumps makes a car dart. Two millimeters on a tie-rod height are about a tenth of a degree:
measure with care, or with a gauge on the hub. A rear axle counts only when it has a tie rod or measured toe.
"""

from __future__ import annotations

import math
from typing import Any

from service.calc import suspension as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, option
from service.checks.suspension import hard_points as points
from service.checks.suspension import shared
from service.checks.wheels.shared import gap

#: Toe change of one wheel in 50 mm, rad: fail above the first, caution above the second, by use. Common practice.
TOE_CHANGE = shared.by_use({
    "street touring towing drag": (math.radians(0.60), math.radians(0.25)),
    "autocross track": (math.radians(0.30), math.radians(0.12)),
})
#: A toe change that no gauge can tell from none, rad.
NONE = math.radians(0.005)
_ENDS = ("tie_rod_inner", "tie_rod_outer")
#: A trial shift and the largest shift worth advising, m.
_TRIAL, _LARGEST_SHIFT = 0.002, 0.040


def judge(x: Any, out: Outcome) -> None:
    """Toe at both ends of the travel against toe at ride height."""
    if points.double_wishbone(x):
        bump, droop = _toe_changes(points.linkage(_with_rod(x)), x.check_travel)
    else:
        bump, droop = x.measured_toe_in_bump, x.measured_toe_in_droop
    for name, change in (("toe_change_in_bump", bump), ("toe_change_in_droop", droop)):
        if change is not None:
            out.value(name, change)
    out.value("worst_toe_change", max(abs(change) for change in (bump, droop) if change is not None))
    fail, caution = (limit * x.check_travel / points.BAND_TRAVEL for limit in TOE_CHANGE[x.use])
    out.at_most("worst_toe_change", fail, caution, why=f"toe change of one wheel, {x.use}")
    if bump is None or droop is None:
        out.at_best_caution(f"toe was measured in {'bump' if droop is None else 'droop'} only",
                            lifted_by=f"measured_toe_in_{'droop' if droop is None else 'bump'}")


def _with_rod(x: Any) -> Any:
    """Touch every height of the tie rod, so that a missing one is named."""
    for end in _ENDS:
        getattr(x, f"{end}_y"), getattr(x, f"{end}_z")
    return x


def _toe_changes(linkage: calc.Linkage, travel: float) -> tuple[float, float]:
    wheel = calc.WheelTravel(linkage)
    return wheel.lifted(travel).toe - linkage.toe, wheel.lifted(-travel).toe - linkage.toe


def say(s: Any) -> str:
    """The finding in words."""
    bump, droop = s.v.get("toe_change_in_bump"), s.v.get("toe_change_in_droop")
    told = [f"{_toes(s, change)} over {s.check_travel} of {way}" for way, change in (("bump", bump), ("droop", droop)) if change is not None]
    first = f"The {s.position} wheel toes " + " and ".join(told) + "."
    if not any(item.violated for item in s.limits):
        return first
    shift = _correction(s.x) if points.double_wishbone(s.x) else None
    if shift is None:
        return f"{first} Correct the height of the outer tie-rod end, or of the rack or center link."
    return f"{first} {'Raise' if shift > 0 else 'Lower'} the outer tie-rod end about {gap(s, abs(shift))}."


def _toes(s: Any, change: float) -> str:
    if abs(change) < NONE:
        return "neither in nor out"
    return f"{'in' if change >= 0 else 'out'} by {s.show(abs(change), 'angle', 'deg')}"


def _correction(x: Any) -> float | None:
    """Rise of the outer tie-rod end, m, that makes the toe change alike in bump and droop."""
    linkage = points.linkage(x)
    outer = linkage.tie_rod_outer
    assert outer is not None

    def slope(rise: float) -> float:
        moved = linkage._replace(tie_rod_outer=(outer[0], outer[1], outer[2] + rise))
        bump, droop = _toe_changes(moved, x.check_travel)
        return bump - droop

    try:
        at_rest, moved = slope(0.0), slope(_TRIAL)
    except ValueError:
        return None
    if at_rest == moved:
        return None
    rise = -at_rest * _TRIAL / (moved - at_rest)
    return rise if abs(rise) <= _LARGEST_SHIFT else None


def applies(car: Any, position: str | None) -> bool:
    """A double wishbone (at the rear with a tie rod), or another linkage whose toe was measured."""
    linkage = points.geometry_of(car, position)
    if linkage == "double_wishbone":
        return position == "front" or points.any_hard_point(car, position, _ENDS)
    return linkage is not None and any(car.exists(f"suspension.measured_toe_in_{way}@here", position) for way in ("bump", "droop"))


CHECK = Check(
    title="Toe change with travel",
    system="suspension",
    safety=True,
    at="axles",
    applies=applies,
    inputs=[
        need("build.use"),
        *points.inputs(),
        *points.tie_rod(required=points.double_wishbone),
        option("suspension.measured_toe_in_bump@here"),
        option("suspension.measured_toe_in_droop@here"),
    ],
    values={
        "toe_change_in_bump": Shown("toe change in bump, toe-in positive", "angle", "deg"),
        "toe_change_in_droop": Shown("toe change in droop, toe-in positive", "angle", "deg"),
        "worst_toe_change": Shown("largest toe change", "angle", "deg"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("suspension.tie_rod_outer_z@here"), Fix("suspension.tie_rod_inner_z@here")],
    formula="toe(± travel) − toe(0), the tie-rod end at the meeting of three spheres",
    basis=[derived("rigid links; checked by six constraints solved independently"), common_practice("limits for 50 mm of travel, growing with it")],
)
