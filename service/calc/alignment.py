"""Alignment: toe from a length, and left against right."""

from __future__ import annotations

import math


def toe_angle(toe_length: float, reference_diameter: float) -> float:
    """Toe of one wheel in rad from toe measured as a length: asin(length/diameter), both in m, toe-in positive.

    Raises ValueError when the length is larger than the diameter or the diameter is not above zero. Source: derived.

    >>> round(toe_angle(0.0254 / 16, 26 * 0.0254), 6)
    0.002404
    """
    if not reference_diameter > 0 or abs(toe_length) > reference_diameter:
        raise ValueError("toe as a length must be smaller than the diameter it was measured over")
    return math.asin(toe_length / reference_diameter)


def thrust_angle(toe_left: float, toe_right: float) -> float:
    """Direction in rad in which the rear axle steers, positive to the right: (toe_left − toe_right)/2.

    Toe of each rear wheel in rad, toe-in positive. Source: definition.

    >>> thrust_angle(0.004, 0.001)
    0.0015
    """
    return (toe_left - toe_right) / 2
