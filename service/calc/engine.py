"""Engine geometry and output: displacement, compression, torque against power, mean effective pressure, piston speed.

SI in and out. Sources: Heywood, Internal Combustion Engine Fundamentals, chapter 2; otherwise derived as stated.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import pi

#: Crank power left over at the wheels. Common practice; 0.80 to 0.88 in reality.
WHEEL_POWER_SHARE = 0.85
#: Standard atmosphere in Pa. Source: ISO 2533.
ATMOSPHERE = 101325.0
#: Polytropic exponent of compression with heat lost to the walls. Source: Heywood, chapter 9, 1.3 +/- 0.05 (from memory).
POLYTROPIC_EXPONENT = 1.3
#: Crank revolutions for one working stroke, by cycle. Derived.
REVOLUTIONS_PER_CYCLE: Mapping[str, int] = {"four_stroke": 2, "two_stroke": 1}
#: Compression ratio from which a naturally aspirated engine needs care, by fuel. Common practice; iron heads about 0.5 less,
#: modern chambers and knock control up to 1.5 more.
COMPRESSION_NEEDING_CARE: Mapping[str, float] = {
    "gasoline_regular": 9.5, "gasoline_midgrade": 10.0, "gasoline_premium": 10.8, "gasoline_racing": 14.0, "e85": 13.0, "methanol": 15.0,
}


def crank_power(power: float, basis: str | None) -> float:
    """Power at the crank in W: a wheel figure divided by `WHEEL_POWER_SHARE`, any other as it stands.

    Source: common practice.

    >>> round(crank_power(340.0, "wheel"), 6), crank_power(340.0, "net")
    (400.0, 340.0)
    """
    return power / WHEEL_POWER_SHARE if basis == "wheel" else power


def cylinder_displacement(bore: float, stroke: float) -> float:
    """Swept volume of one cylinder, V_d = (pi/4) b^2 s, in m3.

    b bore, s stroke in m, both positive (ValueError). Source: geometry, derived; Heywood, eq. 2.2.

    >>> f"{cylinder_displacement(0.1023620, 0.0952500):.4g}"
    '0.0007838'
    """
    if bore <= 0 or stroke <= 0:
        raise ValueError("bore and stroke must be positive")
    return pi / 4 * bore**2 * stroke


def displacement(bore: float, stroke: float, cylinders: int) -> float:
    """Displacement of the engine, V = (pi/4) b^2 s n, in m3.

    b bore, s stroke in m, n number of cylinders, at least 1 (ValueError). Source: geometry, derived.

    >>> f"{displacement(0.104775, 0.09525, 8):.4g}"
    '0.00657'
    """
    if cylinders < 1:
        raise ValueError("an engine has at least one cylinder")
    return cylinder_displacement(bore, stroke) * cylinders


def clearance_volume(
    bore: float, chamber_volume: float, piston_volume: float, gasket_bore: float, gasket_thickness: float, deck_clearance: float
) -> float:
    """Volume above the piston at top center, V_c = V_h + V_p + (pi/4) b_g^2 t_g + (pi/4) b^2 d, in m3.

    b bore, b_g gasket bore, t_g gasket thickness, d deck clearance (below the deck positive) in m; V_h chamber,
    V_p piston crown (dish positive) in m3. ValueError when nothing is left above the piston. Source: geometry, derived.

    >>> f"{clearance_volume(0.102362, 64e-6, 18e-6, 0.10414, 0.001016, 0.000254):.4g}"
    '9.274e-05'
    """
    volume = chamber_volume + piston_volume + pi / 4 * (gasket_bore**2 * gasket_thickness + bore**2 * deck_clearance)
    if volume <= 0:
        raise ValueError("the volumes leave no space above the piston at top center")
    return volume


def compression_ratio(swept_volume: float, clearance: float) -> float:
    """Compression ratio, CR = (V_d + V_c)/V_c.

    V_d swept volume of a cylinder, V_c clearance volume in m3, both positive (ValueError).
    Source: Heywood, Internal Combustion Engine Fundamentals, eq. 2.1.

    >>> round(compression_ratio(0.0007838, 9.274e-05), 3)
    9.452
    """
    if swept_volume <= 0 or clearance <= 0:
        raise ValueError("swept and clearance volume must be positive")
    return (swept_volume + clearance) / clearance


def pressure_equivalent_ratio(ratio: float, boost: float) -> float:
    """Compression ratio that gives without boost the same end-of-compression pressure, CR_p = CR (1 + p_b/p_0)^(1/n).

    CR compression ratio above 1, p_b boost (gauge) in Pa, not negative (ValueError); p_0 standard atmosphere,
    n = 1.3. From p_0 CR_p^n = (p_0 + p_b) CR^n. Source: derived.

    >>> round(pressure_equivalent_ratio(8.5, 55158.0), 3)
    11.874
    """
    if ratio <= 1 or boost < 0:
        raise ValueError("a compression ratio is above 1 and boost is not negative")
    return ratio * float((1 + boost / ATMOSPHERE) ** (1 / POLYTROPIC_EXPONENT))


def torque_from_power(power: float, speed: float) -> float:
    """Torque that gives a power at a speed, T = P/omega, in N*m.

    P power in W, omega speed in rad/s, positive (ValueError). Source: P = T omega, any mechanics text.

    >>> round(torque_from_power(391_492.5, 659.734), 1)
    593.4
    """
    if speed <= 0:
        raise ValueError("speed must be positive")
    return power / speed


def power_from_torque(torque: float, speed: float) -> float:
    """Power of a torque at a speed, P = T omega, in W. T in N*m, omega in rad/s. Source: any mechanics text.

    >>> round(power_from_torque(637.235, 492.183))
    313636
    """
    return torque * speed


def mean_effective_pressure(torque: float, volume: float, cycle: str = "four_stroke") -> float:
    """Brake mean effective pressure, p = 2 pi n_R T/V, in Pa.

    T torque in N*m, V displacement in m3, positive (ValueError); n_R = 2 revolutions for each working stroke of a
    four-stroke engine, 1 of a two-stroke (KeyError for another cycle). Source: Heywood, eq. 2.20.

    >>> f"{mean_effective_pressure(542.33, 0.0057327):.4g}"
    '1.189e+06'
    """
    if volume <= 0:
        raise ValueError("displacement must be positive")
    return 2 * pi * REVOLUTIONS_PER_CYCLE[cycle] * torque / volume


def mean_piston_speed(stroke: float, speed: float) -> float:
    """Mean piston speed, u = s omega/pi (= 2 s N), in m/s. s stroke in m, omega crank speed in rad/s.

    Source: Heywood, eq. 2.9.

    >>> round(mean_piston_speed(0.09525, 628.3185), 2)
    19.05
    """
    return stroke * speed / pi


def peak_piston_acceleration(stroke: float, rod_length: float, speed: float) -> float:
    """Piston acceleration at top center, a = (s/2) omega^2 (1 + s/(2 l)), in m/s2: exact there, and the largest of the turn.

    s stroke, l rod length (center to center) in m, omega crank speed in rad/s. ValueError for a rod not longer than
    the crank throw, with which the crank cannot turn. Source: second derivative of the slider-crank position, derived.

    >>> f"{peak_piston_acceleration(0.09525, 0.1524, 628.3185):.4g}"
    '2.468e+04'
    """
    throw = stroke / 2
    if rod_length <= throw:
        raise ValueError("the rod must be longer than the crank throw")
    return throw * speed**2 * (1 + throw / rod_length)
