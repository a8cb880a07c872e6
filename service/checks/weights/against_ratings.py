"""Axle mass against ratings.

Axle, springs, wheels and tires are rated for a mass; people, fuel and load belong in it. Weigh it loaded, or add the
load to the scale reading.
"""

from __future__ import annotations

from math import inf
from typing import Any

from service.calc import weights as calc
from service.checks.core import Check, Fix, Missing, Outcome, Shown, any_recorded, common_practice, derived, need, option

#: Load over capacity: fail above the first, caution above the second. Common practice.
FULL, NEARLY_FULL = 1.0, 0.95


def judge(x: Any, out: Outcome) -> None:
    """Load on the axle over what it may carry."""
    wheels = tuple(rating for rating in (x.left_wheel_rating, x.right_wheel_rating) if rating is not None)
    of_wheels = calc.axle_capacity(inf, wheels)
    load = out.value("axle_load", _load(x, of_wheels))
    # Wheels that are overloaded already need no rating of the axle.
    capacity = out.value("axle_capacity", of_wheels if load > of_wheels and not x.has("axle_rating") else calc.axle_capacity(x.axle_rating, wheels))
    out.value("load_ratio", load / capacity)
    out.at_most("load_ratio", FULL, NEARLY_FULL, why="load over the lowest rating")


def _load(x: Any, of_wheels: float) -> float:
    if x.has("laden_axle_mass"):
        return float(x.laden_axle_mass)
    if x.has("axle_mass") and x.axle_mass > of_wheels:
        return float(x.axle_mass + (x.payload if x.has("payload") else 0.0))
    if not x.has("axle_mass", "payload"):
        raise Missing("laden_axle_mass")
    return float(x.axle_mass + x.payload)


def say(s: Any) -> str:
    """The finding in words."""
    first = f"The {s.position} axle carries {s.axle_load} of the {s.axle_capacity} it is rated for, {s.percent(s.v['load_ratio'])}"
    if s.v["load_ratio"] > FULL:
        return f"{first}: overloaded. Carry less on it, or fit parts rated for it."
    return f"{first}: nothing to spare." if s.v["load_ratio"] > NEARLY_FULL else f"{first}."


CHECK = Check(
    title="Axle mass against ratings",
    system="weights",
    safety=True,
    at="axles",
    applies=any_recorded("weights.axle_rating@here", "weights.laden_axle_mass@here", "wheel.load_rating@left", "wheel.load_rating@right"),
    inputs=[
        option("weights.laden_axle_mass@here"),
        option("weights.axle_mass@here"),
        option("weights.payload@here"),
        need("weights.axle_rating@here"),
        option("wheel.load_rating@left", "left_wheel_rating"),
        option("wheel.load_rating@right", "right_wheel_rating"),
    ],
    either=[(("laden_axle_mass",), ("axle_mass", "payload"))],
    values={
        "axle_load": Shown("load on the axle", "mass", "kg"),
        "axle_capacity": Shown("what the axle may carry", "mass", "kg"),
        "load_ratio": Shown("load over capacity", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("weights.payload@here")],
    formula="load ratio = axle load/min(axle rating, 2 · smaller wheel rating)",
    basis=[derived("the weakest of axle and wheels"), common_practice("95 % as the point of nothing to spare")],
)
