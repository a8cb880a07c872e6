"""Steering: the ripple of a column joint, the thread in a tie-rod sleeve."""

from __future__ import annotations

import math


def speed_ripple(angle: float) -> float:
    """How much one column joint quickens and slows in a turn: highest over lowest speed ratio − 1 = 1/cos²β − 1.

    β `angle` in rad between the shafts, 0 ≤ β < π/2. Raises ValueError outside.
    Source: derived from tan out = tan in · cos β.

    >>> round(speed_ripple(math.radians(30)), 4)
    0.3333
    """
    if not 0 <= angle < math.pi / 2:
        raise ValueError("the joint's angle must be at least 0 and less than 90 degrees")
    return 1 / math.cos(angle) ** 2 - 1


def engagement_ratio(engagement: float, thread_diameter: float) -> float:
    """Thread in the sleeve in diameters: engagement/d, both in m.

    Raises ValueError for a negative engagement or a diameter not above zero. Source: definition.

    >>> round(engagement_ratio(0.0254, 0.015875), 3)
    1.6
    """
    if engagement < 0 or not thread_diameter > 0:
        raise ValueError("engagement must not be negative and the thread needs a diameter")
    return engagement / thread_diameter
