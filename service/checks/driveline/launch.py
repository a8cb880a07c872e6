"""Moving off on a hill.

What first gear and the converter can start on, with the driveline's losses taken off. Grip is not tested here.
"""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, need, on_car, option, published
from service.checks.driveline.shared import broken, multiplication, ordered_ratios, stall_torque_ratio, transmission_type, use

#: Start grade (fail, caution). 12 % with a trailer: SAE J2807, launch on grade (compared with public summaries); others common practice.
ALONE, WITH_TRAILER = (0.20, 0.30), (0.12, 0.20)
#: Share of peak torque usable when moving off. Common practice.
TORQUE_FRACTION = 0.7


def judge(x: Any, out: Outcome) -> None:
    """Force at the tires against the weight on a slope."""
    overall = out.value("first_overall_ratio", ordered_ratios(x)[0] * x.axle_ratio)
    force = calc.tractive_force(x.peak_torque, x.launch_torque_fraction, multiplication(x), overall, x.rolling_radius)
    out.value("tractive_force", force)
    out.value("start_grade", calc.start_grade(force, x.mass + x.trailer_mass))
    if x.use in ("track", "drag"):
        return
    fail, caution = WITH_TRAILER if x.use == "towing" and x.trailer_mass > 0 else ALONE
    out.at_least("start_grade", fail, caution, why="what such a car has to start on")


def say(s: Any) -> str:
    """The finding in words."""
    with_trailer = " with its trailer" if s.x.trailer_mass else ""
    if s.v["start_grade"] >= 1:
        return f"In first the car can move off{with_trailer} on any slope that its tires can grip."
    text = f"In first the car can move off{with_trailer} on a slope of {s.percent(s.v['start_grade'])}"
    if not broken(s):
        return text + "."
    return f"{text}; at least {s.percent(s.worst.low)} is wanted: a shorter axle, a converter that multiplies more, or less to pull."


CHECK = Check(
    title="Moving off on a hill",
    system="driveline",
    safety=False,
    applies=on_car("transmission", "axle"),
    reads=("car",),
    inputs=[
        use(),
        need("car.mass"),
        need("engine.peak_torque"),
        need("transmission.forward_ratios"),
        need("axle.ratio", "axle_ratio"),
        need("tire.rolling_radius@driven"),
        transmission_type(),
        stall_torque_ratio(),
        option("driveline.trailer_mass", default=0.0, why="no trailer recorded"),
        option("driveline.launch_torque_fraction", default=TORQUE_FRACTION, why="usual share"),
    ],
    values={
        "first_overall_ratio": Shown("overall ratio in first", "dimensionless"),
        "tractive_force": Shown("force at the tires", "force", "N"),
        "start_grade": Shown("slope it can start on", "dimensionless", "%"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("axle.ratio"), Fix("torque_converter.stall_torque_ratio", "another converter"), Fix("driveline.trailer_mass")],
    formula="F = 0.85 q T K G₁ A/r; sin γ + 0.015 cos γ = F/(m g); grade = tan γ, at most 1",
    basis=[
        published("force balance: Gillespie, Fundamentals of Vehicle Dynamics, chapter 2"),
        published("12 % with a trailer: SAE J2807, launch on grade (compared with public summaries of it)"),
        common_practice("other grades; 0.85 of the torque at the wheels, 0.7 of it when moving off"),
    ],
)
