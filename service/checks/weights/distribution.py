"""Corner weights.

A car that stands evenly on its diagonals steers and stops the same to both sides. Scales level, bars disconnected, tires
at pressure, driver's weight in. Single-driver and oval-track cars differ on purpose.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc import weights as calc
from service.checks.core import Check, Outcome, Shown, any_recorded, common_practice, derived, need, option

CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
#: Diagonal share: pass band and caution band for track and autocross, and for the rest. Common practice.
CROSS_SPORT, CROSS = ((0.49, 0.51), (0.48, 0.52)), ((0.48, 0.52), (0.46, 0.54))
#: Left and front share: pass band and caution band. Common practice.
LEFT, FRONT = ((0.47, 0.53), (0.45, 0.55)), ((0.40, 0.60), (0.35, 0.65))
#: How far the scales may be off the recorded mass of the car. Common practice.
MASS_DIFFERENCE = 0.03


def judge(x: Any, out: Outcome) -> None:
    """Total and shares of the four scale readings."""
    found = calc.distribution(*(getattr(x, corner) for corner in CORNERS))
    out.value("total_mass", found.total)
    out.value("front_share", found.front)
    out.value("left_share", found.left)
    out.value("cross_share", found.cross)
    out.within("cross_share", *(CROSS_SPORT if x.use in ("track", "autocross") else CROSS), why=f"right front and left rear together, {x.use}")
    out.within("left_share", *LEFT, why="left share of the mass")
    out.within("front_share", *FRONT, why="front share of the mass")
    if any(limit.violated for limit in out.limits if limit.of == "cross_share"):
        out.advise("turn the spring perches a little at a time, settle the car, weigh again")
    if x.has("mass"):
        out.must(abs(found.total / x.mass - 1) <= MASS_DIFFERENCE, "the four readings do not add up to the recorded mass of the car, within 3 %", "caution",
                 of="total_mass")


def say(s: Any) -> str:
    """The finding in words."""
    cross, left, front = (s.v[name] for name in ("cross_share", "left_share", "front_share"))
    first = f"{s.total_mass} in all: {_share(front)} on the front, {_share(left)} on the left, {_share(cross)} across right front and left rear."
    broken = {item.of for item in s.limits if item.violated}
    if "cross_share" in broken:
        wheels = "left front and right rear" if cross > 0.5 else "right front and left rear"
        return f"{first} Raise the perches of {wheels} a turn at a time, all four settled between readings."
    if broken & {"left_share", "front_share"}:
        return f"{first} Perches do not cure that: move something heavy."
    if "total_mass" in broken:
        return f"{first} The recorded mass of the car is {s.mass}: weigh again, with the same fuel and driver."
    return first


def _share(value: float) -> str:
    return f"{value * 100:.1f} %"


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """The car from above with its four readings."""
    return {"series": {"kind": "corner_weights", "mass": {corner: getattr(x, corner) for corner in CORNERS}, "wheelbase": x.wheelbase,
                       "track_front": x.track_front, "track_rear": x.track_rear}}


CHECK = Check(
    title="Corner weights",
    system="weights",
    safety=False,
    applies=any_recorded("weights.corner_mass@*"),
    inputs=[
        need("build.use"),
        *(need(f"weights.corner_mass@{corner}", corner) for corner in CORNERS),
        option("car.mass"),
        option("car.wheelbase"),
        option("suspension.track@front", "track_front"),
        option("suspension.track@rear", "track_rear"),
    ],
    values={
        "total_mass": Shown("total of the four readings", "mass", "kg"),
        "front_share": Shown("front share", "dimensionless"),
        "left_share": Shown("left share", "dimensionless"),
        "cross_share": Shown("diagonal share, right front and left rear", "dimensionless"),
    },
    judge=judge,
    say=say,
    extras=extras,
    formula="cross share = (right front + left rear)/total",
    basis=[derived("shares of the total"), common_practice("bands; single-driver and oval-track cars differ on purpose")],
)
