"""What transmission, clutch and axle must stand: service factors, clutch capacity, share of one axle shaft.

SI in and out. Source: Shigley, Mechanical Engineering Design, clutches; otherwise common practice as stated.
"""

from __future__ import annotations

from collections.abc import Mapping

#: Factor on engine torque by use, for the transmission. Common practice.
SERVICE_FACTOR: Mapping[str, float] = {
    "street": 1.0, "touring": 1.0, "towing": 1.25, "autocross": 1.1, "track": 1.2, "drag": 1.35,
}
#: Factor on lowest-gear torque by use, for shocks in shaft and axle. Common practice.
SHOCK_FACTOR: Mapping[str, float] = {"street": 1.0, "touring": 1.0, "towing": 1.0, "autocross": 1.2, "track": 1.2, "drag": 1.5}
#: Least clutch reserve by use. Common practice.
CLUTCH_RESERVE: Mapping[str, float] = {"street": 1.2, "touring": 1.2, "towing": 1.4, "drag": 1.4, "autocross": 1.3, "track": 1.3}
#: Dry friction coefficient by clutch material. Common practice, low end of makers' ranges.
FRICTION_COEFFICIENT: Mapping[str, float] = {"organic": 0.30, "aramid": 0.32, "ceramic": 0.40, "sintered": 0.40}
#: Share of the axle's torque in one axle shaft, by differential; locked: all on the one tire that grips. Common practice.
SHAFT_SHARE: Mapping[str, float] = {"open": 0.5, "limited_slip": 0.75, "locked": 1.0}


def _check_ring(outer_diameter: float, inner_diameter: float) -> None:
    if not 0 <= inner_diameter < outer_diameter:
        raise ValueError("the friction ring's inside diameter must be smaller than its outside diameter")


def clutch_torque_worn(
    friction: float, clamp_load: float, faces: int, outer_diameter: float, inner_diameter: float
) -> float:
    """Torque a worn-in disc clutch holds (uniform wear), C = mu F N (D + d)/4, in N*m.

    mu friction coefficient, F clamp load in N, N friction faces, D and d outside and inside diameter of the friction
    ring in m, d < D (ValueError). Source: Shigley, Mechanical Engineering Design, clutches, uniform wear.

    >>> round(clutch_torque_worn(0.3, 12232.6, 2, 0.2794, 0.1651), 1)
    815.6
    """
    _check_ring(outer_diameter, inner_diameter)
    return friction * clamp_load * faces * (outer_diameter + inner_diameter) / 4


def clutch_torque_new(
    friction: float, clamp_load: float, faces: int, outer_diameter: float, inner_diameter: float
) -> float:
    """Torque a new disc clutch holds (uniform pressure), C_0 = (mu F N/3)(D^3 - d^3)/(D^2 - d^2), in N*m.

    Symbols, errors as `clutch_torque_worn`. Source: Shigley, Mechanical Engineering Design, clutches, uniform pressure.

    >>> round(clutch_torque_new(0.3, 12232.6, 2, 0.2794, 0.1651), 1)
    833.6
    """
    _check_ring(outer_diameter, inner_diameter)
    ratio = (outer_diameter**3 - inner_diameter**3) / (outer_diameter**2 - inner_diameter**2)
    return friction * clamp_load * faces / 3 * ratio
