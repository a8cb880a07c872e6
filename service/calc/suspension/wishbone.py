"""Double-wishbone kinematics: where ball joints, upright and wheel go as the wheel moves.

Axes: x forward, y outward from the car's centerline, z up, in m. Links are rigid.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from service.calc.suspension.vectors import Vector, add, cross, dot, length, scale, subtract, turned, unit

#: Swing of the lower arm inside which a wheel position is sought, rad.
LARGEST_SWING = 0.45
_EXACT = 1e-13


class LinkageError(ValueError):
    """The hard points do not make a linkage, or it locks before the travel asked for."""


class Linkage(NamedTuple):
    """Hard points of one side, m, at ride height, with the wheel's camber and toe in rad (signs of alignment).

    `tie_rod_inner` and `tie_rod_outer` are both given or both None; without them the wheel keeps its toe.
    """

    upper_front_pivot: Vector
    upper_rear_pivot: Vector
    lower_front_pivot: Vector
    lower_rear_pivot: Vector
    upper_ball_joint: Vector
    lower_ball_joint: Vector
    wheel_center: Vector
    camber: float = 0.0
    toe: float = 0.0
    tie_rod_inner: Vector | None = None
    tie_rod_outer: Vector | None = None


class Position(NamedTuple):
    """The wheel somewhere in its travel: points in m, camber and toe in rad."""

    upper_ball_joint: Vector
    lower_ball_joint: Vector
    wheel_center: Vector
    tie_rod_outer: Vector | None
    camber: float
    toe: float


class Circle(NamedTuple):
    """The path of a ball joint: center, two unit vectors in its plane (the first to the start), radius."""

    center: Vector
    first: Vector
    second: Vector
    radius: float

    def at(self, angle: float) -> Vector:
        """The point at `angle` rad from the start."""
        along, across = self.radius * math.cos(angle), self.radius * math.sin(angle)
        return add(self.center, add(scale(self.first, along), scale(self.second, across)))


def pivot_axis(front: Vector, rear: Vector) -> Vector:
    """Unit vector along a pivot axis, pointing forward, so that a positive turn lifts the ball joint.

    Raises LinkageError when the two pivots are one point.
    """
    try:
        axis = unit(subtract(front, rear))
    except ValueError as error:
        raise LinkageError("the front and rear pivot of an arm are the same point") from error
    return axis if axis[0] >= 0 else scale(axis, -1)


def path(front_pivot: Vector, rear_pivot: Vector, ball: Vector) -> Circle:
    """Circle of a ball joint about its arm's pivot axis. Raises LinkageError for a ball joint on the axis."""
    axis = pivot_axis(front_pivot, rear_pivot)
    center = add(rear_pivot, scale(axis, dot(subtract(ball, rear_pivot), axis)))
    arm = subtract(ball, center)
    radius = length(arm)
    if radius < 1e-6:
        raise LinkageError("a ball joint lies on its arm's pivot axis")
    first = scale(arm, 1 / radius)
    return Circle(center, first, cross(axis, first), radius)


def angle_at_distance(circle: Circle, point: Vector, distance: float) -> float:
    """Angle on `circle`, nearest the start, at which it is `distance` m from `point`.

    With d = point − c₀: A = 2ρ d·e₁, B = 2ρ d·e₂, C = d·d + ρ² − distance²;
    angle = atan2(B, A) ± acos(C/√(A² + B²)). Raises LinkageError when the circle does not reach. Source: derived.
    """
    d = subtract(point, circle.center)
    a, b = 2 * circle.radius * dot(d, circle.first), 2 * circle.radius * dot(d, circle.second)
    c = dot(d, d) + circle.radius**2 - distance**2
    size = math.hypot(a, b)
    if size < 1e-15 or abs(c) > size * (1 + 1e-12):
        raise LinkageError("the linkage locks: the ball joints can no longer stand their distance apart")
    middle, spread = math.atan2(b, a), math.acos(max(-1.0, min(1.0, c / size)))
    return min((_wrapped(middle + spread), _wrapped(middle - spread)), key=abs)


def _wrapped(angle: float) -> float:
    return math.remainder(angle, 2 * math.pi)


def spin_axis(camber: float, toe: float) -> Vector:
    """Outward axis of a wheel: (sin toe·cos camber, cos toe·cos camber, −sin camber), angles in rad."""
    return math.sin(toe) * math.cos(camber), math.cos(toe) * math.cos(camber), -math.sin(camber)


