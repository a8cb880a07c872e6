"""The driveshaft: tube materials, critical speed, torsion, torque that can reach it, length.

SI in and out. Sources: Timoshenko, Young & Weaver, Vibration Problems in Engineering; Shigley, Mechanical Engineering
Design; Gillespie, Fundamentals of Vehicle Dynamics.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf, pi, sqrt

#: Standard gravity in m/s2. Source: ISO 80000-3.
STANDARD_GRAVITY = 9.80665
#: Shear over tensile yield of a ductile tube. Source: von Mises, 1/sqrt(3), derived.
SHEAR_OVER_YIELD = 0.577
#: Share of aluminum's yield left beside a weld. Common practice.
WELDED_ALUMINUM_SHARE = 0.75


@dataclass(frozen=True, slots=True)
class TubeMaterial:
    """Axial modulus and shear strength in Pa, density in kg/m3, least wall over diameter; None where the maker must say."""

    elastic_modulus: float | None
    density: float
    shear_strength: float | None
    least_wall_ratio: float


#: Tube materials. Moduli, densities and yields are handbook values from memory: drawn 1020/1026 tube 440 MPa, 4130 normalized
#: 435 MPa, 6061-T6 276 MPa; carbon: the layup decides, its density is common practice. Least wall over diameter: below it a thin
#: tube may buckle in torsion before it yields; derived from the formulas of Schwerin and Donnell (from memory).
TUBE_MATERIALS: Mapping[str, TubeMaterial] = {
    "steel": TubeMaterial(205e9, 7850.0, SHEAR_OVER_YIELD * 440e6, 0.014),
    "chromoly": TubeMaterial(205e9, 7850.0, SHEAR_OVER_YIELD * 435e6, 0.014),
    "aluminum": TubeMaterial(68.9e9, 2700.0, SHEAR_OVER_YIELD * WELDED_ALUMINUM_SHARE * 276e6, 0.02),
    "carbon": TubeMaterial(None, 1600.0, None, 0.02),
}
#: Highest friction of driven tires when not recorded, by use; drag: prepared surface. Common practice.
TIRE_FRICTION: Mapping[str, float] = {
    "street": 0.9, "touring": 0.9, "towing": 0.9, "autocross": 1.2, "track": 1.3, "drag": 1.8,
}
#: Center of gravity height over wheelbase when not known. Common practice.
HEIGHT_OVER_WHEELBASE = 0.2
#: Length over diameter from which the slender-beam formula holds, and below which no figure is given. Derived: shear and
#: rotary inertia lower it by 1.5 % at 15, 3.3 % at 10, 11 % at 5.
SLENDER, STUBBY = 5.0, 2.0
#: Share of the slender-beam figure used between `STUBBY` and `SLENDER`. Common practice, on the safe side of the beam theory.
STUBBY_SHARE = 0.5
#: Relative dust of floating-point arithmetic: a length right on a limit is inside.
_DUST = 1e-9


def inner_diameter(outer_diameter: float, wall: float) -> float:
    """Inside diameter of a tube, d = D - 2 t, in m. ValueError unless 0 < 2 t < D.

    >>> round(inner_diameter(0.0889, 0.0021082), 7)
    0.0846836
    """
    if wall <= 0 or 2 * wall >= outer_diameter:
        raise ValueError("twice the wall must be less than the tube's outside diameter")
    return outer_diameter - 2 * wall


def critical_speed(length: float, outer_diameter: float, wall: float, elastic_modulus: float, density: float) -> float:
    """First critical speed of a pinned tube, omega = (pi/L)^2 sqrt(E (D^2 + d^2)/(16 rho)), in rad/s.

    L length between joints, D outside, d = D - 2 t inside diameter, t wall in m; E axial modulus in Pa, rho density in
    kg/m3. Holds from L = 5 D (shear and rotary inertia lower it by 11 % there, 1.5 % at 15 D). ValueError for a
    length, modulus or density that is not positive, or a wall that does not fit. Source: simply supported beam,
    Timoshenko, Young & Weaver, Vibration Problems in Engineering.

    >>> round(critical_speed(1.3208, 0.0889, 0.0021082, 205e9, 7850.0), 1)
    887.4
    """
    inner = inner_diameter(outer_diameter, wall)
    if length <= 0 or elastic_modulus <= 0 or density <= 0:
        raise ValueError("length, modulus and density must be positive")
    return (pi / length) ** 2 * sqrt(elastic_modulus * (outer_diameter**2 + inner**2) / (16 * density))


def shorter_than(length: float, diameters: float, outer_diameter: float) -> bool:
    """Whether a shaft is shorter than so many diameters, lengths in m; exactly as long is not shorter.

    >>> shorter_than(20 * 0.0254, 5, 4 * 0.0254), shorter_than(0.5, 5, 0.11)
    (False, True)
    """
    return length < diameters * outer_diameter * (1 - _DUST)


def usable_critical_speed(length: float, outer_diameter: float, wall: float, elastic_modulus: float, density: float) -> float:
    """`critical_speed`, and half of it for a stubby shaft of 2 D <= L < 5 D, in rad/s.

    ValueError below 2 D, where no beam formula holds. Symbols and source as `critical_speed`.

    >>> round(usable_critical_speed(0.4, 0.1, 0.002, 205e9, 7850.0) / critical_speed(0.4, 0.1, 0.002, 205e9, 7850.0), 3)
    0.5
    """
    if shorter_than(length, STUBBY, outer_diameter):
        raise ValueError("a shaft shorter than two diameters has no bending critical speed worth a formula")
    share = STUBBY_SHARE if shorter_than(length, SLENDER, outer_diameter) else 1.0
    return share * critical_speed(length, outer_diameter, wall, elastic_modulus, density)


def longest_length(length: float, critical: float, highest: float, fraction: float) -> float:
    """Longest shaft of the same tube that keeps the highest speed at `fraction` of critical, L sqrt(f omega_cr/omega_max), in m.

    length in m, speeds in rad/s, the highest positive (ValueError). Source: omega_cr goes with 1/L^2, derived.

    >>> round(longest_length(1.3208, 887.4, 647.9, 0.75), 3)
    1.339
    """
    if highest <= 0:
        raise ValueError("the highest speed must be positive")
    return length * sqrt(fraction * critical / highest)


def shear_stress(torque: float, outer_diameter: float, wall: float) -> float:
    """Shear stress at the outside of a tube, tau = 16 T D/(pi (D^4 - d^4)), in Pa.

    T torque in N*m, D outside, d = D - 2 t inside diameter, t wall in m (ValueError unless 0 < 2 t < D).
    Source: torsion of round tubes, Shigley, Mechanical Engineering Design.

    >>> f"{shear_stress(896.0, 0.0889, 0.0021082):.4g}"
    '3.677e+07'
    """
    inner = inner_diameter(outer_diameter, wall)
    return 16 * torque * outer_diameter / (pi * (outer_diameter**4 - inner**4))


def input_torque(peak_torque: float, clutch_capacity: float | None) -> float:
    """Torque that can enter the gearbox: the engine's, or what a dumped clutch can hold where that is known and more, in N*m.

    Common practice.

    >>> input_torque(500.0, 650.0), input_torque(500.0, None)
    (650.0, 500.0)
    """
    return max(peak_torque, clutch_capacity or 0.0)


def lowest_gear_torque(torque: float, stall_torque_ratio: float, largest_ratio: float, low_range_ratio: float) -> float:
    """Torque behind the transmission in its lowest gear at stall, T_1 = T K G R_l, in N*m; losses are not taken off.

    T torque in, K stall torque ratio, G larger of first and reverse, R_l transfer-case low range. Source: derived.

    >>> round(lowest_gear_torque(637.235, 2.0, 2.48, 1.0))
    3161
    """
    return torque * stall_torque_ratio * largest_ratio * low_range_ratio


def driven_axle_load(axle_mass: float, friction: float, car_mass: float | None, height_over_wheelbase: float) -> float:
    """Load on the driven rear axle while its tires pull their most, W = m_r g/(1 - mu h/l), at most m g, in N.

    m_r axle mass, m mass of the car (None: no cap) in kg, mu friction, h/l center of gravity height over wheelbase.
    inf when mu h/l reaches 1 and the mass is unknown. From W = m_r g + mu W h/l. Source: Gillespie, Fundamentals of
    Vehicle Dynamics, chapter 2, same balance, derived.

    >>> round(driven_axle_load(861.826, 0.9, 1905.088, 0.2))
    10307
    """
    most = inf if car_mass is None else car_mass * STANDARD_GRAVITY
    left = 1 - friction * height_over_wheelbase
    return most if left <= 0 else min(most, axle_mass * STANDARD_GRAVITY / left)


def slip_torque(axle_load: float, friction: float, rolling_radius: float, axle_ratio: float) -> float:
    """Shaft torque at which the driven tires slip, mu W r/A, in N*m.

    W load on the driven axle in N, mu friction, r rolling radius in m, A axle ratio, positive (ValueError).
    Source: derived.

    >>> round(slip_torque(10306.7, 0.9, 0.3429, 3.55))
    896
    """
    if axle_ratio <= 0:
        raise ValueError("the axle ratio must be positive")
    return friction * axle_load * rolling_radius / axle_ratio


#: Pull-out wanted at ride height, in m: 7/8 in, the middle of 3/4 to 1 in; and the room kept to bottoming. Common practice.
PULL_OUT_WANTED, BOTTOM_ROOM = 0.0222, 0.006


def longest_shaft(distance: float, plunge_in: float) -> float:
    """Longest shaft that does not bottom in bump, D - p_i, in m, joint center to joint center.

    D front joint center (slip bottomed) to rear joint center at ride height, p_i shortening over axle travel, in m.
    Source: derived.

    >>> round(longest_shaft(1.33985, 0.0127), 3)
    1.327
    """
    return distance - plunge_in


def shortest_shaft(distance: float, slip_travel: float, plunge_in: float, plunge_out: float) -> float:
    """Shortest shaft that does not come out in droop, D - (S - p_o), in m.

    S slip travel, p_i and p_o shortening and lengthening over axle travel, in m; ValueError when the slip is shorter
    than the axle's movement. Other symbols and source as `longest_shaft`.

    >>> round(shortest_shaft(1.33985, 0.0762, 0.0127, 0.0127), 3)
    1.276
    """
    if plunge_in + plunge_out > slip_travel * (1 + _DUST):
        raise ValueError("the slip is too short for the axle's movement")
    return distance - (slip_travel - plunge_out)


def ideal_shaft(distance: float, plunge_in: float) -> float:
    """Length to order, D - max(22.2 mm, p_i + 6 mm), in m. Symbols and source as `longest_shaft`.

    >>> round(ideal_shaft(1.33985, 0.0127), 3)
    1.318
    """
    return distance - max(PULL_OUT_WANTED, plunge_in + BOTTOM_ROOM)
