"""Double-wishbone kinematics, judged by an independent solver that knows only distances (scipy), and by differences."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy.optimize import fsolve
from scipy.spatial.transform import Rotation

from service.calc.suspension import Linkage, LinkageError, WheelTravel, arm_normal, front_view, kingpin, relocated
from service.calc.suspension.wishbone import spin_axis, wheel_angles

TRACK = 1.510


def _mm(*point: float) -> tuple[float, float, float]:
    x, y, z = point
    return x / 1000, y / 1000, z / 1000


PLAIN = Linkage(
    _mm(130, 410, 430), _mm(-130, 390, 420), _mm(150, 270, 215), _mm(-170, 250, 220),
    _mm(-15, 630, 455), _mm(10, 665, 205), _mm(0, 755, 325), math.radians(-0.25), 0.0,
)
STEERED = PLAIN._replace(tie_rod_inner=_mm(130, 290, 229), tie_rod_outer=_mm(140, 670, 224))
BEHIND = PLAIN._replace(toe=math.radians(0.1), tie_rod_inner=_mm(-140, 300, 250), tie_rod_outer=_mm(-130, 660, 255))


def _perturbed(seed: int) -> Linkage:
    """A linkage with every point moved by up to 25 mm: skewed axes, anti-dive, unequal arms."""
    draw = random.Random(seed)
    points = [tuple(value + draw.uniform(-0.025, 0.025) for value in point) for point in PLAIN[:7]]
    tie = [tuple(value + draw.uniform(-0.015, 0.015) for value in point) for point in STEERED[9:]]
    return Linkage(*points, draw.uniform(-0.04, 0.02), draw.uniform(-0.003, 0.003), *(tie if seed % 2 else (None, None)))


LINKAGES = {"plain": PLAIN, "steered": STEERED, "rod behind": BEHIND, **{f"skewed {seed}": _perturbed(seed) for seed in range(6)}}


def _distance(a: object, b: object) -> float:
    return float(np.linalg.norm(np.subtract(a, b)))  # type: ignore[call-overload]


def _solved_by_distances(linkage: Linkage, lift: float) -> tuple[float, float, np.ndarray]:
    """Camber, toe and wheel center from six constraints on the six freedoms of the upright: five distances and the lift."""
    start = np.array(linkage.wheel_center)
    spin = np.array(spin_axis(linkage.camber, linkage.toe))

    def moved(pose: np.ndarray, point: object) -> np.ndarray:
        return start + pose[:3] + Rotation.from_rotvec(pose[3:]).apply(np.array(point) - start)

    def errors(pose: np.ndarray) -> list[float]:
        lower, upper = moved(pose, linkage.lower_ball_joint), moved(pose, linkage.upper_ball_joint)
        links = [
            (lower, linkage.lower_ball_joint, linkage.lower_front_pivot), (lower, linkage.lower_ball_joint, linkage.lower_rear_pivot),
            (upper, linkage.upper_ball_joint, linkage.upper_front_pivot), (upper, linkage.upper_ball_joint, linkage.upper_rear_pivot),
        ]
        found = [_distance(now, pivot) - _distance(then, pivot) for now, then, pivot in links]
        if linkage.tie_rod_outer is not None:
            outer = moved(pose, linkage.tie_rod_outer)
            found.append(_distance(outer, linkage.tie_rod_inner) - _distance(linkage.tie_rod_outer, linkage.tie_rod_inner))
        else:
            n = Rotation.from_rotvec(pose[3:]).apply(spin)
            found.append(math.atan2(n[0], n[1]) - linkage.toe)
        return [*found, pose[2] - lift]

    pose = np.zeros(6)
    for part in np.linspace(0, 1, 6)[1:]:
        pose = _solve(errors_at(errors, lift * part, lift), pose)
    n = Rotation.from_rotvec(pose[3:]).apply(spin)
    return -math.asin(n[2]), math.atan2(n[0], n[1]), start + pose[:3]


def errors_at(errors: object, lift: float, final: float) -> object:
    """The same constraints with the wheel lifted only part of the way."""
    return lambda pose: [*errors(pose)[:5], errors(pose)[5] + final - lift]  # type: ignore[operator]


def _solve(errors: object, pose: np.ndarray) -> np.ndarray:
    found, _, _, message = fsolve(errors, pose, full_output=True, xtol=1e-14)
    assert max(abs(value) for value in errors(found)) < 1e-12, message  # type: ignore[operator]
    return found


@pytest.mark.parametrize("lift", [0.05, -0.05, 0.02])
@pytest.mark.parametrize("linkage", LINKAGES.values(), ids=LINKAGES)
def test_wheel_goes_where_the_distances_say(linkage: Linkage, lift: float) -> None:
    """Judge: six constraints (five link lengths and the lift) solved by scipy's fsolve, which knows nothing of circles."""
    camber, toe, center = _solved_by_distances(linkage, lift)
    found = WheelTravel(linkage).lifted(lift)
    assert found.camber == pytest.approx(camber, abs=1e-9)
    assert found.toe == pytest.approx(toe, abs=1e-9)
    assert found.wheel_center == pytest.approx(tuple(center), abs=1e-9)


