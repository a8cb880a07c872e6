"""Angle of a column joint.

A cross joint at an angle turns unevenly, twice a turn, and near its limit it binds: the wheel goes heavy in one place
and may stick. Two equal angles with the yokes in phase cancel the unevenness; this check looks at one joint. The joint
maker's own limit overrides the ones here.
"""

from __future__ import annotations

import math
from typing import Any

from service.calc import steering as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need

#: Angle of a needle-bearing column joint, rad: caution above the first, fail above the second. Common practice.
CAUTION, FAIL = math.radians(30), math.radians(35)
#: Ripple that nobody feels. Common practice.
EVEN = 0.0005


def judge(x: Any, out: Outcome) -> None:
    """The angle, and the unevenness that it makes."""
    out.at_most("angle", FAIL, CAUTION, value=x.angle, why="needle-bearing column joints bind near 35 to 40 degrees")
    out.value("speed_ripple", calc.speed_ripple(x.angle))


def say(s: Any) -> str:
    """The finding in words."""
    name = s.position if s.position.endswith("joint") else f"{s.position} joint"
    first = f"The {name} runs at {s.angle}{_ripple(s)}"
    if s.x.angle <= CAUTION:
        return first + "."
    limit = s.show(CAUTION if s.x.angle <= FAIL else FAIL, "angle", "deg")
    danger = "it may bind" if s.x.angle > FAIL else "that leaves little in hand"
    return f"{first}. Over {limit} {danger}: add a joint with a support bearing, so that each runs straighter."


def _ripple(s: Any) -> str:
    ripple = s.v["speed_ripple"]
    if ripple < EVEN:
        return " and turns evenly"
    return f"; its speed rises and falls by {s.percent(ripple)} twice a turn" if ripple <= 1 else ""


CHECK = Check(
    title="Column joint angle",
    system="steering",
    safety=True,
    at=("label", "steering_joint"),
    inputs=[need("steering_joint.angle@here")],
    values={"speed_ripple": Shown("highest speed over lowest, less 1", "dimensionless")},
    judge=judge,
    say=say,
    remedies=[Fix("steering_joint.angle@here", "add a joint with a support bearing")],
    formula="ripple = 1/cos²β − 1",
    basis=[derived("tan out = tan in · cos β; checked by a joint turned in space"), common_practice("30 and 35 degrees; the joint maker's limit overrides")],
)
