"""Anti-roll bars: rate at the ends, share of it that is twist, stiffness against another bar."""

from __future__ import annotations

import math
from typing import NamedTuple

#: Elastic and shear modulus of spring steel, Pa (from memory; published tables for spring wire give 28.5 to 30 and 11.2 to 11.5 million psi).
SPRING_STEEL_ELASTIC_MODULUS = 206e9
SPRING_STEEL_SHEAR_MODULUS = 79.3e9
#: A beam is slender from here on: straight over 5 diameters, arm over 3 diameters (common practice).
SHORTEST_STRAIGHT_IN_DIAMETERS = 5.0
SHORTEST_ARM_IN_DIAMETERS = 3.0


class BarRate(NamedTuple):
    """Rate of a bar: N/m of each end in roll, and the share of the flexibility that is twist of the straight."""

    rate: float
    torsion_share: float


def inner_diameter(diameter: float, wall: float | None) -> float:
    """Inside diameter in m of a bar of outside `diameter` and `wall` in m (None or 0: solid).

    Raises ValueError when the wall is thicker than the bar's radius. Source: definition.

    >>> round(inner_diameter(0.03175, 0.0047752), 7)
    0.0221996
    """
    if not diameter > 0:
        raise ValueError("the bar's diameter must be above zero")
    if not wall:
        return 0.0
    if wall < 0 or wall > diameter / 2:
        raise ValueError("the wall is thicker than half the bar's diameter")
    return diameter - 2 * wall


def stiffness_ratio(diameter: float, inner: float, original_diameter: float, original_inner: float) -> float:
    """Stiffness of a bar over that of another of the same shape and material.

    ratio = (D⁴ − d⁴)/(D₀⁴ − d₀⁴) with D, D₀ outside and d, d₀ inside diameters in m.
    Raises ValueError when the other bar has no section. Source: derived (both bending and twist go with D⁴ − d⁴).

    >>> round(stiffness_ratio(0.028575, 0.0, 0.0238125, 0.0), 4)
    2.0736
    """
    original = original_diameter**4 - original_inner**4
    if not original > 0:
        raise ValueError("the bar it replaces has no section")
    return (diameter**4 - inner**4) / original


def bar_rate(
    diameter: float, inner: float, center_length: float, arm_length: float, arm_true_length: float, bushing_span: float,
    elastic_modulus: float = SPRING_STEEL_ELASTIC_MODULUS, shear_modulus: float = SPRING_STEEL_SHEAR_MODULUS,
) -> BarRate:
    """Rate of a U-shaped bar for equal and opposite forces at its ends.

    1/k = a²L/(2GJ) + s³/(3EI) + [(c + e)³ − c³]/(3EI) + (c + e)²b/(6EI)

    with D `diameter` outside and d `inner` in m, I = π(D⁴ − d⁴)/64 and J = 2I in m⁴, L `center_length`,
    a `arm_length` (lever), s `arm_true_length`, b `bushing_span` in m, c = √(s² − a²) the outward splay of each
    arm, e = (L − b)/2 the overhang, E and G moduli in Pa. k in N/m; torsion share = k·a²L/(2GJ).

    Valid for straight slender legs in one plane and rigid bushings that let the bar turn: L ≥ 5D, s ≥ 3D.
    Raises ValueError for s < a, b > L, no section or a bar that is not slender.
    Source: derived (strain energy, Castigliano).

    >>> found = bar_rate(0.028575, 0.0, 0.9144, 0.2286, 0.2667, 0.762)
    >>> round(found.rate, -2), round(found.torsion_share, 4)
    (148100.0, 0.6816)
    """
    _require_bar(diameter, inner, center_length, arm_length, arm_true_length, bushing_span)
    second_moment = math.pi * (diameter**4 - inner**4) / 64
    bending = elastic_modulus * second_moment
    splay = math.sqrt(max(0.0, arm_true_length**2 - arm_length**2))
    reach = splay + (center_length - bushing_span) / 2
    twist = arm_length**2 * center_length / (2 * shear_modulus * 2 * second_moment)
    arm = arm_true_length**3 / (3 * bending)
    overhang = (reach**3 - splay**3) / (3 * bending)
    between_bushings = reach**2 * bushing_span / (6 * bending)
    rate = 1 / (twist + arm + overhang + between_bushings)
    return BarRate(rate, twist * rate)


def _require_bar(
    diameter: float, inner: float, center_length: float, arm_length: float, arm_true_length: float, bushing_span: float
) -> None:
    if not diameter > inner >= 0 or arm_length <= 0 or bushing_span <= 0:
        raise ValueError("the bar has no section, no lever or no bushings")
    if arm_true_length < arm_length:
        raise ValueError("the arm is shorter along its length than its lever")
    if bushing_span > center_length:
        raise ValueError("the bushings are farther apart than the straight is long")
    if center_length < SHORTEST_STRAIGHT_IN_DIAMETERS * diameter:
        raise ValueError("the straight is shorter than five diameters: this is not a slender bar")
    if arm_true_length < SHORTEST_ARM_IN_DIAMETERS * diameter:
        raise ValueError("the arm is shorter than three diameters: this is not a slender bar")


def bar_roll_stiffness(rate: float, motion_ratio: float, track: float) -> float:
    """Roll stiffness of a bar in N·m/rad: K = ½·k·MR²·t².

    k `rate` of each end in N/m (ends moving oppositely), MR bar-end travel per wheel travel, t `track` in m.
    Source: derived.

    >>> round(bar_roll_stiffness(148100.0, 0.50, 1.52))
    42771
    """
    return rate * (motion_ratio * track) ** 2 / 2
