"""Moving a ball joint to the other side of its arm.

Only the ball's center counts: moved to the other side of the arm it rises or falls against the arm, while its place in
the knuckle stays. On the arm without the spring the arm's outer end swings by about the shift and little else changes but
camber. On the arm with the spring the car drops by a little more than the shift; bump travel stays, what is lost is room
over the tire and under the car. A joint made to be pushed into its socket must not be pulled out of it. Stud taper, boot
and arm hole must suit the new side.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc import suspension as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, option
from service.checks.suspension import hard_points as points
from service.quantities import both

#: The car may drop by this much before it is worth a caution, m (about half an inch). Common practice.
DROP = 0.013
#: A change of ride height that nobody can measure, m.
HARDLY = 0.001
#: Room left over the tread, m: fail below the first, caution below the second; as for a new wheel. Common practice.
RADIAL_FAIL, RADIAL = 0.010, 0.020


def judge(x: Any, out: Outcome) -> None:
    """Ride height, camber, curve and roll center before and after."""
    before = points.linkage(x)
    moved = calc.relocated(before, x.ball_joint_moved, x.ball_joint_shift, x.spring_arm)
    out.value("ride_height_change", -moved.wheel_rise)
    out.value("camber_change_at_ride_height", moved.camber_change)
    was = points.geometry(before, x.check_travel, (x.track / 2, 0.0))
    now = points.geometry(moved.linkage, x.check_travel, _contact(x, moved))
    out.value("camber_change_in_bump_before", was.bump)
    out.value("camber_change_in_bump_after", now.bump)
    out.value("roll_center_height_before", was.view.roll_center_height)
    out.value("roll_center_height_after", now.view.roll_center_height)
    out.value("arm_outer_end_drop", moved.arm_outer_end_drop)
    points.judge_camber(out, "camber_change_in_bump_after", x.check_travel)
    out.within("roll_center_height_after", *points.ROLL_CENTER, why="roll-center height after the move")
    _judge_scrub(out, now.kingpin.scrub_radius)
    _judge_move(x, out)


def _contact(x: Any, moved: calc.Relocation) -> tuple[float, float]:
    """Contact point after the move, in the car's own axes: it goes with the wheel."""
    outward = moved.linkage.wheel_center[1] - x.wheel_center_y
    return x.track / 2 + outward, moved.wheel_rise


def _judge_scrub(out: Outcome, scrub_radius: float) -> None:
    out.must(abs(scrub_radius) <= points.SCRUB, "the scrub radius after the move is over 75 mm (3 in)", "caution", of="scrub_radius")
    out.must(abs(scrub_radius) <= points.SCRUB_FAIL, "the scrub radius after the move is over 110 mm (4.3 in)", of="scrub_radius")


def _judge_move(x: Any, out: Outcome) -> None:
    out.at_least("ride_height_change", caution=-DROP, why="drop of the car by the move")
    clearances = [gap for gap in (x.radial_clearance_left, x.radial_clearance_right) if gap is not None]
    if clearances:
        after = out.value("radial_clearance_after", min(clearances) + out.values["ride_height_change"])
        out.at_least("radial_clearance_after", RADIAL_FAIL, RADIAL, value=after, why="room over the tread after the move")
    if x.ball_joint_moved == x.spring_arm:
        if x.suits_load_direction is None:
            out.at_best_caution("ask the joint's maker whether it may be loaded the new way: nothing says so yet", lifted_by="suits_load_direction")
        else:
            out.must(x.suits_load_direction, "the joint is not made for the new direction of its load", of="suits_load_direction")


def say(s: Any) -> str:
    """The finding in words."""
    drop, ride = s.v["arm_outer_end_drop"], s.v["ride_height_change"]
    camber = s.show(abs(s.v["camber_change_at_ride_height"]), "angle", "deg")
    first = (f"Moving the {s.ball_joint_moved} ball joint {'drops' if drop >= 0 else 'raises'} the arm's outer end {s.show(abs(drop), 'length', 'mm')} "
             f"at the wheel and {_ride(s, ride)}; "
             f"reset camber by {camber}, {'in' if s.v['camber_change_at_ride_height'] > 0 else 'out'} at the top.")
    notes = {
        "suits_load_direction": "The joint is not made for the new direction of its load and may pull out: fit one that is.",
        "radial_clearance_after": f"{s.radial_clearance_after} is left over the tread: measure tire-to-fender room again at full bump.",
        "ride_height_change": "Measure tire-to-fender room and ground clearance again.",
        "camber_change_in_bump_after": f"In {s.check_travel} of bump the camber then changes by {s.camber_change_in_bump_after}.",
        "roll_center_height_after": f"The roll center then sits at {s.roll_center_height_after}.",
        "scrub_radius": "The scrub radius then is large: another wheel offset brings it in.",
    }
    broken = [item.of for item in s.limits if item.violated]
    if "radial_clearance_after" in broken:
        notes["ride_height_change"] = "Measure ground clearance again too."
    told = [text for name, text in notes.items() if name in broken]
    if told and s.x.ball_joint_moved == s.x.spring_arm and s.x.suits_load_direction is None:
        told.append("Ask the joint's maker whether it may be loaded the new way.")
    return " ".join([first, *told])


