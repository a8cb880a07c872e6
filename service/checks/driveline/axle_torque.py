"""Torque in the axle.

Pinion, ring and axle shafts see the shaft's torque, multiplied. A broken axle shaft can let the wheel go. Watch for
continuous ratings typed in: they are about a quarter of the short-time ones.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, on_car, option
from service.checks.driveline import torque

#: Share of a rating from which little is left. Common practice.
CAUTION_SHARE = 0.9
_WHY = "the rating, caution above 90 % of it"


def judge(x: Any, out: Outcome) -> None:
    """Pinion and one axle shaft where they are rated, then the axle as a whole."""
    first = torque.lowest_gear_torque(x, out)
    design = out.value("pinion_torque", torque.design_torque(x, first, torque.slip_torque(x)))
    both = out.value("axle_torque", design * x.axle_ratio)
    one = out.value("axle_shaft_torque", calc.SHAFT_SHARE[x.differential] * both)
    if x.has("shaft_torque_rating"):
        out.value("axle_shaft_used_fraction", one / x.shaft_torque_rating)
        out.at_most("axle_shaft_used_fraction", 1.0, CAUTION_SHARE, why=_WHY)
    if x.has("pinion_torque_rating"):
        out.at_most("pinion_torque", x.pinion_torque_rating, CAUTION_SHARE * x.pinion_torque_rating, why=_WHY)
    out.value("used_fraction", both / x.torque_rating)
    out.at_most("used_fraction", 1.0, CAUTION_SHARE, why=_WHY)


def say(s: Any) -> str:
    """The finding in words."""
    text = f"The axle must stand {s.axle_torque}"
    text += f"; it is rated {s.torque_rating}, {s.percent(s.v['used_fraction'])} used." if "used_fraction" in s.v else "."
    if "axle_shaft_used_fraction" in s.v:
        text += f" One axle shaft takes {s.axle_shaft_torque}, {s.percent(s.v['axle_shaft_used_fraction'])} of its rating."
    if any(limit.violated and limit.of == "pinion_torque" for limit in s.limits):
        text += f" The pinion takes {s.pinion_torque} of its {s.pinion_torque_rating}."
    if s.verdict == "fail":
        text += " Fit stronger parts, or keep the torque down; a broken axle shaft can let the wheel go."
    return text + torque.weakest_sentence(s, s.v["pinion_torque"])


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """The torque path."""
    return {"table": torque.table(x, values["pinion_torque"])}


CHECK = Check(
    title="Torque in the axle",
    system="driveline",
    safety=True,
    applies=on_car("axle"),
    reads=("car",),
    inputs=[
        *torque.inputs(ratio_needed=True),
        need("axle.torque_rating"),
        option("axle.shaft_torque_rating"),
        option("axle.pinion_torque_rating"),
        option("axle.differential", default="open", why="open unless recorded"),
    ],
    values={
        "pinion_torque": Shown("torque at the pinion", "torque", "N*m"),
        "axle_torque": Shown("torque at both wheels", "torque", "N*m"),
        "used_fraction": Shown("torque over the axle's rating", "dimensionless"),
        "axle_shaft_torque": Shown("torque in one axle shaft", "torque", "N*m"),
        "axle_shaft_used_fraction": Shown("torque over the axle shaft's rating", "dimensionless"),
    },
    judge=judge,
    say=say,
    extras=extras,
    remedies=[
        Fix("axle.torque_rating", "a stronger axle"),
        Fix("axle.shaft_torque_rating", "stronger axle shafts"),
        Fix("axle.pinion_torque_rating", "a stronger ring and pinion"),
        Fix("axle.ratio"),
        Fix("torque_converter.stall_torque_ratio", "another converter"),
    ],
    formula="T_axle = T_d A, T_d as in driveline.shaft_torque; one shaft: 0.5 open, 0.75 limited slip, 1.0 locked",
    basis=[derived("torque times ratio"), common_practice("shares of one axle shaft; 90 % of a rating")],
)
