"""Torsional and inertial shaking from the joints.

Whatever the joints do not cancel turns the axle unevenly twice a turn; and every joint shakes the shaft's own inertia
by its own angle, cancelled or not. Both grow with the square of shaft speed. Small-angle forms: below 10 deg within
0.6 % of the exact motion in space; a joint above 15 deg is not judged.
"""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, common_practice, from_memory, need, published
from service.checks.driveline import line as row
from service.checks.driveline.shared import DUST, broken, cruise_speed, is_road, line_positions, use, wanted

#: Torsional (caution, fail) on the road and in competition, rad/s2: 300 and 400 from memory of SAE AE-7, compared with a public
#: engineering reference page's two-joint chart (7.3 deg beside 0 deg at 1500 rpm is 400); competition common practice.
TORSIONAL_ROAD, TORSIONAL_OTHER = (300.0, 400.0), (400.0, 600.0)
#: Inertial, either side, rad/s2: 1000 from memory of SAE AE-7; 750 common practice.
INERTIAL = (750.0, 1000.0)


def judge(x: Any, out: Outcome) -> None:
    """Shake at cruise, torsional and at both ends."""
    with out.part():
        out.value("shaft_speed", calc.shaft_speed(x.cruise_speed, x.axle_ratio, x.rolling_radius))
    joints = row.joints(x)
    with out.part():
        _end(x, out, "drive", joints[0], row.front_angle(x))
    with out.part():
        _end(x, out, "coast", joints[-1], row.rear_angle(x))
    line = row.line(x)
    for angle in line.angles:
        _formula_holds(angle)
    residual = out.value("residual_angle", line.residual_angle)
    out.value("torsional_acceleration", calc.angular_acceleration(residual, _speed(x, out)))
    caution, fail = TORSIONAL_ROAD if is_road(x) else TORSIONAL_OTHER
    out.at_most("torsional_acceleration", fail, caution, why="shake that the axle and the body feel")


def _end(x: Any, out: Outcome, side: str, joint: str, angle: float) -> None:
    _formula_holds(angle)
    out.value(f"inertial_acceleration_{side}", calc.angular_acceleration(angle if joint == row.CARDAN else 0.0, _speed(x, out)))
    out.at_most(f"inertial_acceleration_{side}", INERTIAL[1], INERTIAL[0], why="shake of the shaft's own inertia")


def _formula_holds(angle: float) -> None:
    if angle > calc.LARGEST_ANGLE * (1 + DUST):
        raise Unknown("a joint works above 15 deg, beyond what the small-angle formula holds for")


def _speed(x: Any, out: Outcome) -> float:
    """Shaft speed as given; missing facts are asked for by the part that gives it."""
    if "shaft_speed" not in out.values:
        wanted(x, "axle_ratio", "rolling_radius")
    return float(out.values["shaft_speed"])


def say(s: Any) -> str:
    """The finding in words."""
    text = f"At {s.cruise_speed} the shaft turns {s.shaft_speed}; "
    if "torsional_acceleration" in s.v:
        comfort = s.limit("torsional_acceleration", "caution")
        text += f"the joints leave {s.torsional_acceleration} of shake ({comfort} is comfortable), and "
    shakes = {side: float(s.v[f"inertial_acceleration_{side}"]) for side in ("drive", "coast") if f"inertial_acceleration_{side}" in s.v}
    worst = max(shakes, key=lambda side: shakes[side])
    end = "transmission" if worst == "drive" else "axle"
    shown, comfort = (s.show(shake, "angular_acceleration", "rad/s2") for shake in (shakes[worst], INERTIAL[0]))
    text += f"the joint at the {end} shakes the shaft by {shown} ({comfort} is comfortable)."
    return text if not broken(s) else text + " Bring the two angles closer together and smaller: turn the pinion, or move the transmission's tail."


CHECK = Check(
    title="Shaking from the joints",
    system="driveline",
    safety=True,
    at=line_positions,
    applies=row.applies,
    inputs=[
        use(),
        *row.inputs(),
        need("axle.ratio", "axle_ratio"),
        need("tire.rolling_radius@driven"),
        cruise_speed(),
    ],
    either=row.EITHER,
    values={
        "shaft_speed": Shown("shaft speed at cruise", "rotational_speed", "rpm"),
        "residual_angle": Shown("angle left uncancelled", "angle", "deg"),
        "torsional_acceleration": Shown("torsional shake", "angular_acceleration", "rad/s2"),
        "inertial_acceleration_drive": Shown("inertial shake, transmission end", "angular_acceleration", "rad/s2"),
        "inertial_acceleration_coast": Shown("inertial shake, axle end", "angular_acceleration", "rad/s2"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("driveline.pinion_slope@here", "wedges or adjustable links"),
        Fix("driveline.engine_slope@here", "raise or lower the transmission's tail"),
        Fix("driveshaft.yoke_phase@here", "yokes in line"),
        Fix("driveline.cruise_speed"),
        Fix("axle.ratio"),
    ],
    formula="ω = v A/r; α_t = θ² ω²; α_d = β₁² ω²; α_c = β_last² ω²; from ω_out/ω_in = cos β/(1 − sin²β cos²φ)",
    basis=[
        published("kinematics of Hooke's joint: Seherr-Thoss, Schmelz & Aucktor, Universal Joints and Driveshafts; SAE AE-7, section 3.1.1"),
        from_memory("300, 400 and 1000 rad/s²: SAE AE-7 (compared with a public reference page's two-joint chart: 7.3 deg at 1500 rpm is 400)"),
        common_practice("750 rad/s²; limits for competition"),
    ],
)
