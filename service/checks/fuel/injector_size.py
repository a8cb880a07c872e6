"""Whether the injectors are big enough, and not too big.

An injector that is open all the time has nothing left, and the engine leans out at full throttle, where it breaks. One
far too big cannot meter idle. The flow on the sheet holds at its own pressure; flow grows with the root of pressure.
Flow sheets are measured with a lighter test fluid: ±3 % is normal. Watch for a rail pressure read with the hose to the
manifold off, and for flow in cc/min of another fuel. Pressure-test the system and look for leaks running and an hour
later, away from any flame.
"""

from __future__ import annotations

from typing import Any

from service.calc import fuel as calc
from service.checks.core import Check, Fix, Missing, Outcome, Shown, Unknown, common_practice, derived, need, option
from service.checks.fuel.shared import CONSUMPTION_BASIS, burning, fuel_of, power

#: Duty above which it fails, above which it is a caution, and below which idle is hard to meter. Common practice.
HIGHEST_DUTY, WISE_DUTY, LOWEST_DUTY = 0.90, calc.SIZING_DUTY, 0.30
#: Pressure over rated pressure for which the root law is trusted. Common practice.
PRESSURE_RATIOS = (0.5, 2.0)
KINDS = ("port_injection", "throttle_body_injection")


def _rated_flow(x: Any, density: float) -> float:
    if x.has("mass_flow"):
        return float(x.mass_flow)
    if x.has("flow"):
        return float(x.flow) * density
    raise Missing("mass_flow")


def _pressure_across(x: Any) -> float:
    """Pressure across the injector, Pa: a regulator open to the air sees boost as a loss."""
    across = float(x.pressure - (x.boost_pressure if x.pressure_reference == "atmosphere" else 0.0))
    if across <= 0.0:
        raise Unknown("boost leaves no pressure across the injectors")
    if not PRESSURE_RATIOS[0] <= across / x.rated_pressure <= PRESSURE_RATIOS[1]:
        raise Unknown("the injectors are rated at a pressure too far from the rail's: get their flow at the real pressure")
    return across


def judge(x: Any, out: Outcome) -> None:
    """Flow each injector gives against what the engine needs of it."""
    fuel = fuel_of(x)
    if x.fuel == "diesel":
        raise Unknown("this is not for compression-ignition injectors")
    needed = calc.fuel_mass_flow(power(x), x.bsfc) / x.count
    out.value("required_flow", needed / WISE_DUTY)
    available = out.value("available_flow", calc.injector_flow(_rated_flow(x, fuel.density), _pressure_across(x), x.rated_pressure))
    out.value("duty", needed / available)
    out.at_most("duty", HIGHEST_DUTY, WISE_DUTY, why="an injector open more than 90 % of the time has nothing left")
    out.at_least("duty", caution=LOWEST_DUTY, why="so large an injector meters idle badly")


def say(s: Any) -> str:
    """The finding in words."""
    text = (f"At full power the injectors are open {s.percent(s.v['duty'])} of the time; each gives {s.available_flow} "
            f"and {s.required_flow} keeps it at 80 %.")
    if s.v["duty"] > WISE_DUTY or s.verdict == "fail":
        text += " Do not go to full throttle until this passes."
    if s.v["duty"] < LOWEST_DUTY:
        text += " They are large for this engine: idle and small pulses are hard to control."
    return text


CHECK = Check(
    title="Are the injectors big enough, and not too big?",
    system="fuel",
    safety=False,
    applies=lambda car, position: car.value("fuel_system.kind") in KINDS,
    inputs=[
        *burning(),
        need("injector.count"),
        option("injector.mass_flow"),
        option("injector.flow"),
        need("injector.rated_pressure"),
        need("fuel_system.pressure"),
        option("fuel_system.pressure_reference", default="manifold"),
    ],
    either=[(("mass_flow",), ("flow",))],
    values={
        "required_flow": Shown("flow wanted of one injector", "mass_flow", "lb/h"),
        "available_flow": Shown("flow of one injector at this pressure", "mass_flow", "lb/h"),
        "duty": Shown("share of time open at full power", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("injector.mass_flow"),
        Fix("injector.flow"),
        Fix("fuel_system.pressure", "if the pump still keeps up"),
        Fix("injector.count", "where the manifold takes them"),
    ],
    formula="ṁ_a = ṁ_r·√(Δp/p_r); ṁ_n = P·b/n; duty = ṁ_n/ṁ_a; wanted ṁ_n/0.80",
    basis=[
        derived("flow through an orifice grows with the root of pressure (Bernoulli)"),
        common_practice("duty at most 0.90, sized at 0.80, not below 0.30"),
        CONSUMPTION_BASIS,
    ],
)