@pytest.mark.parametrize("linkage", LINKAGES.values(), ids=LINKAGES)
def test_link_lengths_are_kept(linkage: Linkage) -> None:
    """Judge: rigidity. Every distance between points of one rigid body is the same at both ends of the travel."""
    for lift in (0.04, -0.06):
        now = WheelTravel(linkage).lifted(lift)
        pairs = [
            (now.upper_ball_joint, now.lower_ball_joint, linkage.upper_ball_joint, linkage.lower_ball_joint),
            (now.wheel_center, now.lower_ball_joint, linkage.wheel_center, linkage.lower_ball_joint),
            (now.wheel_center, now.upper_ball_joint, linkage.wheel_center, linkage.upper_ball_joint),
        ]
        for a, b, a0, b0 in pairs:
            assert _distance(a, b) == pytest.approx(_distance(a0, b0), abs=1e-12)


@pytest.mark.parametrize("linkage", [PLAIN, _perturbed(2), _perturbed(4)], ids=["plain", "skewed 2", "skewed 4"])
def test_roll_center_is_where_the_contact_point_turns_about(linkage: Linkage) -> None:
    """Judge: finite differences of the contact point's path; its normal crosses the centerline at the roll center.

    Front-view construction and true motion differ by the skew of the axes, a little in a hundred of the track at most.
    """
    travel, h = WheelTravel(linkage), 1e-4
    contact = []
    for lift in (h, -h):
        now = travel.lifted(lift)
        y0, z0 = _carried_contact(linkage, now.camber, now.wheel_center)
        contact.append((y0, z0))
    slope = (contact[0][0] - contact[1][0]) / (contact[0][1] - contact[1][1])
    assert front_view(linkage, (TRACK / 2, 0.0)).roll_center_height == pytest.approx(slope * TRACK / 2, abs=0.004 * TRACK)


def _carried_contact(linkage: Linkage, camber: float, center: tuple[float, float, float]) -> tuple[float, float]:
    """Contact point carried with the upright in the front view: only camber turns it there."""
    y, z = TRACK / 2 - linkage.wheel_center[1], -linkage.wheel_center[2]
    turn = linkage.camber - camber
    return center[1] + y * math.cos(turn) - z * math.sin(turn), center[2] + y * math.sin(turn) + z * math.cos(turn)


