"""Height of the center of gravity, from weighing level and with one axle raised.

A jacked car kills: stands and straps, nobody under it. Suspension locked solid, tank drained or full, wheels free to roll
and chocked by straps. A small lift makes a large error: one scale division at 6 degrees is three at 18.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from service.calc import weights as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, any_recorded, common_practice, derived, need, option, published
from service.checks.suspension.shared import radius_inputs

#: Lift angle, rad: unusable outside the first two, doubtful below the third. Common practice.
SMALLEST, LARGEST, DOUBTFUL = math.radians(6), math.radians(35), math.radians(8)
#: Heights that a car can have, m. Common practice.
LOWEST_CAR, HIGHEST_CAR = 0.15, 1.2
#: Spread of the height by the tolerances beyond which it is doubtful. Common practice.
SPREAD = 0.10
#: Static stability factor: fail below the first, caution below the second. Common practice.
STABILITY_FAIL, STABILITY = 1.05, 1.20


def judge(x: Any, out: Outcome) -> None:
    """Height, lift angle, and how near the car is to tipping."""
    found = _found(x, x.lift_height)
    out.value("lift_angle", found.lift_angle)
    if not SMALLEST <= found.lift_angle <= LARGEST:
        raise Unknown(f"a lift of {math.degrees(found.lift_angle):.1f} degrees gives no usable height; lift it between 6 and 35 degrees")
    if found.mass_change <= 0:
        raise Unknown("the axle left on the scales did not gain mass, which puts the center of gravity at or below the axles: check the readings")
    if not LOWEST_CAR <= found.height <= HIGHEST_CAR:
        raise Unknown(f"a height of {found.height:.2f} m is no car's: check the readings and the lift")
    out.value("cg_height", found.height)
    out.at_least("lift_angle", caution=DOUBTFUL, why="a smaller lift makes the reading's error too large")
    if x.has("track_front", "track_rear"):
        out.value("stability_factor", calc.stability_factor((x.track_front + x.track_rear) / 2, _found(x, x.lift_as_found).height))
        out.at_least("stability_factor", STABILITY_FAIL, STABILITY, why="half the track over the height")


def _found(x: Any, lift: float) -> calc.CenterOfGravity:
    """The car weighed at this lift. Lifting it otherwise makes the figure surer, not the car less likely to tip."""
    down, up = ("rear", "front") if x.raised_axle == "front" else ("front", "rear")
    return calc.center_of_gravity(
        x.wheelbase, lift, getattr(x, f"{down}_mass"), x.level_end_mass_raised, getattr(x, f"{up}_mass"),
        getattr(x, f"{down}_radius"), getattr(x, f"{up}_radius"),
    )


def doubt(x: Any, out: Outcome, low: Mapping[str, float], high: Mapping[str, float]) -> None:
    """A height that its tolerances spread too far is rough."""
    height = out.values["cg_height"]
    spread = max(high["cg_height"] - height, height - low["cg_height"]) / height
    out.must(spread <= SPREAD, "the tolerances spread the height by more than 10 % either way", "caution", of="cg_height")


def say(s: Any) -> str:
    """The finding in words."""
    first = f"Lifted {s.lift_angle}, the center of gravity sits {s.cg_height} above the ground"
    factor = s.v.get("stability_factor")
    if factor is not None:
        first += f"; half the track is {factor:.2f} times that"
    broken = {item.of for item in s.limits if item.violated}
    if "stability_factor" in broken:
        return f"{first}. It tips sooner than most cars: lower the car or widen its track, and say so to whoever drives it."
    if broken:
        return f"{first}. The figure is rough: lift it higher and weigh again, on the same scales."
    return first + "."


CHECK = Check(
    title="Height of the center of gravity",
    system="weights",
    safety=True,
    applies=any_recorded("weights.raised_axle", "weights.lift_height", "weights.level_end_mass_raised"),
    inputs=[
        need("car.wheelbase"),
        need("weights.lift_height"),
        option("weights.lift_height", "lift_as_found"),
        need("weights.axle_mass@front", "front_mass"),
        need("weights.axle_mass@rear", "rear_mass"),
        need("weights.level_end_mass_raised"),
        need("weights.raised_axle"),
        *radius_inputs(),
        option("suspension.track@front", "track_front"),
        option("suspension.track@rear", "track_rear"),
    ],
    values={
        "cg_height": Shown("height of the center of gravity", "length", "mm"),
        "lift_angle": Shown("lift angle", "angle", "deg"),
        "stability_factor": Shown("static stability factor, half the track over the height", "dimensionless"),
    },
    judge=judge,
    doubt=doubt,
    say=say,
    provides={"car.cg_height": "cg_height"},
    remedies=[Fix("weights.lift_height", "the other readings change with it: weigh again")],
    formula="θ = asin(H/L); h = r + ΔM L/(m tan θ); stability factor = t/(2h)",
    basis=[
        derived("moments about the axle that stays down, as in the vehicle-dynamics textbooks; unequal wheels err by up to 0.3 %"),
        published("static stability factor, one half the track over the height: NHTSA rulemaking on rollover resistance"),
        common_practice("bands of the stability factor, lift angles, 10 % spread"),
    ],
)
