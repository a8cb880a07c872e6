"""Clutch torque capacity.

The maker's figure where there is one, else from clamp load and friction ring. A worn-in disc holds a little less than a
new one and is what counts. A clutch that just holds the engine slips with heat and wear; one far too strong is heavy to
push and grabs.
"""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, need, on_car, option, published
from service.checks.driveline.shared import broken, is_road, use, wanted

#: Reserve above the least in which little is left, and reserve from which a road clutch is heavy. Common practice.
CAUTION_BAND, HEAVY = 0.1, 2.5
#: Faces of one disc. Derived.
FACES = 2


def judge(x: Any, out: Outcome) -> None:
    """Capacity over the engine's torque."""
    capacity = out.value("torque_capacity", float(x.capacity) if x.has("capacity") else _worn(x, out))
    reserve = out.value("reserve", capacity / x.peak_torque)
    least = calc.CLUTCH_RESERVE[x.use]
    out.at_least("reserve", least, least + CAUTION_BAND, why=f"{least:g} times the engine's torque for this use, caution within 0.1 of it")
    if is_road(x):
        out.at_most("reserve", caution=HEAVY, why="above this the pedal is heavy and the clutch grabs", value=reserve)


def _worn(x: Any, out: Outcome) -> float:
    if not x.has("clamp_load", "outer_diameter", "inner_diameter"):
        wanted(x, "capacity")
    ring = (x.friction_coefficient, x.clamp_load, x.faces, x.outer_diameter, x.inner_diameter)
    worn = calc.clutch_torque_worn(*ring)
    out.value("torque_capacity_new", calc.clutch_torque_new(*ring))
    return worn


def say(s: Any) -> str:
    """The finding in words."""
    least = calc.CLUTCH_RESERVE[s.x.use]
    text = f"The clutch holds {s.torque_capacity}, {s.v['reserve']:.2f} times the engine's torque; {s.use} use needs {least:g}."
    if not broken(s):
        return text
    if s.v["reserve"] > HEAVY:
        return text + " That is more than a road car wants: the pedal is heavy and it grabs."
    state = "It will slip" if s.v["reserve"] < 1 else "Too little is left for heat and wear" if s.verdict == "fail" else "Little is left for heat and wear"
    return f"{text} {state}: more clamp load, a larger disc or more faces."


def _for_ring(value: Any) -> Any:
    return lambda x: None if x.has("capacity") else value(x)


CHECK = Check(
    title="Clutch torque capacity",
    system="driveline",
    safety=False,
    applies=on_car("clutch"),
    inputs=[
        use(),
        need("engine.peak_torque"),
        option("clutch.torque_capacity", "capacity"),
        option("clutch.clamp_load"),
        option("clutch.friction_outer_diameter", "outer_diameter"),
        option("clutch.friction_inner_diameter", "inner_diameter"),
        option("clutch.friction_material", default=_for_ring(lambda x: "organic"), why="organic unless recorded"),
        option("clutch.friction_coefficient", default=_for_ring(lambda x: calc.FRICTION_COEFFICIENT[x.friction_material]), why="usual for the material"),
        option("clutch.faces", default=_for_ring(lambda x: FACES), why="one disc"),
    ],
    either=[(("capacity",), ("clamp_load", "outer_diameter", "inner_diameter"))],
    values={
        "torque_capacity": Shown("torque the clutch holds, worn in", "torque", "N*m"),
        "torque_capacity_new": Shown("torque it holds when new", "torque", "N*m"),
        "reserve": Shown("capacity over the engine's torque", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("clutch.clamp_load", "another pressure plate"),
        Fix("clutch.friction_outer_diameter", "a larger disc"),
        Fix("clutch.faces", "another disc"),
        Fix("clutch.torque_capacity", "another clutch"),
    ],
    formula="worn in C = μ F N (D + d)/4; new C₀ = (μ F N/3)(D³ − d³)/(D² − d²); reserve = C/T",
    basis=[
        published("uniform wear and uniform pressure of a disc clutch: Shigley, Mechanical Engineering Design, clutches"),
        common_practice("reserves by use; friction coefficients, low end of makers' ranges"),
    ],
)
