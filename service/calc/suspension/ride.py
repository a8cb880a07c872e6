"""Ride: wheel rates, natural frequencies, and the speed at which the rear has caught up with the front."""

from __future__ import annotations

import math

from service.calc.suspension.constants import STANDARD_GRAVITY

#: Unsprung mass of an axle as a share of its mass when it is not recorded (common practice).
UNSPRUNG_SHARE = {"independent": 0.12, "live_axle": 0.16, "beam": 0.16}


def wheel_rate(spring_rate: float, motion_ratio: float) -> float:
    """Rate of the spring seen at the wheel, N/m: k_w = k_s·MR².

    k_s `spring_rate` in N/m, MR spring travel per wheel travel. Raises ValueError unless both are above zero.
    Source: derived (work at the wheel equals work at the spring).

    >>> round(wheel_rate(400 * 175.12683524647636, 0.62), -1)
    26930.0
    """
    if not (spring_rate > 0 and motion_ratio > 0):
        raise ValueError("spring rate and motion ratio must be above zero")
    return spring_rate * motion_ratio**2


def ride_rate(wheel: float, tire: float | None) -> float:
    """Rate between body and road, N/m: k_r = k_w·k_t/(k_w + k_t), or k_w when the tire's rate is not known.

    k_w `wheel` and k_t `tire` in N/m. Raises ValueError when the tire's rate is not above zero. Source: derived.

    >>> round(ride_rate(27000.0, 200000.0))
    23789
    """
    if tire is None:
        return wheel
    if not tire > 0:
        raise ValueError("the tire's rate must be above zero")
    return wheel * tire / (wheel + tire)


def sprung_corner_mass(axle_mass: float, unsprung_mass: float) -> float:
    """Sprung mass on one wheel, kg: (axle mass − unsprung mass)/2, both in kg.

    Raises ValueError when nothing is left to spring. Source: derived.

    >>> round(sprung_corner_mass(907.18474, 104.3262451), 1)
    401.4
    """
    mass = (axle_mass - unsprung_mass) / 2
    if not mass > 0:
        raise ValueError("the unsprung mass is as large as the axle mass")
    return mass


def frequency(rate: float, sprung_mass: float) -> float:
    """Undamped natural frequency of the body on one wheel, Hz: f = √(k_r/m_s)/(2π).

    k_r `rate` in N/m, m_s `sprung_mass` in kg. Raises ValueError unless both are above zero.
    Source: derived; passenger cars near 1 to 1.5 Hz: Gillespie, Fundamentals of Vehicle Dynamics, ride (from memory).

    >>> round(frequency(26930.0, 401.4), 3)
    1.304
    """
    if not (rate > 0 and sprung_mass > 0):
        raise ValueError("rate and sprung mass must be above zero")
    return math.sqrt(rate / sprung_mass) / (2 * math.pi)


def static_deflection(wheel: float, sprung_mass: float) -> float:
    """How far the sprung mass presses the spring, at the wheel, m: m_s·g/k_w, m_s in kg, k_w in N/m. Source: derived.

    >>> round(static_deflection(26928.0, 401.43), 4)
    0.1462
    """
    return sprung_mass * STANDARD_GRAVITY / wheel


def flat_ride_speed(front_frequency: float, rear_frequency: float, wheelbase: float) -> float | None:
    """Speed at which the rear, hit one wheelbase later, has caught up after one full cycle, m/s.

    v = L/(1/f_f − 1/f_r) with L `wheelbase` in m and frequencies in Hz; None when the rear is not quicker.
    Source: derived; the rule is Olley's.

    >>> round(flat_ride_speed(1.304, 1.50, 2.8448), 1)
    28.4
    """
    if rear_frequency <= front_frequency:
        return None
    return wheelbase / (1 / front_frequency - 1 / rear_frequency)
