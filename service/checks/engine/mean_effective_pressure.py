"""Is the torque believable for the size?

Mean effective pressure is torque made independent of size. Ordinary naturally aspirated spark-ignition engines reach 850
to 1050 kPa and turbocharged ones 1250 to 1700 kPa; tuned engines more. A figure far outside is a wrong unit or another
engine's sheet.
"""

from __future__ import annotations

from typing import Any

from service.calc import engine as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, on_car, option, published
from service.checks.core import need as required
from service.checks.driveline.shared import wanted

#: (caution, fail) in Pa. Common practice for tuned engines, above the ordinary figures of Heywood, section 2.7 (compared with a public table).
NATURAL = {"four_stroke": (1300e3, 1550e3), "two_stroke": (1000e3, 1400e3)}
NATURAL_DIESEL, BOOST_UNKNOWN, BOOST_UNKNOWN_DIESEL, NITROUS = (1000e3, 1200e3), (2200e3, 4000e3), (2500e3, 3500e3), (2000e3, 3500e3)
#: Below this the unit or the engine is wrong, Pa. Common practice.
LOW = 550e3


def judge(x: Any, out: Outcome) -> None:
    """Pressure at the torque peak against what such engines reach."""
    volume = _displacement(x)
    if x.has("peak_power"):
        if x.has("peak_power_speed"):
            torque = calc.torque_from_power(x.peak_power, x.peak_power_speed)
            out.value("peak_power_pressure", calc.mean_effective_pressure(torque, volume, x.cycle))
        out.value("power_density", x.peak_power / volume)
    pressure = out.value("peak_torque_pressure", calc.mean_effective_pressure(x.peak_torque, volume, x.cycle))
    caution, fail = limits(x)
    out.at_most("peak_torque_pressure", fail, caution, why="what such engines reach")
    out.at_least("peak_torque_pressure", caution=LOW, why="lower is a wrong unit or another engine", value=pressure)


def _displacement(x: Any) -> float:
    if x.has("bore", "stroke", "cylinders"):
        return calc.displacement(x.bore, x.stroke, x.cylinders)
    if not x.has("displacement"):
        wanted(x, "bore", "stroke", "cylinders")
    return float(x.displacement)


def limits(x: Any) -> tuple[float, float]:
    """(caution, fail) in Pa for this engine."""
    diesel = x.fuel == "diesel"
    natural = NATURAL_DIESEL if diesel else NATURAL[x.cycle]
    if x.aspiration == "nitrous":
        return NITROUS
    if x.aspiration == "natural":
        return natural
    if x.has("boost_pressure"):
        rise = 1 + x.boost_pressure / calc.ATMOSPHERE
        return natural[0] * rise, natural[1] * rise
    return BOOST_UNKNOWN_DIESEL if diesel else BOOST_UNKNOWN


def say(s: Any) -> str:
    """The finding in words."""
    kind = {"natural": "naturally aspirated", "nitrous": "nitrous-fed"}.get(s.x.aspiration, s.x.aspiration)
    size = s.show(_displacement(s.x), "volume", "cu in")
    caution = s.show(limits(s.x)[0], "pressure", "kPa")
    text = f"{s.peak_torque} from {size} is a mean effective pressure of {s.peak_torque_pressure}; {kind} engines reach {caution}"
    if s.v["peak_torque_pressure"] < LOW:
        return f"{text}. This is so little that the unit or the engine is wrong."
    if s.verdict == "fail":
        return f"{text}. The claim is not believable: check the unit, the size and the boost."
    return f"{text}." if not any(limit.violated for limit in s.limits) else f"{text}. Only the best of them get so far: look at the sheet again."


CHECK = Check(
    title="Is the torque believable for the size?",
    system="engine",
    safety=False,
    applies=on_car("engine"),
    inputs=[
        required("engine.peak_torque"),
        option("engine.bore"), option("engine.stroke"), option("engine.cylinders"),
        option("engine.displacement"),
        option("engine.cycle", default="four_stroke", why="four-stroke unless recorded"),
        option("engine.aspiration", default="natural", why="natural unless recorded"),
        option("engine.boost_pressure"),
        option("engine.fuel"),
        option("engine.peak_power"), option("engine.peak_power_speed"),
    ],
    either=[(("bore", "stroke", "cylinders"), ("displacement",))],
    values={
        "peak_torque_pressure": Shown("mean effective pressure at the torque peak", "pressure", "kPa"),
        "peak_power_pressure": Shown("mean effective pressure at the power peak", "pressure", "kPa"),
        "power_density": Shown("power for the size", "power_density", "hp/L"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("engine.boost_pressure")],
    formula="p = 2π n_R T/V, n_R = 2 four-stroke, 1 two-stroke; power density P/V",
    basis=[
        published("mean effective pressure: Heywood, Internal Combustion Engine Fundamentals, chapter 2"),
        published("850 to 1050 kPa naturally aspirated, 1250 to 1700 kPa turbocharged for ordinary engines: Heywood, section 2.7 (compared with an "
                  "engineering encyclopedia's table)"),
        common_practice("limits above them for tuned engines"),
    ],
)
