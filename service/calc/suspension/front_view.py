"""Front view of a double wishbone: instant center, roll center, swing arm, kingpin and scrub radius."""

from __future__ import annotations

import math
from typing import NamedTuple

from service.calc.suspension.vectors import Vector
from service.calc.suspension.wishbone import Linkage, LinkageError

#: Arms whose slopes differ by less are parallel.
PARALLEL = 1e-6


class FrontView(NamedTuple):
    """Heights above the floor and lengths in m, angles in rad; no instant center or swing arm with parallel arms."""

    roll_center_height: float
    instant_center: tuple[float, float] | None
    swing_arm_length: float | None


class Kingpin(NamedTuple):
    """Inclination and caster in rad, scrub radius in m."""

    inclination: float
    caster: float
    scrub_radius: float


def front_view(linkage: Linkage, contact: tuple[float, float]) -> FrontView:
    """Roll center of one side from the arms' lines in the plane across the car.

    Each arm's line runs from its pivot axis at the ball joint's x to the ball joint; the instant center is where they
    meet; the roll center is where the line from the contact point `contact` (y, z in m) to it crosses y = 0.
    Parallel arms: the line from the contact point has their slope. Height is above the contact point.
    Raises LinkageError when an arm stands upright or the instant center is right above the contact point.
    Source: derived (instant centers of a four-bar linkage).
    """
    upper = _slope(linkage.upper_front_pivot, linkage.upper_rear_pivot, linkage.upper_ball_joint)
    lower = _slope(linkage.lower_front_pivot, linkage.lower_rear_pivot, linkage.lower_ball_joint)
    y_contact, z_contact = contact
    if abs(upper - lower) < PARALLEL:
        return FrontView(-lower * y_contact, None, None)
    _, y_upper, z_upper = linkage.upper_ball_joint
    _, y_lower, z_lower = linkage.lower_ball_joint
    y = (z_lower - z_upper + upper * y_upper - lower * y_lower) / (upper - lower)
    z = z_lower + lower * (y - y_lower)
    if abs(y_contact - y) < PARALLEL:
        raise LinkageError("the arms point at the wheel's contact point: there is no roll center")
    return FrontView((z - z_contact) * y_contact / (y_contact - y), (y, z), abs(y_contact - y))


def _slope(front: Vector, rear: Vector, ball: Vector) -> float:
    """Rise per run of an arm in the front view, from its pivot axis at the ball joint's x."""
    run = front[0] - rear[0]
    share = (ball[0] - rear[0]) / run if abs(run) > PARALLEL else 0.5
    y = rear[1] + share * (front[1] - rear[1])
    z = rear[2] + share * (front[2] - rear[2])
    if abs(ball[1] - y) < PARALLEL:
        raise LinkageError("an arm stands upright in the front view")
    return (ball[2] - z) / (ball[1] - y)


def kingpin(upper: Vector, lower: Vector, contact: tuple[float, float] = (0.0, 0.0)) -> Kingpin:
    """Inclination, caster and scrub radius of the line through both ball joints.

    Inclination positive with the top inward, caster positive with the lower joint ahead; scrub radius = y of the
    contact point `contact` (y, z in m) minus y where the line meets its height.
    Raises LinkageError when the upper joint is not above the lower. Source: definition (SAE J670 terms, from memory).

    >>> found = kingpin((-0.015, 0.630, 0.455), (0.010, 0.665, 0.205), (0.755, 0.0))
    >>> [round(value, 4) for value in found]
    [0.1391, 0.0997, 0.0613]
    """
    rise = upper[2] - lower[2]
    if rise <= 0:
        raise LinkageError("the upper ball joint is not above the lower one")
    at_ground = lower[1] + (upper[1] - lower[1]) * (contact[1] - lower[2]) / rise
    return Kingpin(math.atan2(lower[1] - upper[1], rise), math.atan2(lower[0] - upper[0], rise), contact[0] - at_ground)
