"""Suspension: linkage and hard points, springs, dampers, anti-roll bars."""

from __future__ import annotations

from service.vocabulary.core import AXLES, Field, Kind, Positions

ANYWHERE = Positions(label=True)

#: Hard points of one side: name, title, whether a builder can choose where it is.
HARD_POINTS = (
    ("upper_front_pivot", "front pivot of the upper arm", True),
    ("upper_rear_pivot", "rear pivot of the upper arm", True),
    ("lower_front_pivot", "front pivot of the lower arm", True),
    ("lower_rear_pivot", "rear pivot of the lower arm", True),
    ("upper_ball_joint", "upper ball joint", False),
    ("lower_ball_joint", "lower ball joint", False),
    ("wheel_center", "wheel center", False),
    ("tie_rod_inner", "inner end of the tie rod", True),
    ("tie_rod_outer", "outer end of the tie rod", True),
)
_AXES = (
    ("x", "ahead of the axle"),
    ("y", "outward from the car's centerline"),
    ("z", "above the floor"),
)
_POINT_HOW = "plumb bob to the floor, string on the centerline, car at ride height; ±2 mm"
_BALL_HOW = _POINT_HOW + "; to the center of the ball"


def _hard_points() -> tuple[Field, ...]:
    return tuple(
        Field(f"{point}_{axis}", f"{title}, {direction}", "length", hard="-3..3 m", choosable=choosable,
              how=_BALL_HOW if "ball" in point else _POINT_HOW)
        for point, title, choosable in HARD_POINTS
        for axis, direction in _AXES
    )


_IN_TRAVEL_HOW = "spring out, wheel jacked to the check travel, gauge on the hub; change of one wheel from ride height"

_SUSPENSION = Kind("suspension", "suspension", "suspension", area=True, positions=AXLES, fields=(
    Field("type", "kind of suspension", "choice", choices=("independent", "live_axle", "beam"), how="look"),
    Field("geometry", "linkage", "choice",
          choices=("double_wishbone", "strut", "swing_axle", "trailing_arm", "semi_trailing", "twin_beam", "multilink", "solid"),
          how="look; double wishbone is taken when a hard point of that axle is recorded"),
    Field("measured_toe_in_bump", "toe change in bump", "angle", "-1..1 deg", "-15..15 deg", how=_IN_TRAVEL_HOW),
    Field("measured_toe_in_droop", "toe change in droop", "angle", "-1..1 deg", "-15..15 deg", how=_IN_TRAVEL_HOW),
    Field("measured_camber_in_bump", "camber change in bump", "angle", "-4..1.5 deg", "-15..15 deg", how=_IN_TRAVEL_HOW),
    Field("track", "track", "length", "1.2..1.8 m", "0.5..3 m", how="tire center to tire center"),
    Field("unsprung_mass", "unsprung mass of the axle", "mass", "50..250 kg", "5..1500 kg",
          how="wheel, tire, brake, knuckle and half the arms, both sides; all of a live axle"),
    Field("tire_rate", "vertical rate of one tire", "stiffness", "150..300 N/mm", "20..2000 N/mm", how="maker, or load step on scales"),
    Field("roll_center_height", "roll-center height", "length", "-0.1..0.45 m", "-1..1 m",
          how="from the hard points; for leaf springs the height of the spring eyes' line at the axle"),
    Field("bump_travel", "wheel travel up", "length", "40..110 mm", "0..500 mm", how="jack and tape"),
    Field("droop_travel", "wheel travel down", "length", "40..110 mm", "0..500 mm", how="jack and tape"),
    Field("bump_stop_gap", "gap at the bump stop at ride height", "length", "15..90 mm", "0..400 mm", choosable=True,
          how="feeler, at the stop"),
    Field("bump_stop_motion_ratio", "stop movement per wheel movement", "dimensionless", "0.4..1", "0.05..2",
          how="gap at two wheel heights"),
    *_hard_points(),
    Field("check_travel", "travel for the geometry checks", "length", "25..75 mm", "5..200 mm", choosable=True,
          how="decide; 50 mm when not recorded"),
    Field("spring_arm", "arm that carries the spring", "choice", choices=("lower", "upper"), how="look; lower when not recorded"),
    Field("ball_joint_moved", "ball joint being moved", "choice", choices=("lower", "upper"), choosable=True, how="name the joint"),
    Field("ball_joint_shift", "movement of the ball's center relative to its arm, up positive", "length", "-40..40 mm",
          "-150..150 mm", choosable=True, how="ball center to arm plate, both mountings"),
    Field("ball_joint_suits_load_direction", "joint made for the new pull or push", "yes_no", how="maker's statement"),
))

