"""Working angles of the joints.

A cardan joint turns unevenly by the square of its angle; two of them cancel when their angles are equal. Needles need
half a degree to roll. Watch for slopes measured with the wheels hanging, a level read on a weld, and nose-up entered
with the wrong sign (two wrong signs still cancel). Parallel and broken-back layouts both cancel at rest; only the
parallel one stays cancelled as the axle moves.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import pi
from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, from_memory, option
from service.checks.driveline import line as row
from service.checks.driveline.shared import broken, cruise_speed, is_road, line_positions, printed, use

DEGREE = pi / 180
#: Angles for smooth running and long life. Common practice (compared with a public driveline-angle article and a repair-manual page).
SMALLEST, COMFORT, DIFFERENCE = 0.5 * DEGREE, 3 * DEGREE, 1.0 * DEGREE
#: A cardan joint left alone beside a constant-velocity joint. Common practice.
ALONE = 1.5 * DEGREE
#: Constant-velocity joint, and the most a double cardan joint is given. Common practice.
CV_CAUTION, CV_FAIL, DOUBLE_FAIL, DOUBLE_CAUTION_SHARE = 8 * DEGREE, 10 * DEGREE, 15 * DEGREE, 0.8
#: Shaft speed taken when the axle ratio or the tire is not known, rad/s (3000 rpm). Common practice.
SPEED_ASSUMED = 3000 * pi / 30


def judge(x: Any, out: Outcome) -> None:
    """Each joint against the limits of its kind, then the pair."""
    limit = calc.angle_limit(_speed(x, out))
    joints = row.joints(x)
    for number, joint in enumerate(joints, 1):
        with out.part():
            out.value(f"joint_{number}_angle", _angle(x, number, len(joints)))
            _joint(x, out, f"joint_{number}_angle", joint, limit, alone=any(kind != row.CARDAN for kind in joints))
    out.value("speed_angle_limit", limit)
    line = row.line(x)
    out.value("residual_angle", line.residual_angle)
    if line.joints == (row.CARDAN, row.CARDAN):
        out.value("angle_difference", abs(line.angles[0] - line.angles[1]))
        out.at_most("angle_difference", caution=DIFFERENCE, why="equal within 1 deg, so that they cancel")


def _angle(x: Any, number: int, joints: int) -> float:
    if number == 1:
        return row.front_angle(x)
    if number == joints:
        return row.rear_angle(x)
    return calc.working_angle((x.front_slope, x.front_plan_angle), (x.rear_slope, x.rear_plan_angle))


def _speed(x: Any, out: Outcome) -> float:
    if x.has("axle_ratio", "rolling_radius"):
        return calc.shaft_speed(x.cruise_speed, x.axle_ratio, x.rolling_radius)
    out.remark("Axle ratio or rolling radius is not known, so the speed limit is for 3,000 rpm of the shaft.")
    return SPEED_ASSUMED


def _joint(x: Any, out: Outcome, name: str, joint: str, limit: float, *, alone: bool) -> None:
    if joint == row.CARDAN:
        out.at_most(name, fail=limit, why="what this shaft speed allows one joint")
        out.at_least(name, caution=SMALLEST, why="the needles have to roll")
        if alone:
            out.at_most(name, caution=ALONE, why="nothing cancels a cardan joint beside a constant-velocity joint")
        elif is_road(x):
            out.at_most(name, caution=COMFORT, why="smooth running")
    elif joint == row.DOUBLE_CARDAN:
        most = min(2 * limit, DOUBLE_FAIL)
        out.at_most(name, most, DOUBLE_CAUTION_SHARE * most, why="each half works at half the angle")
    else:
        out.at_most(name, CV_FAIL, CV_CAUTION, why="constant-velocity joint, unless its maker allows more")


def say(s: Any) -> str:
    """The finding in words."""
    names = sorted(name for name in s.v if name.startswith("joint_"))
    # An angle beside its limit needs a figure more to be told from it.
    near = any(abs(s.v[name] - s.v["speed_angle_limit"]) < 0.1 * DEGREE for name in names)
    angles, limit = [_degrees(s.v[name], 2 if near else 1) for name in names], _degrees(s.v["speed_angle_limit"], 2 if near else 1)
    text = f"The joints work at {', '.join(angles[:-1])} and {angles[-1]}" if len(angles) > 1 else f"The joint works at {angles[0]}"
    if "angle_difference" in s.v:
        text += f"; they should be equal within {_degrees(DIFFERENCE)}, at least {_degrees(SMALLEST)} and, at this speed, under {limit}."
    else:
        text += f"; a cardan joint may have {limit} at this speed."
    return text + "".join(f" {sentence}" for sentence in _broken(s, names)) + _advice(s)


def _degrees(angle: float, decimals: int = 1) -> str:
    return f"{round(angle / DEGREE, decimals):g}°"


def _broken(s: Any, names: list[str]) -> list[str]:
    joints = row.joints(s.x)
    words = dict(zip((f"joint_{number}_angle" for number in range(1, len(joints) + 1)), ("front", "center", "rear") if len(joints) == 3 else ("front", "rear"),
                     strict=True))
    found, told = [], set()
    for limit in s.limits:
        if limit.violated and limit.of in names and limit.of not in told:
            told.add(limit.of)
            edge = limit.high if limit.high is not None else limit.low
            shown = _degrees(edge, 2 if abs(edge - s.v[limit.of]) < 0.1 * DEGREE else 1)
            found.append(f"The {words[limit.of]} joint is {'over' if limit.high is not None else 'under'} {shown} ({limit.why}).")
    if any(limit.violated and limit.of == "angle_difference" for limit in s.limits):
        found.append(f"They differ by {_degrees(s.v['angle_difference'])}.")
    return found


def _advice(s: Any) -> str:
    return "" if not broken(s) else " Turn the pinion or move the transmission's tail; measure at ride height, weight on the wheels."


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """Side view and a table of the axes."""
    line = row.line(x)
    places = ["driveshaft.length@front", "driveshaft.length@rear"] if row.two_piece(x) else [
        f"driveshaft.length@{x.position}" if x.position else "driveshaft.length"]
    names = ["transmission", *(("front shaft", "rear shaft") if row.two_piece(x) else ("driveshaft",)), "pinion, under load"]
    rows = [[name, printed(x.car, axis[0], "angle", "deg"), printed(x.car, axis[1], "angle", "deg")] for name, axis in zip(names, line.axes, strict=True)]
    return {
        "table": {"title": "Axes, front to rear", "columns": ["axis", "slope, falling to the rear", "from above, rear end to the right"], "rows": rows},
        "series": {
            "kind": "driveline_side_view", "slopes": [axis[0] for axis in line.axes], "lengths": [x.car.value(place) for place in places],
            "joint_angles": list(line.angles), "joint_types": list(line.joints), "angle_limit": values["speed_angle_limit"],
            "comfort_limit": COMFORT if is_road(x) else None, "smallest_angle": SMALLEST, "pinion_rise": x.pinion_rise,
        },
    }


CHECK = Check(
    title="Working angles of the joints",
    system="driveline",
    safety=True,
    at=line_positions,
    applies=row.applies,
    reads=("car",),
    inputs=[
        use(),
        *row.inputs(),
        option("axle.ratio", "axle_ratio"),
        option("tire.rolling_radius@driven"),
        cruise_speed(),
    ],
    either=row.EITHER,
    values={
        "joint_1_angle": Shown("angle of the front joint", "angle", "deg"),
        "joint_2_angle": Shown("angle of the next joint", "angle", "deg"),
        "joint_3_angle": Shown("angle of the rear joint", "angle", "deg"),
        "speed_angle_limit": Shown("angle that this speed allows one joint", "angle", "deg"),
        "residual_angle": Shown("angle left uncancelled", "angle", "deg"),
        "angle_difference": Shown("difference of the two angles", "angle", "deg"),
    },
    judge=judge,
    say=say,
    extras=extras,
    remedies=[
        Fix("driveline.engine_slope@here", "raise or lower the transmission's tail"),
        Fix("driveline.pinion_slope@here", "wedges or adjustable links"),
        Fix("driveshaft.yoke_phase@here"),
    ],
    formula="β = angle between neighboring axes; β_max = √1000/ω; θ² = |Σ conj(z)² exp(2jα)|, in line and in phase |β₁² − β₂²|",
    basis=[
        derived("angles between axes in space; the speed limit from the inertial limit of driveline.joint_vibration"),
        from_memory("1000 rad/s² of inertial shake: SAE AE-7, Universal Joint and Driveshaft Design Manual"),
        common_practice("equal within 1 deg, at least 0.5 deg, at most 3 deg for smooth running"
                        "; 8, 10 and 15 deg for constant-velocity and double cardan joints"),
    ],
)
