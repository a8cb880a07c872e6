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
from service.checks.driveline.shared import broken, cruise_speed, is_road, line_positions, use

#: Torsional (caution, fail) on the road and in competition, rad/s2: 300 and 400 from memory of SAE AE-7, compared with a public
#: engineering reference page's two-joint chart (7.3 deg beside 0 deg at 1500 rpm is 400); competition common practice.
TORSIONAL_ROAD, TORSIONAL_OTHER = (300.0, 400.0), (400.0, 600.0)
#: Inertial, either side, rad/s2: 1000 from memory of SAE AE-7; 750 common practice.
INERTIAL = (750.0, 1000.0)


def judge(x: Any, out: Outcome) -> None:
    """Shake at cruise, torsional and at both ends."""
    line = row.line(x)
    if max(line.angles) > calc.LARGEST_ANGLE:
        raise Unknown("a joint works above 15 deg, beyond what the small-angle formula holds for")
    speed = out.value("shaft_speed", calc.shaft_speed(x.cruise_speed, x.axle_ratio, x.rolling_radius))
    residual = out.value("residual_angle", line.residual_angle)
    first, last = (angle if cardan else 0.0 for angle, cardan in ((line.angles[0], line.cardan[0]), (line.angles[-1], line.cardan[-1])))
    out.value("torsional_acceleration", calc.angular_acceleration(residual, speed))
    out.value("inertial_acceleration_drive", calc.angular_acceleration(first, speed))
    out.value("inertial_acceleration_coast", calc.angular_acceleration(last, speed))
    caution, fail = TORSIONAL_ROAD if is_road(x) else TORSIONAL_OTHER
    out.at_most("torsional_acceleration", fail, caution, why="shake that the axle and the body feel")
    for side in ("drive", "coast"):
        out.at_most(f"inertial_acceleration_{side}", INERTIAL[1], INERTIAL[0], why="shake of the shaft's own inertia")


def say(s: Any) -> str:
    """The finding in words."""
    comfort = s.limit("torsional_acceleration", "caution")
    text = f"At {s.cruise_speed} the shaft turns {s.shaft_speed}; the joints leave {s.torsional_acceleration} of shake ({comfort} is comfortable)"
    worst = max(("drive", "coast"), key=lambda side: float(s.v[f"inertial_acceleration_{side}"]))
    inertial = s.v[f"inertial_acceleration_{worst}"]
    end = "transmission" if worst == "drive" else "axle"
    shown = s.show(inertial, "angular_acceleration", "rad/s2")
    text += f", and the joint at the {end} shakes the shaft by {shown} ({s.limit('inertial_acceleration_drive', 'caution')} is comfortable)."
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