_ANTI_ROLL_BAR = Kind("anti_roll_bar", "anti-roll bar", "suspension", positions=AXLES, fields=(
    Field("diameter", "bar diameter", "length", "16..38 mm", "5..80 mm", choosable=True,
          how="caliper on the straight, paint removed"),
    Field("wall", "wall of a hollow bar, absent when solid", "length", "3..8 mm", "0.5..40 mm", choosable=True,
          how="open end; or weigh"),
    Field("center_length", "straight between the bends", "length", "0.6..1.1 m", "0.1..2 m", how="bend apex to bend apex"),
    Field("bushing_span", "distance between bushing centers", "length", "0.5..1.0 m", "0.05..2 m", choosable=True,
          how="center to center; the straight when not recorded"),
    Field("arm_length", "lever: center of the straight to link hole, perpendicular", "length", "150..320 mm", "20..800 mm",
          how="square off the straight"),
    Field("arm_true_length", "length along the arm, bend to link hole", "length", "150..400 mm", "20..1000 mm",
          how="tape along the arm; the lever when not recorded"),
    Field("material", "material", "choice", choices=("spring_steel",), how="maker; spring steel, E 206 GPa, G 79.3 GPa"),
    Field("motion_ratio", "bar-end travel per wheel travel", "dimensionless", "0.4..0.9", "0.05..1.5", choosable=True,
          how="measure both; on a live axle link spacing ÷ track"),
    Field("original_diameter", "diameter of the bar it replaces", "length", "12..32 mm", "5..80 mm", how="the old part, paint removed"),
    Field("original_wall", "wall of the bar it replaces, absent when solid", "length", "3..8 mm", "0.5..40 mm", how="the old part"),
    Field("bushing_material", "bushing material", "choice", choices=("rubber", "polyurethane", "spherical"), choosable=True, how="look"),
    Field("greasable", "grease fitting present", "yes_no", choosable=True, how="look"),
    Field("clearance_at_ride", "nearest gap from the bar to axle, differential, sump or tie rod", "length", "40..120 mm",
          "-50..500 mm", how="at ride height, in the closing direction"),
    Field("clearance_motion_ratio", "closing of that gap per wheel travel", "dimensionless", "0.3..1", "0..2",
          how="gap at two wheel heights; 1 when not recorded"),
))

_SPRING = Kind("spring", "spring", "suspension", positions=AXLES, fields=(
    Field("rate", "rate of one spring", "stiffness", "10..180 N/mm", "1..2000 N/mm", choosable=True,
          how="press and scale, mid-travel"),
    Field("motion_ratio", "spring travel per wheel travel", "dimensionless", "0.4..1.0", "0.05..2",
          how="spring length and wheel height at two heights; a leaf over the axle: 1"),
    Field("spacing", "distance between the springs of a live axle", "length", "0.8..1.2 m", "0.2..2.5 m", how="center to center"),
))

_LENGTHS_OFF = "tape, eye to eye or mount to mount, off the car"
_DAMPER = Kind("damper", "damper", "suspension", positions=AXLES, fields=(
    Field("length_at_ride", "length at ride height", "length", "0.2..0.7 m", "0.05..1.5 m", choosable=True,
          how="tape, eye to eye or mount to mount, car at ride height"),
    Field("extended_length", "length fully extended", "length", "0.2..0.7 m", "0.05..1.5 m", choosable=True, how=_LENGTHS_OFF),
    Field("compressed_length", "length fully compressed", "length", "0.2..0.7 m", "0.05..1.5 m", choosable=True, how=_LENGTHS_OFF),
    Field("motion_ratio", "damper travel per wheel travel", "dimensionless", "0.4..1.0", "0.05..2",
          how="damper length and wheel height at two heights; includes the cosine of the damper's lean"),
))

#: Parts of the suspension that are listed without measurements.
_UNMEASURED = {
    "control_arm": "control arm",
    "ball_joint": "ball joint",
    "knuckle": "steering knuckle",
    "spindle": "spindle",
    "kingpin": "kingpin",
    "beam_axle": "beam axle",
    "trailing_link": "trailing link",
    "lateral_rod": "lateral rod",
    "radius_rod": "radius rod",
    "strut": "strut",
    "strut_mount": "strut mount",
    "strut_brace": "strut brace",
    "torsion_bar": "torsion bar",
    "leaf_spring_plate": "leaf-spring plate",
    "shackle": "spring shackle",
    "spring_perch": "spring perch",
    "spring_insulator": "spring insulator",
    "axle_u_bolt": "leaf-spring U-bolt",
    "lowering_block": "lowering block",
    "lowering_spring": "lowering or cut spring",
    "bump_stop": "bump stop",
    "suspension_bushing": "suspension bushing",
    "suspension_crossmember": "suspension crossmember",
    "anti_roll_bar_link": "anti-roll bar link",
    "anti_roll_bar_bushing": "anti-roll bar bushing",
    "damper_mount": "damper mount",
}

KINDS = [
    _SUSPENSION, _ANTI_ROLL_BAR, _SPRING, _DAMPER,
    *(Kind(name, title, "suspension", positions=ANYWHERE) for name, title in _UNMEASURED.items()),
]
