"""A radiator as a cross-flow heat exchanger: how warm the coolant settles for the heat it has to give away."""

from __future__ import annotations

import math

from service.calc.cooling.air import AIR_HEAT_CAPACITY

#: Coolant heat over brake power at full load, and its spread. Source: Heywood, Internal Combustion Engine Fundamentals,
#: energy balance at maximum power (brake 25–28 %, coolant 17–26 % of the fuel), from memory.
HEAT_RATIO, HEAT_RATIO_SPREAD = 0.85, 0.20
#: Share of sustained power in peak power by use. Common practice.
SUSTAINED_SHARE = {"street": 0.25, "touring": 0.30, "towing": 0.50, "autocross": 0.45, "track": 0.70, "drag": 0.25}
#: Speed at that power by use, m/s. Common practice.
SUSTAINED_SPEED = {"street": 25.0, "touring": 29.0, "towing": 20.0, "autocross": 12.0, "track": 35.0, "drag": 25.0}
#: Share of the fuel's heat that reaches the coolant at idle. Common practice.
IDLE_COOLANT_SHARE = 0.35
#: Gasoline: density, kg/m³, and lower heating value, J/kg. Common practice.
IDLE_FUEL_DENSITY, IDLE_FUEL_HEAT = 745.0, 43.0e6
#: Idle fuel, m³/s per m³ of displacement (0.6 L/h per liter). Common practice.
IDLE_FUEL_RATE = 0.6 / 3600.0
#: Heat conductance of a core per volume at 5 m/s, W/(m³·K), and its spread. Common practice, order of size only.
VOLUME_CONDUCTANCE, VOLUME_CONDUCTANCE_SPREAD = 200.0e3, 50.0e3
#: Face velocity of that conductance, m/s, and the exponent with which it grows. Common practice.
REFERENCE_VELOCITY, VELOCITY_EXPONENT = 5.0, 0.5
#: Coolant drop across the core, K. Common practice.
COOLANT_DROP = 7.0
#: Face velocity over road speed and its spread. Common practice.
RAM_FRACTION, RAM_FRACTION_SPREAD = 0.20, 0.05


def idle_heat(displacement: float) -> float:
    """Heat to the coolant at idle, Q = 0.35·ρ_f·H·q·V_d.

    displacement: V_d, m³; ρ_f 745 kg/m³, H 43 MJ/kg, q 0.6 L/h of fuel per liter of displacement. Returns W.
    Raises ValueError unless displacement is positive. Source: common practice, order of size only.

    >>> round(idle_heat(5.7e-3))
    10652
    """
    if displacement <= 0.0:
        raise ValueError("displacement must be positive")
    return IDLE_COOLANT_SHARE * IDLE_FUEL_DENSITY * IDLE_FUEL_HEAT * IDLE_FUEL_RATE * displacement


def core_conductance(height: float, width: float, thickness: float, volume_conductance: float = VOLUME_CONDUCTANCE) -> float:
    """Conductance of a core at 5 m/s face velocity from its size, UA = U_v·H·W·t.

    height, width, thickness: of the finned core, m; volume_conductance: U_v, W/(m³·K). Returns W/K.
    Raises ValueError for a size that is not positive. Source: common practice, ±25 %; a maker's test sheet outranks it.

    >>> round(core_conductance(0.430, 0.660, 0.056), 2)
    3178.56
    """
    if min(height, width, thickness) <= 0.0:
        raise ValueError("the core has no volume")
    return volume_conductance * height * width * thickness


def conductance_at(conductance: float, face_velocity: float) -> float:
    """Conductance at another face velocity, UA = UA₅·(v/5)^0.5.

    conductance: UA₅ at 5 m/s, W/K; face_velocity: v, m/s, 1 to 15. Returns W/K. Raises ValueError unless v > 0.
    Source: exponent common practice (between laminar and turbulent fin channels).

    >>> conductance_at(2000.0, 1.25)
    1000.0
    """
    if face_velocity <= 0.0:
        raise ValueError("air must move through the core")
    return conductance * math.pow(face_velocity / REFERENCE_VELOCITY, VELOCITY_EXPONENT)


def cross_flow_effectiveness(transfer_units: float, capacity_ratio: float) -> float:
    """Effectiveness of a cross-flow exchanger, both fluids unmixed.

    ε = 1 − exp{N^0.22/C_r·[exp(−C_r·N^0.78) − 1]}; for C_r → 0, ε = 1 − exp(−N).
    transfer_units: N = UA/C_min, 0 to about 10; capacity_ratio: C_r = C_min/C_max, 0 to 1. Returns a fraction, within
    1.3 % of the exact integral for N ≥ 1 and C_r ≤ 0.75, elsewhere up to 4 % low, which is the safe side.
    Raises ValueError for N < 0 or C_r outside 0 to 1. Source: Incropera & DeWitt, Fundamentals of Heat and Mass Transfer,
    effectiveness relations, cross-flow with both fluids unmixed.

    >>> round(cross_flow_effectiveness(1.0, 0.5), 4)
    0.5448
    """
    if transfer_units < 0.0 or not 0.0 <= capacity_ratio <= 1.0:
        raise ValueError("transfer units must not be negative and the capacity ratio lies from 0 to 1")
    if transfer_units == 0.0:
        return 0.0
    if capacity_ratio < 1e-9:
        return -math.expm1(-transfer_units)
    exponent = transfer_units**0.22 / capacity_ratio * math.expm1(-capacity_ratio * transfer_units**0.78)
    return -math.expm1(exponent)


def settled_coolant(
    heat: float,
    face_velocity: float,
    core_area: float,
    conductance: float,
    density: float,
    air_temperature: float,
    condenser_heat: float = 0.0,
) -> tuple[float, float]:
    """Coolant temperature at the radiator inlet when the heat balances, T_c = T_a + Q_cond/C_a + Q/(ε·C_min).

    C_a = ρ·v·A·c_p, C_c = Q/7 K; N = UA·(v/5)^0.5/C_min; ε by `cross_flow_effectiveness`.
    heat: Q, W; face_velocity: v, m/s, 1 to 15; core_area: A, m²; conductance: UA at 5 m/s, W/K; density: ρ of the air,
    kg/m³; air_temperature: T_a, K; condenser_heat: Q_cond put into the same air ahead of the core, W.
    Returns (effectiveness, temperature in K). Raises ValueError unless heat, air, area and conductance are positive.
    Source: energy balance, derived; ε see `cross_flow_effectiveness`.

    >>> effectiveness, temperature = settled_coolant(63750.0, 5.0, 0.2838, 3178.56, 1.13446, 311.15)
    >>> round(effectiveness, 4), round(temperature, 1)
    (0.8164, 359.4)
    """
    if min(heat, face_velocity, core_area, conductance, density) <= 0.0:
        raise ValueError("heat, air, core area and conductance must be positive")
    air_capacity = density * face_velocity * core_area * AIR_HEAT_CAPACITY
    coolant_capacity = heat / COOLANT_DROP
    smaller, larger = sorted((air_capacity, coolant_capacity))
    effectiveness = cross_flow_effectiveness(conductance_at(conductance, face_velocity) / smaller, smaller / larger)
    return effectiveness, air_temperature + condenser_heat / air_capacity + heat / (effectiveness * smaller)