def wheel_angles(axis: Vector) -> tuple[float, float]:
    """Camber and toe in rad of a wheel whose outward axis is the unit vector `axis`."""
    return math.asin(max(-1.0, min(1.0, -axis[2]))), math.atan2(axis[0], axis[1])


class _Upright:
    """Carries points of the upright from ride height to where its ball joints (and tie rod) have gone."""

    def __init__(self, linkage: Linkage) -> None:
        self.linkage = linkage
        self.axis = spin_axis(linkage.camber, linkage.toe)
        lower, upper = linkage.lower_ball_joint, linkage.upper_ball_joint
        self.kingpin = unit(subtract(upper, lower))
        inner, outer = linkage.tie_rod_inner, linkage.tie_rod_outer
        self.outer_frame = None if outer is None else _frame(lower, upper, outer)
        if inner is None or outer is None:
            return
        self.radii = (length(subtract(outer, lower)), length(subtract(outer, upper)), length(subtract(outer, inner)))
        normal = cross(subtract(upper, lower), subtract(inner, lower))
        self.side = 1.0 if dot(subtract(outer, lower), normal) >= 0 else -1.0

    def position(self, lower: Vector, upper: Vector, *, steered: bool = True) -> Position:
        """The wheel with its ball joints at `lower` and `upper`; `steered`: by its tie rod where it has one."""
        start = self.linkage
        inner = start.tie_rod_inner if steered else None
        if inner is not None and self.outer_frame is not None:
            outer = three_spheres((lower, upper, inner), self.radii, self.side)
            carry = _between_frames(self.outer_frame, _frame(lower, upper, outer))
        else:
            carry = self._without_change_of_toe(unit(subtract(upper, lower)))
        camber, toe = wheel_angles(carry(self.axis))
        moved = [
            None if point is None else add(lower, carry(subtract(point, start.lower_ball_joint)))
            for point in (start.wheel_center, start.tie_rod_outer)
        ]
        assert moved[0] is not None
        return Position(upper, lower, moved[0], moved[1], camber, toe)

    def _without_change_of_toe(self, kingpin: Vector) -> Callable[[Vector], Vector]:
        """Turn the kingpin line to where it is now by the shortest way, then the upright about it until toe is kept."""
        across = cross(self.kingpin, kingpin)
        tilt = math.atan2(length(across), dot(self.kingpin, kingpin))
        tilt_axis = unit(across) if length(across) > 1e-12 else kingpin
        level = (math.cos(self.linkage.toe), -math.sin(self.linkage.toe), 0.0)
        n = turned(self.axis, tilt_axis, tilt)
        along = dot(level, kingpin) * dot(kingpin, n)
        q, s = dot(level, n) - along, dot(level, cross(kingpin, n))
        size = math.hypot(q, s)
        if size < 1e-12 or abs(along) > size:
            raise LinkageError("the wheel cannot keep its toe there")
        middle, spread = math.atan2(s, q), math.acos(-along / size)
        twist = min((_wrapped(middle + spread), _wrapped(middle - spread)), key=abs)
        return lambda vector: turned(turned(vector, tilt_axis, tilt), kingpin, twist)


_Frame = tuple[Vector, Vector, Vector]


def _frame(lower: Vector, upper: Vector, outer: Vector) -> _Frame:
    first = unit(subtract(upper, lower))
    try:
        third = unit(cross(first, subtract(outer, lower)))
    except ValueError as error:
        raise LinkageError("the outer tie-rod end lies on the kingpin line") from error
    return first, cross(third, first), third


def _between_frames(before: _Frame, after: _Frame) -> Callable[[Vector], Vector]:
    def carry(vector: Vector) -> Vector:
        parts = [scale(now, dot(vector, then)) for then, now in zip(before, after, strict=True)]
        return add(add(parts[0], parts[1]), parts[2])

    return carry


