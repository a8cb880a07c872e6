"""Cooling: air, radiator, coolant and mounting. SI floats in, SI floats out."""

from service.calc.cooling.air import AIR_HEAT_CAPACITY, SEA_LEVEL_PRESSURE, air_density, air_pressure, fan_airflow, swept_share
from service.calc.cooling.coolant import boiling_temperature, freeze_temperature, vapor_pressure, water_mole_fraction
from service.calc.cooling.mounting import CORE_GAP, ENGINE_GAP, allowed_misalignment, height_window
from service.calc.cooling.radiator import (
    conductance_at,
    core_conductance,
    cross_flow_effectiveness,
    idle_heat,
    settled_coolant,
)

__all__ = [
    "AIR_HEAT_CAPACITY",
    "CORE_GAP",
    "ENGINE_GAP",
    "SEA_LEVEL_PRESSURE",
    "air_density",
    "air_pressure",
    "allowed_misalignment",
    "boiling_temperature",
    "conductance_at",
    "core_conductance",
    "cross_flow_effectiveness",
    "fan_airflow",
    "freeze_temperature",
    "height_window",
    "idle_heat",
    "settled_coolant",
    "swept_share",
    "vapor_pressure",
    "water_mole_fraction",
]
