"""Parking brake on a 20 % grade.

The parking brake has to hold the car where it stands, facing down a steep hill, for as long as it likes. Two things can
give: the brake, or the grip of the only two tires that it holds. A rear axle worked by cables over an equalizer is
taken. A transmission's park pawl is not a parking brake. Watch for: cables that bind, an equalizer that bottoms, a
caliper lever that does not come back to its stop.
"""

from __future__ import annotations

from typing import Any

from service.calc.brakes import parking as calc
from service.checks.brakes import shared
from service.checks.core import Check, Fix, Outcome, Shown, any_recorded, common_practice, derived, from_memory, need, option, published

#: Grade that has to be held, and the grade from which nothing more is said. The first: FMVSS 135 S7.12; the second common practice.
FAIL_GRADE, CAUTION_GRADE = calc.GRADE, 0.22
#: Force on the lever, N. Source: FMVSS 135 S7.12, 400 N by hand, 500 N by foot (from memory).
HAND_FORCE = 400.0
#: Force that arrives at the end of the cables. Common practice.
CABLE_EFFICIENCY = 0.85
_FACTS = ("kind", "force", "lever_ratio", "shoe_lever_ratio", "cable_efficiency", "caliper_clamp_ratio")


def judge(x: Any, out: Outcome) -> None:
    """What the brake holds, and what the tires hold."""
    with out.part():
        out.value("required_force", calc.force_on_grade(x.mass))
    with out.part():
        rear_share = x.axle_mass_rear / (x.axle_mass_front + x.axle_mass_rear)
        out.value("adhesion_grade", calc.rear_adhesion_grade(rear_share, x.cg_height / x.wheelbase))
        out.at_least("adhesion_grade", FAIL_GRADE, CAUTION_GRADE, why="grip of the two rear tires, facing downhill")
    with out.part():
        holding = out.value("holding_force", _torque(x) / shared.radius(x, out, "rear"))
        out.value("grade_held", calc.grade_held(holding, x.mass))
        out.at_least("grade_held", FAIL_GRADE, CAUTION_GRADE, why="grade that the brake holds")


def _torque(x: Any) -> float:
    cable = calc.cable_force(x.force, x.lever_ratio, x.cable_efficiency)
    if x.kind == "caliper_lever":
        return calc.caliper_holding_torque(cable, x.caliper_clamp_ratio, x.pad_friction, x.effective_radius)
    return calc.drum_holding_torque(cable, x.brake_factor, x.shoe_lever_ratio, x.drum_radius)


def say(s: Any) -> str:
    """The finding in words."""
    parts = []
    if "grade_held" in s.v:
        parts.append(f"the brake holds {s.holding_force}, enough for a grade of {_grade(s.v['grade_held'])}")
    if "adhesion_grade" in s.v:
        parts.append(f"the two rear tires stand on {_grade(s.v['adhesion_grade'])}, facing downhill")
    text = "; ".join(parts)
    text = text[:1].upper() + text[1:] + "."
    if s.worst is None or not s.worst.violated:
        return text + " A grade of 20 % is asked."
    if s.worst.of == "grade_held":
        return text + f" {s.percent(s.worst.low)} is wanted: more lever ratio at the hand or at the brake."
    return text + f" {s.percent(s.worst.low)} is wanted: the rear axle is too light to hold the car; chock a wheel."


def _grade(grade: float) -> str:
    return f"{grade * 100:.0f} %" if grade < 1 else "more than 100 %"


def _is_drum(x: Any) -> bool:
    return bool(x.kind != "caliper_lever")


def _is_caliper(x: Any) -> bool:
    return bool(x.kind == "caliper_lever")


CHECK = Check(
    title="Parking brake on a 20 % grade",
    system="brakes",
    safety=True,
    applies=any_recorded(*(f"parking_brake.{name}" for name in _FACTS)),
    inputs=[*shared.car_inputs(), option("parking_brake.kind", default="drum_shoes"), need("parking_brake.lever_ratio"),
            need("parking_brake.shoe_lever_ratio", when=_is_drum), need("brake.drum_radius@rear", "drum_radius", when=_is_drum),
            need("brake.brake_factor@rear", "brake_factor", when=_is_drum), need("parking_brake.caliper_clamp_ratio", when=_is_caliper),
            need("brake.pad_friction@rear", "pad_friction", when=_is_caliper), need("brake.effective_radius@rear", "effective_radius", when=_is_caliper),
            option("parking_brake.force", default=HAND_FORCE, why="by hand; 500 N by foot"),
            option("parking_brake.cable_efficiency", default=CABLE_EFFICIENCY), *shared.radius_inputs()],
    values={
        "holding_force": Shown("force at the rear tires' tread", "force", "N"),
        "required_force": Shown("force that a 20 % grade asks", "force", "N"),
        "grade_held": Shown("grade that the brake holds", "dimensionless"),
        "adhesion_grade": Shown("grade that the rear tires' grip holds", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("parking_brake.lever_ratio"), Fix("parking_brake.shoe_lever_ratio"), Fix("parking_brake.caliper_clamp_ratio")],
    formula="F_c = F i η/2; drums T = 2 C F_c i_s r_d; calipers T = 4 μ k F_c r_e; grade = tan(asin(T/(r m g))); grip: tan θ = μ w_r/(1 + μ h/L), μ 0.8",
    basis=[
        derived("levers and statics of a car facing downhill"),
        published("20 % grade: FMVSS 135 S7.12 (compared with a public teaching text on parking brakes)"),
        from_memory("400 N by hand, 500 N by foot: FMVSS 135 S7.12"),
        common_practice("cable efficiency 0.85, friction 0.8, pass from 22 %"),
    ],
)
