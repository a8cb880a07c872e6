"""Vectors in space as tuples of three floats: the few operations that linkages need."""

from __future__ import annotations

import math

Vector = tuple[float, float, float]


def add(a: Vector, b: Vector) -> Vector:
    """a + b."""
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def subtract(a: Vector, b: Vector) -> Vector:
    """a − b."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def scale(a: Vector, factor: float) -> Vector:
    """a · factor."""
    return a[0] * factor, a[1] * factor, a[2] * factor


def dot(a: Vector, b: Vector) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Vector product."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def length(a: Vector) -> float:
    """Length."""
    return math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])


def unit(a: Vector) -> Vector:
    """a divided by its length. Raises ValueError when a has no length."""
    size = length(a)
    if size < 1e-12:
        raise ValueError("two points that should be apart are the same point")
    return a[0] / size, a[1] / size, a[2] / size


def turned(a: Vector, axis: Vector, angle: float) -> Vector:
    """a turned about the unit vector `axis` by `angle` rad, right-handed (Rodrigues' formula).

    >>> tuple(round(x, 6) for x in turned((0.0, 1.0, 0.0), (1.0, 0.0, 0.0), math.pi / 2))
    (0.0, 0.0, 1.0)
    """
    cosine, sine = math.cos(angle), math.sin(angle)
    along = dot(axis, a) * (1 - cosine)
    side = cross(axis, a)
    return (
        a[0] * cosine + side[0] * sine + axis[0] * along,
        a[1] * cosine + side[1] * sine + axis[1] * along,
        a[2] * cosine + side[2] * sine + axis[2] * along,
    )
