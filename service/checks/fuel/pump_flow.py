"""Whether the pump keeps up at the real pressure and voltage.

A pump's flow falls with pressure and with voltage; the figure on the box is often taken at neither. A curve quoted at
12 V and judged at 13.5 V is no fault, the reverse is the common one. Low voltage at the plug is mended in the wiring,
not with a larger pump. Keep ignition sources away from any open fuel line.
"""

from __future__ import annotations

from typing import Any

from service.calc import fuel as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, common_practice, derived, need, on_car, option
from service.checks.fuel.shared import CONSUMPTION_BASIS, burning, fuel_of, power

#: Available over required flow below which it is a caution. Common practice.
WISE_RATIO = 1.1
#: Rated voltage, and voltage at the plug with its spread, V. Common practice.
RATED_VOLTAGE, PLUG_VOLTAGE, PLUG_SPREAD = 13.5, 13.0, 0.5
#: Voltage over rated voltage for which the motor's law is trusted. Common practice.
VOLTAGE_RATIOS = (0.75, 1.15)
#: How far past its second point a curve is drawn on. Common practice.
EXTRAPOLATION = 1.25


def _working_pressure(x: Any) -> float:
    return float(x.pressure + (x.boost_pressure if x.pressure_reference == "manifold" else 0.0))


def _one_pump(x: Any, pressure: float) -> float:
    """Flow of one pump at the working pressure and rated voltage, m³/s."""
    flow, rated = float(x.flow), float(x.rated_pressure)
    if x.has("second_flow", "second_pressure"):
        if pressure > max(rated, EXTRAPOLATION * x.second_pressure):
            raise Unknown("the system's pressure lies far past the pump's curve: get the figure at that pressure")
        if x.flow != x.recorded_flow and pressure > x.second_pressure:
            raise Unknown("past the second point of its curve another flow at the first point tells nothing")
        return calc.curve_flow(pressure, (rated, flow), (x.second_pressure, x.second_flow))
    if rated < pressure * (1 - 1e-9):
        raise Unknown(f"the flow is quoted at {rated / 1e3:.0f} kPa ({rated / 6894.757:.0f} psi), the system runs at "
                      f"{pressure / 1e3:.0f} kPa ({pressure / 6894.757:.0f} psi): get the figure at that pressure")
    return flow


def _voltage_factor(x: Any) -> float:
    if x.drive == "mechanical":
        return 1.0
    if not VOLTAGE_RATIOS[0] <= x.voltage / x.rated_voltage <= VOLTAGE_RATIOS[1]:
        raise Unknown("the voltage at the plug is too far from the one the flow is quoted at")
    return calc.voltage_factor(x.voltage, x.rated_voltage)


def judge(x: Any, out: Outcome) -> None:
    """Flow at the working pressure and voltage against what the engine needs, with a fifth in hand."""
    fuel = fuel_of(x)
    required = out.value("required_flow", calc.required_pump_flow(calc.fuel_mass_flow(power(x), x.bsfc), fuel.density))
    available = out.value("available_flow", x.count * _one_pump(x, _working_pressure(x)) * _voltage_factor(x))
    out.value("flow_ratio", available / required)
    out.at_least("flow_ratio", 1.0, WISE_RATIO, why="what the engine needs with 20 % in hand")


def say(s: Any) -> str:
    """The finding in words."""
    at = s.show(_working_pressure(s.x), "pressure", "kPa")
    volts = "" if s.x.drive == "mechanical" else f" and {s.voltage}"
    text = f"The pump gives {s.available_flow} at {at}{volts}; the engine needs {s.required_flow} with 20 % in hand."
    if s.verdict != "pass" and s.x.drive != "mechanical" and s.x.voltage < s.x.rated_voltage:
        text += f" It is rated at {s.rated_voltage}: see what the wiring loses before buying a larger pump."
    if s.verdict == "fail":
        text += " Do not go to full throttle until this passes."
    return text


CHECK = Check(
    title="Does the pump keep up at real pressure and voltage?",
    system="fuel",
    safety=False,
    applies=on_car("fuel_pump"),
    inputs=[
        *burning(),
        need("fuel_pump.flow"),
        option("fuel_pump.flow", "recorded_flow"),
        need("fuel_pump.rated_pressure"),
        need("fuel_system.pressure"),
        option("fuel_system.pressure_reference", default="manifold"),
        option("fuel_pump.rated_voltage", default=RATED_VOLTAGE),
        option("fuel_pump.voltage", default=PLUG_VOLTAGE, tolerance=PLUG_SPREAD),
        option("fuel_pump.drive", default="electric"),
        option("fuel_pump.count", default=1),
        option("fuel_pump.second_flow"),
        option("fuel_pump.second_pressure"),
    ],
    values={
        "required_flow": Shown("flow wanted", "volume_flow", "L/h"),
        "available_flow": Shown("flow of the pump as it runs", "volume_flow", "L/h"),
        "flow_ratio": Shown("flow over flow wanted", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("fuel_pump.flow"), Fix("fuel_pump.count"), "low voltage at the plug: mend the wiring"],
    formula="Q_a = n·q(p)·(V/V_r − a)/(1 − a), a = 0.40; Q_r = 1.2·P·b/ρ",
    basis=[
        derived("a permanent-magnet motor at constant torque turns in proportion to V − I·R"),
        common_practice("a = 0.3 to 0.5; 20 % in hand; ratio 1.1"),
        CONSUMPTION_BASIS,
    ],
)