def test_roll_center_without_skew_is_exact() -> None:
    """Judge: finite differences again, with axes along the car: front view and true motion are one plane problem."""
    linkage = PLAIN._replace(
        upper_front_pivot=_mm(130, 400, 425), upper_rear_pivot=_mm(-130, 400, 425), lower_front_pivot=_mm(150, 260, 217),
        lower_rear_pivot=_mm(-170, 260, 217), upper_ball_joint=_mm(0, 630, 455), lower_ball_joint=_mm(0, 665, 205), camber=0.0,
    )
    travel, h = WheelTravel(linkage), 1e-5
    ends = [_carried_contact(linkage, now.camber, now.wheel_center) for now in (travel.lifted(h), travel.lifted(-h))]
    height = (ends[0][0] - ends[1][0]) / (ends[0][1] - ends[1][1]) * TRACK / 2
    assert front_view(linkage, (TRACK / 2, 0.0)).roll_center_height == pytest.approx(height, rel=1e-6)


def test_camber_gain_per_travel_is_one_over_the_swing_arm() -> None:
    """Judge: the textbook rule that a wheel turns about its instant center: dcamber/dlift = 1/swing arm (plane linkage)."""
    linkage = PLAIN._replace(
        upper_front_pivot=_mm(130, 400, 425), upper_rear_pivot=_mm(-130, 400, 425), lower_front_pivot=_mm(150, 260, 217),
        lower_rear_pivot=_mm(-170, 260, 217), upper_ball_joint=_mm(0, 630, 455), lower_ball_joint=_mm(0, 665, 205), camber=0.0,
    )
    h = 1e-5
    travel = WheelTravel(linkage)
    rate = (travel.lifted(h).camber - travel.lifted(-h).camber) / (2 * h)
    assert front_view(linkage, (TRACK / 2, 0.0)).swing_arm_length == pytest.approx(-1 / rate, rel=1e-5)


def test_parallel_arms_have_no_swing_arm() -> None:
    linkage = PLAIN._replace(
        upper_front_pivot=_mm(130, 400, 430), upper_rear_pivot=_mm(-130, 400, 430), upper_ball_joint=_mm(0, 630, 453),
        lower_front_pivot=_mm(130, 265, 165), lower_rear_pivot=_mm(-130, 265, 165), lower_ball_joint=_mm(0, 665, 205),
    )
    found = front_view(linkage, (TRACK / 2, 0.0))
    assert found.swing_arm_length is None and found.instant_center is None
    assert found.roll_center_height == pytest.approx(-0.1 * TRACK / 2)


def test_kingpin_angles_by_rotation() -> None:
    """Judge: a plumb kingpin tilted by scipy's rotations: caster seen from the side, inclination from the front."""
    line = Rotation.from_euler("x", 8, degrees=True).apply([0, 0, 0.25])
    found = kingpin(tuple(np.add(line, (0.0, 0.66, 0.2))), (0.0, 0.66, 0.2), (0.755, 0.0))
    assert math.degrees(found.inclination) == pytest.approx(8.0)
    assert found.caster == pytest.approx(0.0)
    assert found.scrub_radius == pytest.approx(0.755 - 0.66 - 0.2 * math.tan(math.radians(8)))


@pytest.mark.parametrize("angles", [(-2.5, 0.2), (1.0, -0.3), (0.0, 0.0)])
def test_wheel_angles_undo_spin_axis(angles: tuple[float, float]) -> None:
    camber, toe = (math.radians(angle) for angle in angles)
    assert wheel_angles(spin_axis(camber, toe)) == pytest.approx((camber, toe), abs=1e-15)


