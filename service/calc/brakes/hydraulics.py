"""From the pedal to pressure and from pressure to brake torque.

Torque is linear in pressure, so a brake is known by its gain: torque of the axle over line pressure, N*m/Pa = m3.
"""

from __future__ import annotations

from math import inf, pi

#: Share of the pedal's force that arrives at the rod; the rest is friction of pivot and rod. Common practice.
ROD_EFFICIENCY = 0.90
#: Pads of one disc.
PADS = 2
#: Wheels of an axle.
WHEELS = 2


def rod_force(pedal_force: float, pedal_ratio: float) -> float:
    """Force of the pedal's rod on the booster or master cylinder, N.

    F_r = 0.90*F*i: F force on the pedal, N; i pedal ratio, 1. Valid for any force >= 0.
    Source: lever law (derived); 0.90 common practice.

    >>> round(rod_force(334.0, 4.2), 1)
    1262.5
    """
    return pedal_force * pedal_ratio * ROD_EFFICIENCY


def boosted_force(force: float, boost_ratio: float = 1.0, runout_force: float = inf) -> float:
    """Force on the master cylinder's piston, N.

    B*F_r up to the run-out force R, beyond it R + (F_r - R/B): past run-out more push gives no more help.
    F_r force of the rod, N; B boost ratio, 1 (1 without a booster or with one that has failed); R output force at
    run-out, N (infinite when not known). Raises ValueError for a boost ratio below 1 or a run-out force <= 0.
    Source: Limpert, Brake Design and Safety, booster characteristic; derived.

    >>> round(boosted_force(1262.52, 3.2)), round(boosted_force(1262.52, 3.2, 3200.0))
    (4040, 3463)
    """
    if boost_ratio < 1 or runout_force <= 0:
        raise ValueError("a booster has a ratio of at least 1 and a run-out force above 0")
    output = boost_ratio * force
    return output if output <= runout_force else runout_force + (force - runout_force / boost_ratio)


def bore_area(bore: float) -> float:
    """Area of a round bore, m2: pi*d^2/4, d bore, m. Raises ValueError for d <= 0. Source: derived.

    >>> round(bore_area(0.0254) * 1e6, 1)
    506.7
    """
    if bore <= 0:
        raise ValueError("a bore is larger than 0")
    return pi * bore * bore / 4


def line_pressure(pushrod_force: float, bore: float) -> float:
    """Pressure of the master cylinder, Pa.

    p = F/(pi*d^2/4): F force on its piston, N; d bore, m. Raises ValueError for d <= 0. Source: derived.

    >>> round(line_pressure(4040.064, 0.0254) / 1e6, 3)
    7.973
    """
    return pushrod_force / bore_area(bore)


def rear_pressure(pressure: float, knee_pressure: float = inf, slope: float = 1.0) -> float:
    """Pressure behind a proportioning valve, Pa.

    p up to the knee p_k, above it p_k + s*(p - p_k): p pressure before the valve, Pa; s slope, 1.
    The defaults are a car without the valve. Source: Limpert, Brake Design and Safety, reducing valve.

    >>> round(rear_pressure(7.973e6, 2.5e6, 0.4) / 1e6, 3)
    4.689
    """
    return pressure if pressure <= knee_pressure else knee_pressure + slope * (pressure - knee_pressure)


def caliper_area(piston_count: int, piston_diameter: float, floating: bool) -> float:
    """Piston area that presses one pad, m2.

    n*pi*d^2/4 of a floating caliper (its body brings the other pad with the same force), half of it of a fixed one:
    n all pistons of one caliper, 1; d their diameter, m. Raises ValueError for n < 1 or d <= 0. Source: derived.

    >>> round(caliper_area(1, 0.060, floating=True) * 1e6), round(caliper_area(4, 0.040, floating=False) * 1e6)
    (2827, 2513)
    """
    if piston_count < 1:
        raise ValueError("a caliper has at least one piston")
    return piston_count * bore_area(piston_diameter) / (1 if floating else 2)


def disc_gain(area: float, pad_friction: float, effective_radius: float) -> float:
    """Torque of an axle's disc brakes over line pressure, m3.

    T/p = 2*(2*mu*A*r_e): A piston area on one pad, m2; mu pad friction, 1; r_e effective radius, m; two wheels, two
    pads each. Source: Limpert, Brake Design and Safety, disc brake torque.

    >>> round(disc_gain(caliper_area(1, 0.060, True), 0.38, 0.118) * 7.973e6)
    4043
    """
    return WHEELS * PADS * pad_friction * area * effective_radius


def drum_gain(brake_factor: float, wheel_cylinder_diameter: float, drum_radius: float) -> float:
    """Torque of an axle's drum brakes over line pressure, m3.

    T/p = 2*C*(pi*d^2/4)*r_d: C brake factor (drag force at the drum over force on one shoe), 1; d bore of the wheel
    cylinder, m; r_d inside radius of the drum, m. Raises ValueError for d <= 0.
    Source: Limpert, Brake Design and Safety, drum brake factor.

    >>> round(drum_gain(2.0, 0.0206, 0.1143) * 4.689e6, 1)
    714.5
    """
    return WHEELS * brake_factor * bore_area(wheel_cylinder_diameter) * drum_radius
