"""Gearing: shaft and engine speed on the road, speed in the gears, moving off, the speedometer.

SI in and out; tire turns, cable turns and pulses are counted a mile, as the trade does. Source: Gillespie, Fundamentals
of Vehicle Dynamics, chapter 2, and derived as stated.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from math import asin, atan, hypot, pi, sin, tan

#: Meters in a mile, exact. Source: NIST SP 811.
MILE = 1609.344
#: Standard gravity in m/s2. Source: ISO 80000-3.
STANDARD_GRAVITY = 9.80665
_MPH = MILE / 3600
#: Steady speed by use in m/s, when not recorded (70, 75, 65, 60, 110, 120 mph). Common practice.
CRUISE_SPEED: Mapping[str, float] = {
    "street": 70 * _MPH, "touring": 75 * _MPH, "towing": 65 * _MPH, "autocross": 60 * _MPH, "track": 110 * _MPH, "drag": 120 * _MPH,
}
#: Share of the engine's torque that reaches the wheels. Common practice.
DRIVELINE_EFFICIENCY = 0.85
#: Rolling resistance over load. Source: Gillespie, chapter 4, 0.015 for passenger cars on concrete (from memory).
ROLLING_RESISTANCE = 0.015


def rolling_radius(revs_per_mile: float) -> float:
    """Rolling radius of a tire that turns n times a mile, r = 1609.344/(2 pi n), in m. ValueError unless n > 0.

    Source: derived.

    >>> round(rolling_radius(745), 4)
    0.3438
    """
    if revs_per_mile <= 0:
        raise ValueError("turns a mile must be positive")
    return MILE / (2 * pi * revs_per_mile)


def revs_per_mile(radius: float) -> float:
    """Turns a mile of a tire of rolling radius r, n = 1609.344/(2 pi r). ValueError unless r > 0. Source: derived.

    >>> round(revs_per_mile(0.3429), 1)
    747.0
    """
    if radius <= 0:
        raise ValueError("the rolling radius must be positive")
    return MILE / (2 * pi * radius)


def shaft_speed(speed: float, axle_ratio: float, radius: float) -> float:
    """Driveshaft speed on the road, omega = v A/r, no tire slip, in rad/s.

    v speed in m/s, A axle ratio, r rolling radius in m, positive (ValueError). Source: derived.

    >>> round(shaft_speed(31.2928, 3.55, 0.3429), 1)
    324.0
    """
    if radius <= 0:
        raise ValueError("the rolling radius must be positive")
    return speed * axle_ratio / radius


def in_order(ratios: Sequence[float]) -> bool:
    """Whether forward ratios are positive and fall strictly from first to top.

    >>> in_order([2.48, 1.48, 1.0, 0.75]), in_order([1.0, 1.48])
    (True, False)
    """
    return bool(ratios) and ratios[-1] > 0 and all(low > high for low, high in itertools.pairwise(ratios))


def engine_speed(speed: float, overall_ratio: float, radius: float, slip: float) -> float:
    """Engine speed on the road, omega = (v/r) G A/(1 - sigma), in rad/s.

    v speed in m/s, G A overall ratio, r rolling radius in m, sigma converter slip below 1 (ValueError). Source: derived.

    >>> round(engine_speed(31.2928, 0.75 * 3.55, 0.3429, 0.0))
    243
    """
    if radius <= 0 or slip >= 1:
        raise ValueError("the rolling radius must be positive and the slip below 1")
    return speed / radius * overall_ratio / (1 - slip)


def road_speed(engine: float, overall_ratio: float, radius: float) -> float:
    """Speed at an engine speed in a gear, v = omega r/(G A), no slip, in m/s. Symbols as `engine_speed`.

    Source: Gillespie, chapter 2, derived.

    >>> round(road_speed(628.3185, 2.48 * 3.55, 0.3429), 2)
    24.47
    """
    if overall_ratio <= 0:
        raise ValueError("the overall ratio must be positive")
    return engine * radius / overall_ratio


def drops(ratios: Sequence[float]) -> tuple[float, ...]:
    """Share of engine speed lost at each upshift, 1 - G_{i+1}/G_i. Source: derived.

    >>> [round(drop, 4) for drop in drops([2.48, 1.48, 1.0, 0.75])]
    [0.4032, 0.3243, 0.25]
    """
    return tuple(1 - after / before for before, after in itertools.pairwise(ratios))


def tractive_force(torque: float, torque_fraction: float, stall_torque_ratio: float, overall_ratio: float, radius: float) -> float:
    """Force at the tires when moving off, F = 0.85 q T K G_1 A/r, in N.

    T peak torque in N*m, q share of it usable, K stall torque ratio, G_1 A overall ratio, r rolling radius in m,
    positive (ValueError). Source: Gillespie, chapter 2; 0.85 common practice.

    >>> f"{tractive_force(515.211, 0.7, 1.9, 2.84 * 3.42, 0.3683):.4g}"
    '1.536e+04'
    """
    if radius <= 0:
        raise ValueError("the rolling radius must be positive")
    return DRIVELINE_EFFICIENCY * torque_fraction * torque * stall_torque_ratio * overall_ratio / radius


def start_grade(force: float, mass: float) -> float:
    """Steepest grade (rise over run) a force can move a mass off on, at most 1.

    sin g + f cos g = F/(m g_0), f = 0.015 rolling resistance: g = asin(F/(m g_0 sqrt(1 + f^2))) - atan f, grade = tan g.
    F force in N, m mass in kg, positive (ValueError). Source: force balance, Gillespie, chapter 2.

    >>> round(start_grade(15360.0, 5080.2), 4)
    0.3076
    """
    if mass <= 0:
        raise ValueError("the mass must be positive")
    share = force / (mass * STANDARD_GRAVITY * hypot(1, ROLLING_RESISTANCE))
    if share >= sin(pi / 4 + atan(ROLLING_RESISTANCE)):
        return 1.0
    return tan(asin(share) - atan(ROLLING_RESISTANCE))


def reading_error(turns: float, turns_expected: float) -> float:
    """Speedometer error, e = turns/expected - 1; positive reads high.

    turns a mile of what drives the instrument (tire turns times axle ratio, cable turns or pulses), and those it is
    made or set for, positive (ValueError). Source: derived.

    >>> round(reading_error(745 * 3.55 * 8 / 21, 1000), 6)
    0.007524
    """
    if turns_expected <= 0:
        raise ValueError("turns a mile must be positive")
    return turns / turns_expected - 1


def driven_teeth_needed(shaft_turns: float, drive_teeth: float, cable_turns: float) -> int:
    """Driven gear for a cable turning as the instrument wants, round(n A z_1/c).

    n A shaft turns a mile, z_1 drive teeth, c cable turns a mile, positive (ValueError). Source: derived.

    >>> driven_teeth_needed(745 * 3.55, 8, 1000)
    21
    """
    if cable_turns <= 0:
        raise ValueError("turns a mile must be positive")
    return round(shaft_turns * drive_teeth / cable_turns)
