"""Double-wishbone kinematics: where ball joints, upright and wheel go as the wheel moves.

Axes: x forward, y outward from the car's centerline, z up, in m. Links are rigid.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from service.calc.suspension.vectors import Vector, add, cross, dot, length, scale, subtract, unit

#: Swing of the lower arm inside which a wheel position is sought, rad.
LARGEST_SWING = 0.45
#: Lift is met to this, m: below any instrument, above the rounding of the sums.
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
        a, b = self.radius * math.cos(angle), self.radius * math.sin(angle)
        (x, y, z), e, f = self.center, self.first, self.second
        return x + a * e[0] + b * f[0], y + a * e[1] + b * f[1], z + a * e[2] + b * f[2]


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


class _Pair:
    """Two directions fixed in a body; any other vector fixed in it is a combination of them and their vector product."""

    def __init__(self, p: Vector, q: Vector, what: str) -> None:
        self.pp, self.qq, self.pq = dot(p, p), dot(q, q), dot(p, q)
        self.normal = cross(p, q)
        self.area = dot(self.normal, self.normal)
        if self.area < 1e-12 * self.pp * self.qq:
            raise LinkageError(what)
        self.p, self.q = p, q

    def parts(self, vector: Vector) -> Vector:
        """Coefficients a, b, c with vector = a·p + b·q + c·(p × q)."""
        along, across = dot(vector, self.p), dot(vector, self.q)
        return (
            (along * self.qq - across * self.pq) / self.area,
            (across * self.pp - along * self.pq) / self.area,
            dot(vector, self.normal) / self.area,
        )


def _combined(parts: Vector, p: Vector, q: Vector) -> Vector:
    """The vector with these coefficients where the pair now points along p and q."""
    a, b, c = parts
    n = cross(p, q)
    return a * p[0] + b * q[0] + c * n[0], a * p[1] + b * q[1] + c * n[1], a * p[2] + b * q[2] + c * n[2]


class _Free:
    """An upright without tie rod: it turns about its kingpin line so that the wheel keeps its toe."""

    def __init__(self, linkage: Linkage) -> None:
        lower = linkage.lower_ball_joint
        kingpin, spin = subtract(linkage.upper_ball_joint, lower), spin_axis(linkage.camber, linkage.toe)
        pair = _Pair(kingpin, spin, "the wheel's axis lies along the kingpin line")
        self.camber, self.toe, self.across = linkage.camber, linkage.toe, pair.pq
        self.heading = (math.sin(linkage.toe), math.cos(linkage.toe))
        self.center = pair.parts(subtract(linkage.wheel_center, lower))
        self.outer = None if linkage.tie_rod_outer is None else pair.parts(subtract(linkage.tie_rod_outer, lower))

    def position(self, lower: Vector, upper: Vector) -> Position:
        """The wheel with its ball joints at `lower` and `upper`.

        The spin axis stays in the upright plane of its heading and keeps its angle to the kingpin line:
        n = (sin toe·cos c, cos toe·cos c, −sin c) with n·kingpin as at the start gives the camber c.
        """
        kingpin = subtract(upper, lower)
        level = self.heading[0] * kingpin[0] + self.heading[1] * kingpin[1]
        size = math.hypot(level, kingpin[2])
        if abs(self.across) > size:
            raise LinkageError("the wheel cannot keep its toe there")
        middle, spread = math.atan2(-kingpin[2], level), math.acos(self.across / size)
        camber = min((_wrapped(middle + spread), _wrapped(middle - spread)), key=lambda angle: abs(angle - self.camber))
        spin = spin_axis(camber, self.toe)
        outer = None if self.outer is None else add(lower, _combined(self.outer, kingpin, spin))
        return Position(upper, lower, add(lower, _combined(self.center, kingpin, spin)), outer, camber, self.toe)


class _Steered:
    """An upright held by its tie rod."""

    def __init__(self, linkage: Linkage, inner: Vector, outer: Vector) -> None:
        lower, upper = linkage.lower_ball_joint, linkage.upper_ball_joint
        kingpin = subtract(upper, lower)
        pair = _Pair(kingpin, subtract(outer, lower), "the outer tie-rod end lies on the kingpin line")
        self.inner = inner
        self.radii = (length(subtract(outer, lower)), length(subtract(outer, upper)), length(subtract(outer, inner)))
        self.side = 1.0 if dot(subtract(outer, lower), cross(kingpin, subtract(inner, lower))) >= 0 else -1.0
        self.center = pair.parts(subtract(linkage.wheel_center, lower))
        self.spin = pair.parts(spin_axis(linkage.camber, linkage.toe))

    def position(self, lower: Vector, upper: Vector) -> Position:
        """The wheel with its ball joints at `lower` and `upper`."""
        outer = three_spheres((lower, upper, self.inner), self.radii, self.side)
        kingpin, arm = subtract(upper, lower), subtract(outer, lower)
        camber, toe = wheel_angles(_combined(self.spin, kingpin, arm))
        return Position(upper, lower, add(lower, _combined(self.center, kingpin, arm)), outer, camber, toe)


def without_change_of_toe(linkage: Linkage, lower: Vector, upper: Vector) -> Position:
    """The wheel of `linkage` with its ball joints moved to `lower` and `upper` and its toe as before."""
    return _Free(linkage).position(lower, upper)


def three_spheres(centers: tuple[Vector, Vector, Vector], radii: tuple[float, float, float], side: float) -> Vector:
    """Point at `radii` m from three `centers`, on the side of their plane given by the sign of `side`.

    Positive is the direction of (second − first) × (third − first). Raises LinkageError when the spheres do not meet.
    Source: derived (trilateration).

    >>> [round(x, 9) for x in three_spheres(((0.0, 0.0, 0.0), (2.0, 0.0, 0.0), (0.0, 2.0, 0.0)), (3 ** 0.5,) * 3, 1.0)]
    [1.0, 1.0, 1.0]
    """
    first, second, third = centers
    ex, to_third = subtract(second, first), subtract(third, first)
    d = length(ex)
    i = dot(ex, to_third) / d
    ey = subtract(to_third, scale(ex, i / d))
    j = length(ey)
    if j < 1e-12:
        raise LinkageError("the tie rod's inner end lies on the kingpin line")
    x = (radii[0] ** 2 - radii[1] ** 2 + d**2) / (2 * d)
    y = (radii[0] ** 2 - radii[2] ** 2 + i**2 + j**2 - 2 * i * x) / (2 * j)
    height = radii[0] ** 2 - x**2 - y**2
    if height < -1e-12:
        raise LinkageError("the linkage locks: the tie rod does not reach")
    z = math.copysign(math.sqrt(max(0.0, height)), side) / (d * j)
    ez, a, b = cross(ex, ey), x / d, y / j
    return (
        first[0] + a * ex[0] + b * ey[0] + z * ez[0],
        first[1] + a * ex[1] + b * ey[1] + z * ez[1],
        first[2] + a * ex[2] + b * ey[2] + z * ez[2],
    )


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
        if linkage.tie_rod_inner is None or linkage.tie_rod_outer is None:
            self.upright: _Free | _Steered = _Free(linkage)
        else:
            self.upright = _Steered(linkage, linkage.tie_rod_inner, linkage.tie_rod_outer)

    def swung(self, swing: float) -> Position:
        """The wheel with the lower arm turned by `swing` rad, up positive. Raises LinkageError when it locks."""
        lower = self.lower.at(swing)
        return self.upright.position(lower, self.upper.at(angle_at_distance(self.upper, lower, self.upright_length)))

    def lifted(self, lift: float) -> Position:
        """The wheel with its center `lift` m above ride height.

        Raises LinkageError when the lift is not reached inside ±0.45 rad of the lower arm.
        """
        if lift == 0:
            return self.swung(0.0)
        return self._by_secant(lift) or self._by_bracket(lift)

    def _by_secant(self, lift: float) -> Position | None:
        """The quick way: lift is nearly in proportion to swing. None where it does not settle in a few steps."""
        before, short_before = 0.0, -lift
        swing = lift / self.lower.radius
        for _ in range(8):
            if abs(swing) > LARGEST_SWING:
                return None
            try:
                found = self.swung(swing)
            except LinkageError:
                return None
            short = found.wheel_center[2] - self.linkage.wheel_center[2] - lift
            if abs(short) < _EXACT:
                return found
            if short == short_before:
                return None
            before, swing, short_before = swing, swing - short * (swing - before) / (short - short_before), short
        return None

    def _by_bracket(self, lift: float) -> Position:
        """The sure way: step out from ride height until the lift is passed or the linkage locks."""
        step = min(LARGEST_SWING, 1.1 * abs(lift) / self.lower.radius)

        def short_by(swing: float) -> float:
            return self.swung(swing).wheel_center[2] - self.linkage.wheel_center[2] - lift

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
