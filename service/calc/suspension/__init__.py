"""Suspension formulas: anti-roll bars, ride, balance, travel, double-wishbone kinematics."""

from __future__ import annotations

from service.calc.suspension.balance import Axle, Balance, corner_balance, spring_roll_stiffness
from service.calc.suspension.bar import BarRate, bar_rate, bar_roll_stiffness, inner_diameter, stiffness_ratio
from service.calc.suspension.front_view import FrontView, Kingpin, front_view, kingpin
from service.calc.suspension.relocation import Relocation, arm_normal, relocated
from service.calc.suspension.ride import (
    UNSPRUNG_SHARE,
    flat_ride_speed,
    frequency,
    ride_rate,
    sprung_corner_mass,
    static_deflection,
    wheel_rate,
)
from service.calc.suspension.travel import (
    RIM_FLANGE_HEIGHT,
    bump_travel,
    clearance_at_full_bump,
    clearance_with_flat_tire,
    damper_margin,
    damper_position,
    droop_travel,
    section_height,
)
from service.calc.suspension.wishbone import Linkage, LinkageError, Position, WheelTravel

__all__ = [
    "RIM_FLANGE_HEIGHT",
    "UNSPRUNG_SHARE",
    "Axle",
    "Balance",
    "BarRate",
    "FrontView",
    "Kingpin",
    "Linkage",
    "LinkageError",
    "Position",
    "Relocation",
    "WheelTravel",
    "arm_normal",
    "bar_rate",
    "bar_roll_stiffness",
    "bump_travel",
    "clearance_at_full_bump",
    "clearance_with_flat_tire",
    "corner_balance",
    "damper_margin",
    "damper_position",
    "droop_travel",
    "flat_ride_speed",
    "frequency",
    "front_view",
    "inner_diameter",
    "kingpin",
    "relocated",
    "ride_rate",
    "section_height",
    "spring_roll_stiffness",
    "sprung_corner_mass",
    "static_deflection",
    "stiffness_ratio",
    "wheel_rate",
]
