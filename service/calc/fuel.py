"""Fuel: what an engine asks for, and what injectors, pumps, lines and carburetors pass. SI floats in, SI floats out."""

from __future__ import annotations

import math
from typing import NamedTuple

#: kg/J in 1 lb/(hp·h). Source: pound and horsepower (550 ft·lbf/s) of NIST SP 811.
POUND_PER_HORSEPOWER_HOUR = 0.45359237 / (745.69987158227 * 3600.0)


class Fuel(NamedTuple):
    """A fuel at 15 to 20 °C: density kg/m³, viscosity Pa·s, consumption and its spread and consumption under boost in
    lb/(hp·h), kilograms of air to one of fuel at full load."""

    density: float
    viscosity: float
    consumption: float
    spread: float
    boosted_consumption: float
    air_to_fuel: float


#: Common practice. The boosted figure is 1.2 times the other; a diesel's does not rise.
FUELS = {
    "gasoline": Fuel(745.0, 0.45e-3, 0.50, 0.05, 0.60, 12.8),
    "e85": Fuel(785.0, 1.0e-3, 0.70, 0.07, 0.84, 8.5),
    "diesel": Fuel(835.0, 3.0e-3, 0.36, 0.04, 0.36, 20.0),
    "methanol": Fuel(792.0, 0.59e-3, 1.10, 0.11, 1.32, 5.0),
}
#: Injector duty at which an injector is sized. Common practice.
SIZING_DUTY = 0.80
#: Pump flow over what the engine needs. Common practice.
PUMP_RESERVE = 1.2
#: Share of a pump's rated voltage lost in its winding, a = I·R/V_r, 0.3 to 0.5. Common practice.
WINDING_SHARE = 0.40
#: Loss factor for the fittings and bends of a fuel line. Common practice.
FITTINGS = 3.0
#: Wall roughness by line material, m; tube, hose and nylon 1.5 µm, braided hose 5 µm. Common practice.
ROUGHNESS = {"ptfe_braid": 5.0e-6}
SMOOTH_ROUGHNESS = 1.5e-6
#: Reynolds number below which flow in a pipe is laminar. Source: textbook value.
LAMINAR_LIMIT = 2300.0
#: Pressure drop of a four-barrel carburetor's rating, Pa (1.5 inHg). Common practice.
FOUR_BARREL_DROP = 1.5 * 3386.389


def fuel_mass_flow(power: float, consumption: float) -> float:
    """Fuel an engine burns, ṁ = P·b.

    power: P at the crank, W; consumption: b, kg/J. Returns kg/s. Raises ValueError unless both are positive.
    Source: definition of brake specific fuel consumption.

    >>> round(fuel_mass_flow(400 * 745.69987, 0.5 * POUND_PER_HORSEPOWER_HOUR), 6)
    0.0252
    """
    if power <= 0.0 or consumption <= 0.0:
        raise ValueError("power and consumption must be positive")
    return power * consumption


def injector_flow(rated_flow: float, pressure: float, rated_pressure: float) -> float:
    """Static flow of an injector at another pressure, ṁ_a = ṁ_r·√(Δp/p_r).

    rated_flow: ṁ_r, kg/s; pressure: Δp across the injector, Pa; rated_pressure: p_r, Pa. Valid 0.5 ≤ Δp/p_r ≤ 2.
    Returns kg/s. Raises ValueError unless all are positive. Source: Bernoulli, derived.

    >>> round(injector_flow(42 * 0.45359237 / 3600, 58.0, 43.5), 6)
    0.006111
    """
    if min(rated_flow, pressure, rated_pressure) <= 0.0:
        raise ValueError("flow and pressures must be positive")
    return rated_flow * math.sqrt(pressure / rated_pressure)


def curve_flow(pressure: float, first: tuple[float, float], second: tuple[float, float]) -> float:
    """A pump's flow at a pressure by the straight line through two points of its curve, not below 0.

    pressure: p, Pa; first, second: (pressure Pa, flow m³/s). Valid up to 1.25 times the higher pressure of the two.
    Returns m³/s. Raises ValueError when both points are at one pressure. Source: linear interpolation, derived.

    >>> curve_flow(350.0, (300.0, 8.0), (400.0, 6.0))
    7.0
    """
    if first[0] == second[0]:
        raise ValueError("the two points of the curve are at one pressure")
    along = (pressure - first[0]) / (second[0] - first[0])
    return max(0.0, first[1] + along * (second[1] - first[1]))


def voltage_factor(voltage: float, rated_voltage: float, winding_share: float = WINDING_SHARE) -> float:
    """Flow at another voltage over rated flow, (V/V_r − a)/(1 − a), not below 0.

    voltage: V at the plug, V; rated_voltage: V_r, V; winding_share: a = I·R/V_r. Valid 0.75 ≤ V/V_r ≤ 1.15.
    Raises ValueError unless V_r > 0 and 0 ≤ a < 1. Source: a permanent-magnet motor at constant torque turns in
    proportion to V − I·R, derived; a common practice.

    >>> round(voltage_factor(12.6, 13.5), 4)
    0.8889
    """
    if rated_voltage <= 0.0 or not 0.0 <= winding_share < 1.0:
        raise ValueError("rated voltage must be positive and the winding's share lies from 0 to below 1")
    return max(0.0, (voltage / rated_voltage - winding_share) / (1.0 - winding_share))


