"""Whether each fuel line is big enough, and its hose fit for the pressure.

A narrow suction line makes vapor before the pump; a narrow return lifts the regulated pressure. Low-pressure hose on an
injection rail bursts. Copper work-hardens and cracks with vibration. Fittings and bends count as three velocity heads.
The figures size a line; they do not prove it tight: pressure-test it.
"""

from __future__ import annotations

from typing import Any

from service.calc import fuel as calc
from service.checks.core import Check, Fix, Missing, Outcome, Shown, common_practice, need, on_car, option, published
from service.checks.fuel.shared import fuel_of

#: By role: pressure drop that fails, that is a caution, Pa; velocity that fails, that is a caution, m/s. Common practice.
LIMITS: dict[str, tuple[float, float, float | None, float | None]] = {
    "suction": (10e3, 5e3, 2.0, 1.0),
    "pressure": (50e3, 20e3, None, 3.0),
    "return": (35e3, 15e3, None, None),
}
WHY = {"suction": "it makes vapor before the pump", "pressure": "the pump has to make it up", "return": "it lifts the regulated pressure"}
#: Pressure that low-pressure hose is not for, Pa. Common practice.
LOW_PRESSURE_HOSE = 100e3


def _hose_overloaded(x: Any) -> bool:
    return bool(x.material == "hose_low_pressure" and x.role == "pressure" and x.has("system_pressure") and x.system_pressure > LOW_PRESSURE_HOSE)


def _flow(x: Any) -> float:
    if x.has("flow"):
        return float(x.flow)
    if x.role == "return" or not x.has("pump_flow"):
        raise Missing("flow")
    return float(x.pump_flow * x.pump_count)


def judge(x: Any, out: Outcome) -> None:
    """The material, then velocity and pressure drop for the line's role."""
    with out.part():
        out.must(not _hose_overloaded(x), "low-pressure hose at injection pressure bursts: fit injection-rated hose and clamps", of="material")
        out.must(x.material != "copper", "copper work-hardens and cracks: use steel, nylon or rated hose", "caution", of="material")
    role, diameter, length, flow = x.role, x.inner_diameter, x.length, _flow(x)
    fuel = calc.FUELS[x.fuel] if _hose_overloaded(x) else fuel_of(x)
    roughness = calc.ROUGHNESS.get(x.material, calc.SMOOTH_ROUGHNESS)
    velocity, reynolds, drop = calc.line_flow(flow, diameter, length, roughness, fuel.density, fuel.viscosity)
    out.value("velocity", velocity)
    out.value("reynolds_number", reynolds)
    out.value("pressure_drop", drop)
    drop_fail, drop_caution, speed_fail, speed_caution = LIMITS[role]
    out.at_most("pressure_drop", drop_fail, drop_caution, why=WHY[role])
    out.at_most("velocity", speed_fail, speed_caution, why=WHY[role])


def say(s: Any) -> str:
    """The finding in words."""
    broken = [item for item in s.limits if item.violated]
    materials = [item.why for item in broken if item.of == "material"]
    text = f"{materials[0][:1].upper()}{materials[0][1:]}. " if materials else ""
    if "velocity" in s.v:
        flow = s.show(_flow(s.x), "volume_flow", "L/h")
        text += f"At {flow} the {s.position} line loses {s.pressure_drop} and runs {s.velocity}."
    if any(item.of != "material" for item in broken):
        much = "too much" if any(item.of != "material" and item.verdict == "fail" for item in broken) else "more than is wise"
        text += f" That is {much} for a {s.role} line: {WHY[s.x.role]}. A wider or shorter one helps."
    return text.strip()


CHECK = Check(
    title="Is each fuel line big enough?",
    system="fuel",
    safety=_hose_overloaded,
    at=("label", "fuel_line"),
    applies=on_car("fuel_line@here"),
    inputs=[
        need("fuel_line.inner_diameter@here"),
        need("fuel_line.length@here"),
        need("fuel_line.role@here"),
        option("fuel_line.flow@here"),
        option("fuel_pump.flow", "pump_flow"),
        option("fuel_pump.count", "pump_count", default=1),
        option("fuel_line.material@here", default="steel"),
        option("fuel_system.pressure", "system_pressure"),
        option("fuel_system.fuel", default="gasoline"),
        option("engine.fuel", "engine_fuel"),
    ],
    either=[(("flow",), ("pump_flow",))],
    values={
        "velocity": Shown("velocity", "speed", "ft/s"),
        "reynolds_number": Shown("Reynolds number", "dimensionless"),
        "pressure_drop": Shown("pressure drop", "pressure", "kPa"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("fuel_line.inner_diameter@here"), Fix("fuel_line.length@here")],
    formula="v = 4Q/(πd²); Re = ρvd/μ; f = 64/Re or 0.25/[log₁₀(e/(3.7d) + 5.74/Re^0.9)]²; Δp = (f·L/d + 3)·ρv²/2",
    basis=[
        published("Darcy–Weisbach; Swamee & Jain 1976, Journal of the Hydraulics Division, ASCE"),
        common_practice("limits by role; three velocity heads for fittings; low-pressure hose up to 100 kPa"),
    ],
)
