"""Moving a ball joint to the other side of its arm: what it does to ride height, camber and the arm."""

from __future__ import annotations

from typing import NamedTuple

from service.calc.suspension.vectors import Vector, add, cross, scale, subtract, turned, unit
from service.calc.suspension.wishbone import Linkage, LinkageError, Position, WheelTravel, angle_at_distance, path, pivot_axis, without_change_of_toe


class Relocation(NamedTuple):
    """After the move: the new linkage; rise of the wheel in the car and fall of the arm's outer end in m, camber change in rad."""

    linkage: Linkage
    wheel_rise: float
    arm_outer_end_drop: float
    camber_change: float


def arm_normal(front: Vector, rear: Vector, ball: Vector) -> Vector:
    """Unit normal, pointing up, of the plane through both pivots and the ball joint.

    Raises LinkageError when the three points lie on a line or the plane stands upright. Source: definition.

    >>> arm_normal((0.1, 0.4, 0.3), (-0.1, 0.4, 0.3), (0.0, 0.7, 0.3))
    (0.0, 0.0, 1.0)
    """
    try:
        normal = unit(cross(pivot_axis(front, rear), subtract(ball, rear)))
    except ValueError as error:
        raise LinkageError("a ball joint lies on its arm's pivot axis") from error
    if abs(normal[2]) < 1e-6:
        raise LinkageError("the arm stands upright: there is no upper side to move the ball joint to")
    return normal if normal[2] > 0 else scale(normal, -1)


def relocated(linkage: Linkage, moved: str, shift: float, spring_arm: str = "lower") -> Relocation:
    """Move the ball joint of the arm `moved` (lower or upper) by `shift` m along its arm's normal, up positive.

    The place of the joint in the knuckle does not change. If the arm carries the spring it keeps its angle and its
    ball goes with the shift; the other ball follows on its circle. Else the spring arm's ball stays and the moved arm
    swings until its ball, on its new circle, is again the knuckle's length away. The upright keeps its toe.
    Raises LinkageError when the linkage does not close. Source: derived (rigid links).
    """
    upper = moved == "upper"
    front, rear, ball = _arm(linkage, upper)
    normal = arm_normal(front, rear, ball)
    shifted = add(ball, scale(normal, shift))
    travel = WheelTravel(linkage)
    if moved == spring_arm:
        other_path = travel.lower if upper else travel.upper
        other = other_path.at(angle_at_distance(other_path, shifted, travel.upright_length))
        new, fixed, drop = shifted, other, shift * normal[2]
    else:
        fixed = linkage.lower_ball_joint if upper else linkage.upper_ball_joint
        new_path = path(front, rear, shifted)
        swing = angle_at_distance(new_path, fixed, travel.upright_length)
        new = new_path.at(swing)
        drop = ball[2] - _swung(front, rear, ball, swing)[2]
    lower_now, upper_now = (fixed, new) if upper else (new, fixed)
    return _after(linkage, without_change_of_toe(linkage, lower_now, upper_now), drop)


def _arm(linkage: Linkage, upper: bool) -> tuple[Vector, Vector, Vector]:
    if upper:
        return linkage.upper_front_pivot, linkage.upper_rear_pivot, linkage.upper_ball_joint
    return linkage.lower_front_pivot, linkage.lower_rear_pivot, linkage.lower_ball_joint


def _swung(front: Vector, rear: Vector, point: Vector, swing: float) -> Vector:
    return add(rear, turned(subtract(point, rear), pivot_axis(front, rear), swing))


def _after(linkage: Linkage, now: Position, drop: float) -> Relocation:
    new = linkage._replace(
        upper_ball_joint=now.upper_ball_joint, lower_ball_joint=now.lower_ball_joint, wheel_center=now.wheel_center,
        camber=now.camber, toe=now.toe, tie_rod_outer=now.tie_rod_outer,
    )
    rise = now.wheel_center[2] - linkage.wheel_center[2]
    return Relocation(new, rise, drop, now.camber - linkage.camber)