def _ride(s: Any, change: float) -> str:
    if abs(change) < HARDLY:
        return "leaves the ride height nearly as it was"
    return f"{'drops' if change < 0 else 'raises'} the car by {s.show(abs(change), 'length', 'mm')}"


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """Front view and camber curve before and after, and the figures side by side."""
    before = points.linkage(x)
    moved = calc.relocated(before, x.ball_joint_moved, x.ball_joint_shift, x.spring_arm)
    travel, was = points.curve(before, x.check_travel)
    _, now = points.curve(moved.linkage, x.check_travel)
    series = [
        {"kind": "front_view", "axle": x.position, "track": x.track, "before": points.drawing(before, (x.track / 2, 0.0)),
         "after": points.drawing(moved.linkage, _contact(x, moved)), "moved": x.ball_joint_moved, "ride_height_change": values["ride_height_change"]},
        {"kind": "camber_curve", "travel": travel, "before": was, "after": now, "limits": points.curve_limits(x.check_travel)},
    ]
    return {"series": series, "table": {"title": "Ball joint, before and after", "columns": ["", "before", "after"], "rows": _rows(x, values, moved)}}


def _rows(x: Any, values: Mapping[str, Any], moved: calc.Relocation) -> list[list[str]]:
    rows = [
        ["camber at ride height", _angle(x.camber), _angle(moved.linkage.camber)],
        ["camber change in bump", _angle(values["camber_change_in_bump_before"]), _angle(values["camber_change_in_bump_after"])],
        ["roll-center height", _length(values["roll_center_height_before"]), _length(values["roll_center_height_after"])],
        ["ride height", "as found", f"{_length(values['ride_height_change'])} against before"],
    ]
    if "radial_clearance_after" in values:
        before = values["radial_clearance_after"] - values["ride_height_change"]
        rows.append(["room over the tread", _length(before), _length(values["radial_clearance_after"])])
    return rows


def _angle(value: float) -> str:
    return both(value, "angle", "us", "deg")


def _length(value: float) -> str:
    return both(value, "length", "us", "mm")


def applies(car: Any, position: str | None) -> bool:
    """A joint is being moved on a double wishbone."""
    return car.exists("suspension.ball_joint_moved@here", position) and points.geometry_of(car, position) == "double_wishbone"


CHECK = Check(
    title="Moving a ball joint to the other side of its arm",
    system="suspension",
    safety=True,
    at="axles",
    applies=applies,
    inputs=[
        need("suspension.ball_joint_moved@here"),
        need("suspension.ball_joint_shift@here"),
        *points.inputs(),
        *points.tie_rod(),
        option("suspension.spring_arm@here", default="lower"),
        option("suspension.ball_joint_suits_load_direction@here", "suits_load_direction"),
        option("wheel_fit.radial_clearance@left", "radial_clearance_left"),
        option("wheel_fit.radial_clearance@right", "radial_clearance_right"),
    ],
    values={
        "ride_height_change": Shown("change of ride height, negative is lower", "length", "mm"),
        "camber_change_at_ride_height": Shown("camber change at ride height", "angle", "deg"),
        "camber_change_in_bump_before": Shown("camber change in bump, before", "angle", "deg"),
        "camber_change_in_bump_after": Shown("camber change in bump, after", "angle", "deg"),
        "roll_center_height_before": Shown("roll-center height, before", "length", "mm"),
        "roll_center_height_after": Shown("roll-center height, after", "length", "mm"),
        "arm_outer_end_drop": Shown("drop of the arm's outer end", "length", "mm"),
        "radial_clearance_after": Shown("room over the tread, after", "length", "mm"),
    },
    judge=judge,
    say=say,
    extras=extras,
    remedies=[Fix("suspension.ball_joint_shift@here")],
    formula="ball at B + δ n; spring arm keeps its angle, the other arm swings until the knuckle fits; ride height change = −rise of the wheel center",
    basis=[
        derived("rigid links; checked by an independent solution with the new arm lengths"),
        common_practice("a joint built to be pushed into its socket must not be loaded to pull out: ask the maker; bands as for the camber curve"),
    ],
)
