"""Air ahead of a radiator: pressure and density by altitude, and what the fans and the road push through the core."""

from __future__ import annotations

import math

#: Sea-level pressure, Pa. Source: ISO 2533, Standard Atmosphere.
SEA_LEVEL_PRESSURE = 101325.0
#: 1/m and exponent of the pressure law below 11 km. Source: ISO 2533, Standard Atmosphere.
PRESSURE_LAPSE, PRESSURE_EXPONENT = 2.25577e-5, 5.25588
#: Gas constant of dry air, J/(kg·K). Source: ISO 2533, Standard Atmosphere.
AIR_GAS_CONSTANT = 287.05
#: Heat capacity of air at constant pressure near 40 °C, J/(kg·K). Source: handbook value, compared with CoolProp.
AIR_HEAT_CAPACITY = 1006.0
#: Share of a free-air figure that a fan delivers against a core. Common practice.
FREE_AIR_SHARE = 0.60
#: Quoted at or above this pressure, Pa, an airflow is taken as delivered. Common practice.
LOADED_PRESSURE = 100.0
#: Share of the core that unshrouded fans of unknown diameter sweep. Common practice.
UNSHROUDED_SHARE = 0.5


def air_pressure(altitude: float) -> float:
    """Atmospheric pressure, p = 101325·(1 − 2.25577·10⁻⁵·h)^5.25588.

    altitude: height h above sea level, m, −430 to 11000. Returns Pa. Raises ValueError outside that range.
    Source: ISO 2533, Standard Atmosphere.

    >>> round(air_pressure(1500.0))
    84556
    """
    if not -1000.0 <= altitude <= 11000.0:
        raise ValueError("the pressure law holds from sea level to 11 km")
    return SEA_LEVEL_PRESSURE * math.pow(1.0 - PRESSURE_LAPSE * altitude, PRESSURE_EXPONENT)


def air_density(pressure: float, temperature: float) -> float:
    """Density of dry air, ρ = p/(287.05·T).

    pressure: p, Pa; temperature: T, K. Returns kg/m³. Raises ValueError unless both are positive.
    Source: ideal gas, gas constant of ISO 2533. Humid air is up to 2 % lighter.

    >>> round(air_density(101325.0, 311.15), 4)
    1.1345
    """
    if pressure <= 0.0 or temperature <= 0.0:
        raise ValueError("pressure and temperature must be positive")
    return pressure / (AIR_GAS_CONSTANT * temperature)


def swept_share(count: int, diameter: float | None, core_area: float) -> float:
    """Share of the core that unshrouded fans sweep, min(1, n·π·D²/(4·A)); 0.5 when D is unknown.

    count: fans n; diameter: blade diameter D, m, or None; core_area: A, m². Returns a fraction.
    Raises ValueError for a core without area. Source: derived; 0.5 common practice.

    >>> round(swept_share(2, 0.3, 0.2838), 4)
    0.4981
    """
    if core_area <= 0.0:
        raise ValueError("the core has no area")
    if diameter is None:
        return UNSHROUDED_SHARE
    return min(1.0, count * math.pi * diameter**2 / (4.0 * core_area))


def fan_airflow(airflow: float, count: int, static_pressure: float, shroud_share: float) -> float:
    """Air that the fans move through the core at a standstill, k_i·k_s·n·V̇.

    airflow: of one fan V̇, m³/s; count: n; static_pressure: at which it is quoted, Pa (below 100 Pa it counts as free
    air, k_i = 0.60, else 1); shroud_share: k_s, 1 with a shroud, else `swept_share`. Returns m³/s.
    Raises ValueError for a negative airflow. Source: common practice, order of size only.

    >>> fan_airflow(1.18, 2, 0.0, 1.0)
    1.416
    """
    if airflow < 0.0:
        raise ValueError("a fan's airflow cannot be negative")
    delivered = FREE_AIR_SHARE if static_pressure < LOADED_PRESSURE else 1.0
    return delivered * shroud_share * count * airflow
