"""Whether the exhaust pipe is big enough.

Above about Mach 0.3 the pipe costs power; far below, it only makes noise and takes ground clearance. The gas cools on
its way: take the narrowest place and the temperature there. Watch for an outside diameter typed for the inside, and for
pipes counted that do not share the whole flow.
"""

from __future__ import annotations

from typing import Any

from service.calc import exhaust as calc
from service.calc.fuel import fuel_mass_flow
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, on_car, option
from service.checks.fuel.shared import CONSUMPTION_BASIS, burning, fuel_of, power

#: Mach numbers: above the first it fails, above the second or below the third it is a caution. Common practice.
HIGHEST, WISE, LOWEST = 0.40, 0.30, 0.10
#: Gas temperature in the pipe and its spread, K. Common practice.
GAS_TEMPERATURE, GAS_SPREAD = 800.0, 75.0
#: Inside diameters of stock pipe, m: outside less two walls.
STOCK = tuple((outside - 2 * calc.STOCK_WALL) * 0.0254 for outside in calc.STOCK_OUTSIDE)


def judge(x: Any, out: Outcome) -> None:
    """Velocity and Mach number of the gas at full power."""
    burned = fuel_mass_flow(power(x), x.bsfc)
    mass_flow = out.value("exhaust_mass_flow", calc.exhaust_mass_flow(burned, fuel_of(x).air_to_fuel))
    velocity = out.value("gas_velocity", calc.gas_velocity(mass_flow, x.pipe_diameter, x.pipe_count, x.gas_temperature))
    out.value("mach", calc.mach_number(velocity, x.gas_temperature))
    out.at_most("mach", HIGHEST, WISE, why="above Mach 0.3 the pipe costs power")
    out.at_least("mach", caution=LOWEST, why="larger than useful")


def say(s: Any) -> str:
    """The finding in words."""
    text = f"At full power the gas moves at {s.gas_velocity} (Mach {s.v['mach']:.2f})"
    if s.v["mach"] > WISE:
        return f"{text}: the pipe is small and costs power; a larger one, or two, brings it under Mach 0.3."
    if s.v["mach"] < LOWEST:
        return f"{text}: the pipe is larger than useful, which costs ground clearance and makes noise."
    return f"{text}; up to Mach 0.3 the pipe costs little."


CHECK = Check(
    title="Is the pipe big enough?",
    system="exhaust",
    safety=False,
    applies=on_car("exhaust"),
    inputs=[
        *burning(),
        need("exhaust.pipe_diameter"),
        option("exhaust.pipe_count", default=1),
        option("exhaust.gas_temperature", default=GAS_TEMPERATURE, tolerance=GAS_SPREAD),
    ],
    values={
        "exhaust_mass_flow": Shown("exhaust gas at full power", "mass_flow", "lb/h"),
        "gas_velocity": Shown("gas velocity", "speed", "ft/s"),
        "mach": Shown("Mach number", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("exhaust.pipe_diameter", "inside; the stock size is an outside size less two walls of 0.065 in", stock=STOCK),
        Fix("exhaust.pipe_count"),
    ],
    formula="ṁ = P·b·(1 + AFR); ρ = 101325/(287·T); v = ṁ/(ρ·n·π·d²/4); M = v/√(1.35·287·T)",
    basis=[
        derived("continuity and the speed of sound of an ideal gas"),
        common_practice("Mach 0.3, which is the trade's 2.2 cfm per horsepower through 115 cfm per square inch within 5 % (compared with a public pipe table)"),
        CONSUMPTION_BASIS,
    ],
)
