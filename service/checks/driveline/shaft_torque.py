"""Torque in the driveshaft.

The most a shaft can see is the smaller of two: the lowest gear at stall, and what the tires pass before they slip. Wheel
hop and a dumped clutch can exceed the slip figure by half, and sticky tires on a prepared surface raise it: enter a
higher friction where they are seen. In a two-piece line the front shaft sees the same torque. Thin walls may buckle
before they yield and are not judged.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, common_practice, derived, from_memory, need, on_car, option, published
from service.checks.driveline import torque
from service.checks.driveline.shared import DUST, shaft_positions

#: Shear strength over stress, and share of the joints' rating. Common practice.
SAFETY_FAIL, SAFETY_CAUTION, JOINT_CAUTION = 1.5, 1.75, 0.9


def judge(x: Any, out: Outcome) -> None:
    """The torque, then the joints, then the tube."""
    slip = torque.slip_torque(x)
    if slip is not None:
        out.value("slip_torque", slip)
    first = out.value("first_gear_torque", torque.lowest_gear_torque(x, out))
    design = out.value("design_torque", torque.design_torque(x, first, slip))
    with out.part():
        out.value("joint_used_fraction", design / x.joint_torque_rating)
        out.at_most("joint_used_fraction", 1.0, JOINT_CAUTION, why="the joints' rating, caution above 90 % of it")
    _tube(x, out, design)


def _tube(x: Any, out: Outcome, design: float) -> None:
    stress = out.value("shear_stress", calc.shear_stress(design, x.outer_diameter, x.wall))
    reason = _not_judged(x)
    if reason is not None:
        if out.verdict == "fail":
            out.remark(f"The tube itself is not judged: {reason}.")
            return
        raise Unknown(reason)
    out.value("tube_safety", (x.shear_strength or calc.TUBE_MATERIALS[x.material].shear_strength) / stress)
    out.at_least("tube_safety", SAFETY_FAIL, SAFETY_CAUTION, why="shear strength over stress, 1.5 at least, caution below 1.75")


def _not_judged(x: Any) -> str | None:
    if x.material == "carbon" and not x.has("shear_strength"):
        return "a carbon tube's layup decides; ask the maker for its shear strength"
    if x.wall / x.outer_diameter < calc.TUBE_MATERIALS[x.material].least_wall_ratio * (1 - DUST):
        return "so thin a wall may buckle in torsion before it yields"
    return None


def say(s: Any) -> str:
    """The finding in words."""
    first, slip, design = s.v["first_gear_torque"], s.v.get("slip_torque"), s.v["design_torque"]
    text = f"The most this shaft can see is {s.design_torque} ({torque.why(s.x, first, slip, design)})"
    parts = []
    if "tube_safety" in s.v:
        parts.append(_tube_words(s.v["tube_safety"]))
    if "joint_used_fraction" in s.v:
        parts.append(f"the joints are used to {s.percent(s.v['joint_used_fraction'])}")
    text += f"; {' and '.join(parts)}." if parts else "."
    if s.verdict in ("caution", "fail") and any(limit.violated for limit in s.limits):
        weak = [words for of, words in (("joint_used_fraction", "larger joints"), ("tube_safety", "a stronger tube"))
                if any(limit.violated and limit.of == of for limit in s.limits)]
        text += f" Fit {' and '.join(weak)}."
    return text + torque.weakest_sentence(s, design)


def _tube_words(safety: float) -> str:
    """How strong the tube is, and how strong it should be where it is not."""
    if safety < 1:
        return "the tube yields"
    wanted = "" if safety >= SAFETY_CAUTION else f", where {SAFETY_FAIL if safety < SAFETY_FAIL else SAFETY_CAUTION} times is wanted"
    return f"the tube would stand {safety:.1f} times that{wanted}"


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """The torque path."""
    return {"table": torque.table(x, values["design_torque"])}


CHECK = Check(
    title="Torque in the driveshaft",
    system="driveline",
    safety=True,
    at=shaft_positions,
    applies=on_car("driveshaft@here"),
    reads=("car",),
    inputs=[
        *torque.inputs(ratio_needed=False),
        need("driveshaft.outer_diameter@here"),
        need("driveshaft.wall@here"),
        need("driveshaft.joint_torque_rating@here"),
        option("driveshaft.material@here", default="steel"),
        option("driveshaft.shear_strength@here"),
    ],
    values={
        **torque.VALUES,
        "shear_stress": Shown("shear stress in the tube", "pressure", "MPa"),
        "tube_safety": Shown("shear strength over stress", "dimensionless"),
        "joint_used_fraction": Shown("torque over the joints' rating", "dimensionless"),
    },
    judge=judge,
    say=say,
    extras=extras,
    remedies=[
        Fix("driveshaft.joint_torque_rating@here", "a larger joint series"),
        Fix("driveshaft.outer_diameter@here"),
        Fix("driveshaft.wall@here"),
        Fix("driveshaft.material@here"),
        Fix("torque_converter.stall_torque_ratio", "another converter"),
    ],
    formula="T₁ = T K max(G₁, G_reverse) R_l; T_slip = μ W r/A, W = m_r g/(1 − μ h/l); T_d = min(k T₁, T_slip); τ = 16 T_d D/(π(D⁴ − d⁴))",
    basis=[
        published("torsion of round tubes: Shigley, Mechanical Engineering Design; load on the driven axle: Gillespie, Fundamentals of Vehicle Dynamics"),
        common_practice("the smaller of lowest-gear and tire-slip torque; shock factors; safety 1.5 and 1.75; 90 % of the joints' rating"
                        "; h/l 0.2 when not known"),
        derived("least walls from Schwerin's and Donnell's formulas"),
        from_memory("strengths of tube materials (yields compared with a mill's public tables)"),
    ],
)
