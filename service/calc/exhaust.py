"""Exhaust: how fast the gas moves in the pipe, and how far the pipe keeps away. SI floats in, SI floats out."""

from __future__ import annotations

import math

#: Gas constant, J/(kg·K), and heat capacity ratio of hot exhaust, close to air's. Common practice.
GAS_CONSTANT, HEAT_CAPACITY_RATIO = 287.0, 1.35
#: Pressure in the pipe, Pa. Source: ISO 2533, sea level.
PRESSURE = 101325.0
#: Distance wanted by neighbor, m: bare, shielded. Common practice.
CLEARANCES = {
    **dict.fromkeys(("fuel_line", "brake_line", "fuel_tank", "hose", "wiring"), (0.075, 0.038)),
    **dict.fromkeys(("tire", "starter"), (0.050, 0.025)),
    **dict.fromkeys(("body", "driveshaft"), (0.025, 0.013)),
}
#: Distance wanted from a driveshaft that softens early (aluminum, carbon), m: bare, shielded. Common practice.
SOFT_SHAFT_CLEARANCE = (0.040, 0.025)
SOFT_SHAFT_MATERIALS = ("aluminum", "carbon")
#: Outside diameters of stock pipe, in, and wall, in (16 gauge). Common practice.
STOCK_OUTSIDE, STOCK_WALL = (1.75, 2.0, 2.25, 2.5, 2.75, 3.0, 3.5, 4.0), 0.065


def exhaust_mass_flow(fuel_flow: float, air_to_fuel: float) -> float:
    """Exhaust gas at full power, ṁ = ṁ_f·(1 + AFR).

    fuel_flow: ṁ_f, kg/s; air_to_fuel: AFR, kg/kg. Returns kg/s. Raises ValueError unless fuel flow is positive.
    Source: conservation of mass, derived.

    >>> round(exhaust_mass_flow(0.0252, 12.8), 4)
    0.3478
    """
    if fuel_flow <= 0.0 or air_to_fuel < 0.0:
        raise ValueError("fuel flow must be positive and the air to fuel ratio not negative")
    return fuel_flow * (1.0 + air_to_fuel)


def gas_velocity(mass_flow: float, diameter: float, count: int, temperature: float) -> float:
    """Mean velocity in the pipes, v = ṁ/(ρ·n·π·d²/4), ρ = 101325/(287·T).

    mass_flow: ṁ of the whole engine, kg/s; diameter: inside d, m; count: pipes n; temperature: T, K. Returns m/s.
    Raises ValueError unless all are positive. Source: continuity, derived.

    >>> round(gas_velocity(0.34777, 2.37 * 0.0254, 2, 800.0), 1)
    138.4
    """
    if min(mass_flow, diameter, count, temperature) <= 0.0:
        raise ValueError("flow, diameter, count and temperature must be positive")
    density = PRESSURE / (GAS_CONSTANT * temperature)
    return mass_flow / (density * count * math.pi * diameter**2 / 4.0)


def mach_number(velocity: float, temperature: float) -> float:
    """Velocity over the speed of sound, M = v/√(1.35·287·T).

    velocity: v, m/s; temperature: T, K. Raises ValueError unless temperature is positive.
    Source: speed of sound of an ideal gas, derived.

    >>> round(mach_number(138.4, 800.0), 4)
    0.2486
    """
    if temperature <= 0.0:
        raise ValueError("temperature must be positive")
    return velocity / math.sqrt(HEAT_CAPACITY_RATIO * GAS_CONSTANT * temperature)


def clearance_wanted(neighbor: str, shielded: bool, shaft_material: str | None = None) -> float:
    """Distance wanted from the exhaust to a neighbor, m.

    neighbor: a key of `CLEARANCES`; shielded: a heat shield stands between; shaft_material: of a driveshaft, where known.
    Raises ValueError for another neighbor. Source: common practice.

    >>> clearance_wanted("brake_line", False), clearance_wanted("driveshaft", False, "aluminum")
    (0.075, 0.04)
    """
    if neighbor not in CLEARANCES:
        raise ValueError(f"no distance is known for {neighbor}")
    soft = neighbor == "driveshaft" and shaft_material is not None and shaft_material.startswith(SOFT_SHAFT_MATERIALS)
    bare, with_shield = SOFT_SHAFT_CLEARANCE if soft else CLEARANCES[neighbor]
    return with_shield if shielded else bare