@pytest.mark.parametrize("shift", [0.020, -0.015])
@pytest.mark.parametrize("moved", ["upper", "lower"])
def test_moved_ball_joint_closes_the_linkage(moved: str, shift: float) -> None:
    """Judge: fsolve on the upright's six freedoms with the new arm lengths (spring arm lower, toe kept)."""
    found = relocated(PLAIN, moved, shift)
    arm = (PLAIN.upper_front_pivot, PLAIN.upper_rear_pivot, PLAIN.upper_ball_joint) if moved == "upper" else (
        PLAIN.lower_front_pivot, PLAIN.lower_rear_pivot, PLAIN.lower_ball_joint)
    normal = np.cross(np.subtract(arm[0], arm[1]), np.subtract(arm[2], arm[1]))
    new = np.add(arm[2], shift * normal / np.linalg.norm(normal) * np.sign(normal[2]))
    start, spin = np.array(PLAIN.wheel_center), np.array(spin_axis(PLAIN.camber, PLAIN.toe))
    lower_at = new if moved == "lower" else np.array(PLAIN.lower_ball_joint)
    upper_arm = new if moved == "upper" else np.array(PLAIN.upper_ball_joint)

    def errors(pose: np.ndarray) -> list[float]:
        turn = Rotation.from_rotvec(pose[3:])
        lower = start + pose[:3] + turn.apply(np.array(PLAIN.lower_ball_joint) - start)
        upper = start + pose[:3] + turn.apply(np.array(PLAIN.upper_ball_joint) - start)
        n = turn.apply(spin)
        lengths = [_distance(upper, pivot) - _distance(upper_arm, pivot) for pivot in (PLAIN.upper_front_pivot, PLAIN.upper_rear_pivot)]
        return [*(lower - lower_at), *lengths, math.atan2(n[0], n[1]) - PLAIN.toe]

    pose = _solve(errors, np.zeros(6))
    n = Rotation.from_rotvec(pose[3:]).apply(spin)
    assert found.wheel_rise == pytest.approx(pose[2], abs=1e-10)
    assert found.camber_change == pytest.approx(-math.asin(n[2]) - PLAIN.camber, abs=1e-10)
    assert found.linkage.wheel_center == pytest.approx(tuple(start + pose[:3]), abs=1e-10)


def test_arm_without_the_spring_swings_down_by_the_shift() -> None:
    """Judge: the trade fact (common practice) that the arm's outer end drops by about the shift and the car hardly moves."""
    found = relocated(PLAIN, "upper", 0.020)
    assert found.arm_outer_end_drop == pytest.approx(0.020, rel=0.02)
    assert abs(found.wheel_rise) < 0.001


def test_spring_arm_lowers_the_car_by_a_little_more_than_the_shift() -> None:
    """Judge: the same trade fact for the arm that carries the spring (common practice)."""
    found = relocated(PLAIN, "lower", 0.020)
    assert 0.020 < found.wheel_rise < 0.024


@pytest.mark.parametrize(
    ("linkage", "says"),
    [
        (PLAIN._replace(upper_ball_joint=_mm(-15, 630, 200)), "not above"),
        (PLAIN._replace(lower_ball_joint=_mm(150, 270, 215)), "pivot axis"),
        (PLAIN._replace(lower_rear_pivot=PLAIN.lower_front_pivot), "same point"),
        (STEERED._replace(tie_rod_inner=None), "both its ends"),
    ],
)
def test_points_that_are_no_linkage_are_refused(linkage: Linkage, says: str) -> None:
    with pytest.raises(LinkageError, match=says):
        WheelTravel(linkage)


def test_travel_beyond_the_linkage_is_refused() -> None:
    with pytest.raises(LinkageError, match="does not reach"):
        WheelTravel(PLAIN).lifted(0.200)


def test_a_short_upper_arm_locks_before_the_travel() -> None:
    short = PLAIN._replace(upper_front_pivot=_mm(130, 590, 445), upper_rear_pivot=_mm(-130, 590, 445))
    with pytest.raises(LinkageError):
        WheelTravel(short).lifted(-0.080)


def test_up_is_up_whichever_pivot_is_named_first() -> None:
    front, rear, ball = _mm(130, 410, 430), _mm(-130, 390, 420), _mm(-15, 630, 455)
    normal = arm_normal(front, rear, ball)
    assert normal[2] > 0
    assert arm_normal(rear, front, ball) == pytest.approx(normal)
    assert np.linalg.norm(normal) == pytest.approx(1)
