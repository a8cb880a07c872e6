"""Alignment of the left wheel against the right.

A car pulls toward the wheel with more positive camber or less caster. A rear axle that steers to one side makes the car
crab. Half a degree of caster split against the crown of the road is normal.
"""

from __future__ import annotations

import math
from typing import Any

from service.calc import alignment as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need

#: Left less right of camber and of caster, rad: fail above the first, caution above the second. Common practice.
DIFFERENCE_FAIL, DIFFERENCE = math.radians(1.0), math.radians(0.5)
#: Thrust angle, rad: fail above the first, caution above the second. Common practice.
THRUST_FAIL, THRUST = math.radians(0.30), math.radians(0.10)

#: A thrust angle that no gauge can tell from none, rad.
STRAIGHT = math.radians(0.01)


def judge(x: Any, out: Outcome) -> None:
    """Differences, and at the rear the direction in which the axle steers."""
    with out.part():
        camber = out.value("camber_difference", x.camber_left - x.camber_right)
        out.at_most("camber_difference", DIFFERENCE_FAIL, DIFFERENCE, value=abs(camber), why="camber, left against right")
    if x.position == "front":
        caster = out.value("caster_difference", x.caster_left - x.caster_right)
        out.at_most("caster_difference", DIFFERENCE_FAIL, DIFFERENCE, value=abs(caster), why="caster, left against right")
    else:
        thrust = out.value("thrust_angle", calc.thrust_angle(x.toe_left, x.toe_right))
        out.at_most("thrust_angle", THRUST_FAIL, THRUST, value=abs(thrust), why="direction of the rear axle")


def _applies(car: Any, position: str | None) -> bool:
    """Camber is recorded, or caster at the front, or toe at the rear."""
    names = ("camber", "caster") if position == "front" else ("camber", "toe", "toe_length", "toe_reference_diameter")
    return any(car.exists(f"alignment.{name}@here", position) for name in names)


def say(s: Any) -> str:
    """The finding in words."""
    parts = []
    if "camber_difference" in s.v:
        parts.append(f"camber differs by {_size(s, 'camber_difference')}")
    if "caster_difference" in s.v:
        parts.append(f"caster by {_size(s, 'caster_difference')}")
    if "thrust_angle" in s.v:
        parts.append("the axle runs straight" if abs(s.v["thrust_angle"]) < STRAIGHT
                     else f"the axle steers {_size(s, 'thrust_angle')} to the {'right' if s.v['thrust_angle'] > 0 else 'left'}")
    first = f"{s.position.capitalize()}, left against right: {', '.join(parts)}."
    broken = {item.of for item in s.limits if item.violated}
    return " ".join([first, *_pulls(s, broken)])


def _size(s: Any, name: str) -> str:
    return str(s.show(abs(s.v[name]), "angle", "deg"))


def _pulls(s: Any, broken: set[str]) -> list[str]:
    found = []
    sides = {}
    if "camber_difference" in broken:
        sides["camber"] = "left" if s.v["camber_difference"] > 0 else "right"
    if "caster_difference" in broken:
        sides["caster"] = "right" if s.v["caster_difference"] > 0 else "left"
    if len(set(sides.values())) == 2:
        found.append(f"Camber pulls to the {sides['camber']} and caster to the {sides['caster']}: even both out.")
    elif sides:
        front = s.x.position == "front"
        wheel = "the wheel with more positive camber or less caster" if front else "the rear wheel with more positive camber"
        found.append(f"It {'will' if front else 'may'} pull to the {next(iter(sides.values()))}, toward {wheel}.")
    if "thrust_angle" in broken:
        side, other = ("right", "left") if s.v["thrust_angle"] > 0 else ("left", "right")
        found.append(f"The driver must hold the wheel a little {side} to go straight, and the car crabs with its nose to the {other}.")
    return found


CHECK = Check(
    title="Alignment left against right",
    system="alignment",
    safety=True,
    at="axles",
    applies=_applies,
    inputs=[
        need("alignment.camber@left", "camber_left"),
        need("alignment.camber@right", "camber_right"),
        need("alignment.caster@left", "caster_left", when=lambda x: x.position == "front"),
        need("alignment.caster@right", "caster_right", when=lambda x: x.position == "front"),
        need("alignment.toe@left", "toe_left", when=lambda x: x.position == "rear"),
        need("alignment.toe@right", "toe_right", when=lambda x: x.position == "rear"),
    ],
    values={
        "camber_difference": Shown("camber, left less right", "angle", "deg"),
        "caster_difference": Shown("caster, left less right", "angle", "deg"),
        "thrust_angle": Shown("thrust angle, positive to the right", "angle", "deg"),
    },
    judge=judge,
    say=say,
    remedies=[Fix(f"alignment.{name}@{side}") for name in ("camber", "caster", "toe") for side in ("left", "right")],
    formula="left − right; thrust angle = (toe left − toe right)/2",
    basis=[derived("differences and mean heading of the rear wheels"), common_practice("0.5 and 1.0 degrees; thrust angle 0.10 and 0.30 degrees")],
)