def required_pump_flow(mass_flow: float, density: float) -> float:
    """Pump flow wanted, 1.2·ṁ/ρ.

    mass_flow: ṁ, kg/s; density: ρ, kg/m³. Returns m³/s. Raises ValueError unless density is positive.
    Source: 20 % reserve, common practice.

    >>> round(required_pump_flow(0.0252, 745.0) * 1e5, 3)
    4.059
    """
    if density <= 0.0:
        raise ValueError("density must be positive")
    return PUMP_RESERVE * mass_flow / density


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Darcy friction factor: 64/Re below Re 2300, else 0.25/[log₁₀(ε/3.7 + 5.74/Re^0.9)]².

    reynolds: Re > 0; relative_roughness: ε = e/d, 0 to 0.05. Raises ValueError outside that.
    Source: Hagen–Poiseuille; Swamee & Jain 1976, Journal of the Hydraulics Division, ASCE (Re 5000 to 10⁸; used from 2300
    on, where it is on the safe side).

    >>> round(friction_factor(1.0e5, 1.0e-4), 5)
    0.01845
    """
    if reynolds <= 0.0 or not 0.0 <= relative_roughness <= 0.05:
        raise ValueError("the Reynolds number must be positive and roughness at most a twentieth of the diameter")
    if reynolds < LAMINAR_LIMIT:
        return 64.0 / reynolds
    return 0.25 / math.log10(relative_roughness / 3.7 + 5.74 / math.pow(reynolds, 0.9)) ** 2


def line_flow(
    flow: float, diameter: float, length: float, roughness: float, density: float, viscosity: float, fittings: float = FITTINGS
) -> tuple[float, float, float]:
    """Velocity, Reynolds number and pressure drop of a line, v = 4Q/(πd²), Re = ρvd/μ, Δp = (f·L/d + K)·ρv²/2.

    flow: Q, m³/s; diameter: d, m; length: L, m; roughness: e, m; density: ρ, kg/m³; viscosity: μ, Pa·s; fittings: K.
    Returns (m/s, 1, Pa). Raises ValueError unless the line has a size and the flow is not negative.
    Source: Darcy–Weisbach with `friction_factor`.

    >>> velocity, reynolds, drop = line_flow(255e-3 / 3600, 0.008, 4.0, 1.5e-6, 745.0, 0.45e-3)
    >>> round(velocity, 3), round(reynolds), round(drop, -1)
    (1.409, 18664, 12100.0)
    """
    if flow < 0.0 or min(diameter, length, density, viscosity) <= 0.0:
        raise ValueError("a line has a diameter and a length, and its flow is not negative")
    velocity = 4.0 * flow / (math.pi * diameter**2)
    if velocity == 0.0:
        return 0.0, 0.0, 0.0
    reynolds = density * velocity * diameter / viscosity
    factor = friction_factor(reynolds, roughness / diameter)
    return velocity, reynolds, (factor * length / diameter + fittings) * density * velocity**2 / 2.0


def air_demand(displacement: float, speed: float, volumetric_efficiency: float) -> float:
    """Air a four-stroke engine breathes, V̇ = V_d/2·ω/(2π)·η_v.

    displacement: V_d, m³; speed: ω, rad/s; volumetric_efficiency: η_v, 0.6 to 1.2. Returns m³/s.
    Raises ValueError unless all are positive. Source: one filling in two turns, derived.

    >>> round(air_demand(350 * 0.0254**3, 5500 * math.pi / 30, 0.85), 4)
    0.2234
    """
    if min(displacement, speed, volumetric_efficiency) <= 0.0:
        raise ValueError("displacement, speed and volumetric efficiency must be positive")
    return displacement / 2.0 * speed / (2.0 * math.pi) * volumetric_efficiency


def airflow_at_drop(airflow: float, rated_drop: float, drop: float = FOUR_BARREL_DROP) -> float:
    """A carburetor's airflow at another pressure drop, V̇·√(Δp/Δp_r); by default at 1.5 inHg.

    airflow: rated, m³/s; rated_drop: Δp_r, Pa; drop: Δp, Pa. Returns m³/s. Raises ValueError unless all are positive.
    Source: V̇ ∝ √Δp, derived; the drops of ratings common practice.

    >>> round(airflow_at_drop(0.2, 3.0 * 3386.389), 4)
    0.1414
    """
    if min(airflow, rated_drop, drop) <= 0.0:
        raise ValueError("airflow and pressure drops must be positive")
    return airflow * math.sqrt(drop / rated_drop)