def three_spheres(centers: tuple[Vector, Vector, Vector], radii: tuple[float, float, float], side: float) -> Vector:
    """Point at `radii` m from three `centers`, on the side of their plane given by the sign of `side`.

    Positive is the direction of (second − first) × (third − first). Raises LinkageError when the spheres do not meet.
    Source: derived (trilateration).

    >>> [round(x, 9) for x in three_spheres(((0.0, 0.0, 0.0), (2.0, 0.0, 0.0), (0.0, 2.0, 0.0)), (3 ** 0.5,) * 3, 1.0)]
    [1.0, 1.0, 1.0]
    """
    first, second, third = centers
    span = subtract(second, first)
    d = length(span)
    try:
        ex = unit(span)
        to_third = subtract(third, first)
        i = dot(ex, to_third)
        ey = unit(subtract(to_third, scale(ex, i)))
    except ValueError as error:
        raise LinkageError("the tie rod's inner end lies on the kingpin line") from error
    j = dot(ey, to_third)
    x = (radii[0] ** 2 - radii[1] ** 2 + d**2) / (2 * d)
    y = (radii[0] ** 2 - radii[2] ** 2 + i**2 + j**2 - 2 * i * x) / (2 * j)
    height = radii[0] ** 2 - x**2 - y**2
    if height < -1e-12:
        raise LinkageError("the linkage locks: the tie rod does not reach")
    z = math.copysign(math.sqrt(max(0.0, height)), side)
    return add(first, add(add(scale(ex, x), scale(ey, y)), scale(cross(ex, ey), z)))


class WheelTravel:
    """A linkage ready to be moved: solves for the wheel's position at a given lift.

    Raises LinkageError when the points make no linkage (a ball joint on its axis, the upper joint below the lower).
    """

    def __init__(self, linkage: Linkage) -> None:
        if linkage.upper_ball_joint[2] <= linkage.lower_ball_joint[2]:
            raise LinkageError("the upper ball joint is not above the lower one")
        if (linkage.tie_rod_inner is None) != (linkage.tie_rod_outer is None):
            raise LinkageError("a tie rod needs both its ends")
        self.linkage = linkage
        self.lower = path(linkage.lower_front_pivot, linkage.lower_rear_pivot, linkage.lower_ball_joint)
        self.upper = path(linkage.upper_front_pivot, linkage.upper_rear_pivot, linkage.upper_ball_joint)
        self.upright_length = length(subtract(linkage.upper_ball_joint, linkage.lower_ball_joint))
        self.upright = _Upright(linkage)

    def swung(self, swing: float) -> Position:
        """The wheel with the lower arm turned by `swing` rad, up positive. Raises LinkageError when it locks."""
        lower = self.lower.at(swing)
        upper = self.upper.at(angle_at_distance(self.upper, lower, self.upright_length))
        return self.upright.position(lower, upper)

    def lifted(self, lift: float) -> Position:
        """The wheel with its center `lift` m above ride height.

        Raises LinkageError when the lift is not reached inside ±0.45 rad of the lower arm.
        """
        if lift == 0:
            return self.swung(0.0)

        def short_by(swing: float) -> float:
            return self.swung(swing).wheel_center[2] - self.linkage.wheel_center[2] - lift

        step = min(LARGEST_SWING, 1.1 * abs(lift) / self.lower.radius)
        return self.swung(_root(short_by, _bracket(short_by, math.copysign(1.0, lift), step)))


_Side = tuple[float, float]


def _bracket(short_by: Callable[[float], float], direction: float, step: float) -> tuple[_Side, _Side]:
    """Two swings and their shortfalls around the root, found by stepping out from ride height.

    Where the linkage locks before the root is passed, the last stretch is halved until either the root or the lock is found.
    """
    near, locked = (0.0, short_by(0.0)), LARGEST_SWING
    while True:
        far = min(abs(near[0]) + step, locked)
        try:
            value = short_by(far * direction)
        except LinkageError:
            locked, step = far, step / 2
        else:
            if value * direction >= 0:
                return near, (far * direction, value)
            near = (far * direction, value)
        if locked - abs(near[0]) < 1e-9 or step < 1e-9:
            raise LinkageError("the linkage does not reach this travel")


def _root(function: Callable[[float], float], bracket: tuple[_Side, _Side]) -> float:
    """Root inside `bracket` by false position with the Illinois step."""
    (a, fa), (b, fb) = bracket
    for _ in range(60):
        if abs(b - a) < _EXACT or fb == 0:
            break
        c = b - fb * (b - a) / (fb - fa)
        fc = function(c)
        if fc * fb < 0:
            a, fa = b, fb
        else:
            fa /= 2
        b, fb = c, fc
        if abs(fb) < _EXACT:
            break
    return b
