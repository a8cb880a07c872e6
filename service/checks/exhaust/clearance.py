"""Whether the exhaust keeps away from what burns or melts.

Take the closest point with the engine rocked both ways and the suspension through its travel. Fuel and brake lines,
wiring and hose want the most room; a shield about halves it. An aluminum or carbon driveshaft loses strength to heat
before anything shows.
"""

from __future__ import annotations

from typing import Any

from service.calc.exhaust import SOFT_SHAFT_MATERIALS, clearance_wanted
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, need, on_car, option
from service.checks.fuel.shared import room

#: Share of the distance wanted below which it fails. Common practice.
LEAST_SHARE = 0.67


def _shaft_material(x: Any) -> str | None:
    """Only where the neighbor is a driveshaft does its material matter; of several shafts the one that softens counts."""
    if x.neighbor != "driveshaft":
        return None
    materials = [x.car.value(f"driveshaft.material{place}") for place in ("", "@front", "@rear", "@front axle")]
    return next((material for material in materials if material in SOFT_SHAFT_MATERIALS), None)


def judge(x: Any, out: Outcome) -> None:
    """The distance over the distance wanted from this neighbor."""
    required = out.value("required", clearance_wanted(x.neighbor, x.shield, _shaft_material(x)))
    out.value("distance_ratio", x.distance / required)
    out.at_least("distance_ratio", LEAST_SHARE, 1.0, why="distance wanted from this neighbor")


def say(s: Any) -> str:
    """The finding in words."""
    shield = "with the shield" if s.x.shield else "without a shield"
    text = f"{s.distance} to the {s.neighbor}; {room(s, s.v['required'], s.x.distance)} wanted {shield}."
    if s.v["distance_ratio"] < 1.0 - 1e-9:
        text += " Move the pipe" + ("" if s.x.shield else ", or fit a heat shield with air behind it") + "."
    if s.v["distance_ratio"] < LEAST_SHARE:
        text += " Do not drive it so."
    return text


CHECK = Check(
    title="Does the exhaust keep away from what burns or melts?",
    system="exhaust",
    safety=True,
    at=("label", "exhaust_clearance"),
    applies=on_car("exhaust_clearance@here"),
    inputs=[
        need("exhaust_clearance.distance@here"),
        need("exhaust_clearance.neighbor@here"),
        option("exhaust_clearance.shield@here", default=False),
    ],
    reads=("car",),
    values={
        "required": Shown("distance wanted", "length", "mm"),
        "distance_ratio": Shown("distance over distance wanted", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("exhaust_clearance.distance@here"), Fix("exhaust_clearance.shield@here")],
    formula="ratio = distance/required; required by neighbor, bare or shielded",
    basis=[common_practice("75 mm bare and 38 mm shielded from lines, tank, hose and wiring; 50/25 from tire and starter; 25/13 from body and driveshaft, "
                           "40/25 from an aluminum or carbon one")],
)
