"""Weights: shares of the corners, height of the center of gravity, load against rating."""

from __future__ import annotations

import math
from typing import NamedTuple


class Distribution(NamedTuple):
    """Total mass in kg; shares as fractions, cross being (right front + left rear)/total."""

    total: float
    front: float
    left: float
    cross: float


class CenterOfGravity(NamedTuple):
    """Height above the ground in m, lift angle in rad, change of the reading in kg."""

    height: float
    lift_angle: float
    mass_change: float


def distribution(front_left: float, front_right: float, rear_left: float, rear_right: float) -> Distribution:
    """Total and shares of four scale readings in kg.

    Raises ValueError unless the total is above zero. Source: definition.

    >>> [round(value, 4) for value in distribution(500, 490, 400, 390)]
    [1780, 0.5562, 0.5056, 0.5]
    """
    total = front_left + front_right + rear_left + rear_right
    if not total > 0:
        raise ValueError("the scale readings must add up to more than zero")
    return Distribution(
        total, (front_left + front_right) / total, (front_left + rear_left) / total, (front_right + rear_left) / total
    )


def center_of_gravity(
    wheelbase: float, lift: float, level_mass: float, raised_mass: float, other_mass: float,
    level_radius: float, raised_radius: float,
) -> CenterOfGravity:
    """Height of the center of gravity from weighing level and with one axle raised.

    θ = asin(H/L); ΔM = M_raised − M_level; h = r + ΔM·L/(m·tan θ), r the wheel radius at the center of gravity:
    r = r_level·M_level/m + r_lifted·M_other/m.

    L `wheelbase`, H `lift` in m; M_level `level_mass` and M_raised `raised_mass`: readings in kg of the axle that
    stays down, level and with the other raised; M_other `other_mass`: the lifted axle level; m = M_level + M_other;
    `level_radius` and `raised_radius`: wheel radii in m of the axle that stays down and of the lifted one.
    Valid for a suspension blocked solid and wheels free to roll; unequal wheel radii err by up to 0.3 %.
    Raises ValueError for a lift not between 0 and the wheelbase or masses not above zero.
    Source: derived (moments about the axle that stays down), as in the vehicle-dynamics textbooks.

    >>> found = center_of_gravity(2.75, 0.60, 851.1, 876.9, 698.9, 0.315, 0.315)
    >>> round(found.height, 4), round(found.lift_angle, 4)
    (0.5197, 0.22)
    """
    mass = level_mass + other_mass
    if not 0 < lift < wheelbase:
        raise ValueError("the lift must be above zero and less than the wheelbase")
    if not min(level_mass, other_mass, raised_mass) > 0:
        raise ValueError("the scale readings must be above zero")
    angle = math.asin(lift / wheelbase)
    change = raised_mass - level_mass
    radius = (level_radius * level_mass + raised_radius * other_mass) / mass
    return CenterOfGravity(radius + change * wheelbase / (mass * math.tan(angle)), angle, change)


def stability_factor(track: float, cg_height: float) -> float:
    """Static stability factor t/(2h): mean `track` over twice the height of the center of gravity, both in m.

    Raises ValueError unless both are above zero. Source: NHTSA rulemaking on rollover resistance (compared with its published text).

    >>> round(stability_factor(1.5, 0.5200), 3)
    1.442
    """
    if not (track > 0 and cg_height > 0):
        raise ValueError("track and height of the center of gravity must be above zero")
    return track / (2 * cg_height)


def axle_capacity(axle_rating: float, wheel_ratings: tuple[float, ...] = ()) -> float:
    """What an axle may carry in kg: the smaller of its rating and twice its smallest wheel rating, all in kg.

    Raises ValueError unless every rating is above zero. Source: derived.

    >>> axle_capacity(1000.0, (450.0, 520.0))
    900.0
    """
    if not min((axle_rating, *wheel_ratings)) > 0:
        raise ValueError("ratings must be above zero")
    return min(axle_rating, 2 * min(wheel_ratings)) if wheel_ratings else axle_rating
