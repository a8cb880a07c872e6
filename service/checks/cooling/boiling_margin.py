"""How far the coolant is from boiling under its cap.

The cap's pressure raises the boiling point, altitude lowers it, glycol raises it a little. A tired cap holds less than
its stamp: test it. At the exhaust seats boiling starts earlier. Never open a hot pressurized system; antifreeze
poisons people and animals.
"""

from __future__ import annotations

from typing import Any

from service.calc import cooling as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, any_of, common_practice, derived, need, on_car, option, published

#: Highest steady coolant temperature, K (105 °C). Common practice.
HIGHEST = 378.15
#: Kelvins in hand: less than the first fails, less than the second is a caution. Common practice.
LEAST, WISE = 5.0, 12.0
#: Richest mix offered as a remedy: beyond it frost protection turns back. Common practice.
RICHEST_REMEDY = 0.60
#: Where the method holds: glycol share, cap pressure, Pa, altitude, m. Source: range of the comparison with CoolProp.
RICHEST, STRONGEST_CAP, HIGHEST_ALTITUDE = 0.70, 250e3, 4500.0


def judge(x: Any, out: Outcome) -> None:
    """Boiling point at the cap's pressure against the highest temperature allowed, and the cap against the parts."""
    if x.has("pressure_rating"):
        out.at_most("cap_pressure", x.pressure_rating, value=x.cap_pressure, why="the radiator's highest pressure")
    try:
        _boiling(x, out)
    except Unknown:
        # A mix outside the method is no excuse for a cap that is too strong.
        if out.verdict != "fail":
            raise


def _boiling(x: Any, out: Outcome) -> None:
    if x.glycol_fraction > RICHEST:
        raise Unknown("the method does not hold above 70 % glycol")
    if x.glycol_fraction > max(x.recorded_share, RICHEST_REMEDY):
        raise Unknown("a mix richer than 60 % is no remedy")
    if x.cap_pressure > STRONGEST_CAP:
        raise Unknown("the method does not hold for caps above 250 kPa (36 psi)")
    if x.altitude > HIGHEST_ALTITUDE:
        raise Unknown("the method does not hold above 4,500 m")
    pressure = out.value("absolute_pressure", calc.air_pressure(x.altitude) + x.cap_pressure)
    boiling = out.value("boiling_temperature", calc.boiling_temperature(pressure, x.glycol_fraction, x.glycol_type))
    out.value("margin_temperature", boiling - x.highest_temperature)
    out.at_least("margin_temperature", LEAST, WISE, why="5 K in hand at least, 12 K for hot spots and a tired cap")


def say(s: Any) -> str:
    """The finding in words."""
    too_strong = f"The {s.cap_pressure} cap holds more than the radiator's {s.pressure_rating}: the radiator lets go first."
    if "margin_temperature" not in s.v:
        return f"{too_strong} Fit a cap of at most {s.pressure_rating}."
    margin = s.v["margin_temperature"]
    text = f"With a {s.cap_pressure} cap at {s.altitude if s.x.altitude else 'sea level'} the coolant boils at {s.boiling_temperature}; "
    text += f"that leaves {s.margin_temperature} above your {s.highest_temperature}." if margin >= 0 else \
        f"that is {s.show(-margin, 'temperature_difference')} below your {s.highest_temperature}."
    if any(item.of == "cap_pressure" and item.violated for item in s.limits):
        text += f" {too_strong}"
    elif margin < WISE:
        text += " A stronger cap helps, up to the weakest of radiator, heater core and hoses."
    return text


CHECK = Check(
    title="How far is the coolant from boiling?",
    system="cooling",
    safety=False,
    applies=any_of(on_car("radiator"), on_car("coolant")),
    inputs=[
        need("coolant.glycol_fraction"),
        need("radiator.cap_pressure"),
        option("coolant.glycol_type", default="ethylene"),
        option("cooling.altitude", default=0.0),
        option("coolant.highest_temperature", default=HIGHEST),
        option("radiator.pressure_rating"),
        option("coolant.glycol_fraction", "recorded_share"),
    ],
    values={
        "absolute_pressure": Shown("absolute pressure under the cap", "pressure", "kPa"),
        "boiling_temperature": Shown("boiling point", "temperature", "degC"),
        "margin_temperature": Shown("margin to boiling", "temperature_difference", "K"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("radiator.cap_pressure", "up to the lowest rating of radiator, heater core and hoses"),
        Fix("coolant.glycol_fraction"),
        Fix("coolant.highest_temperature"),
    ],
    formula="x_w·p_w(T) + (1 − x_w)·p_g(T) = p_atm(h) + p_cap (Raoult, Antoine); margin = T − T_max",
    basis=[
        derived("Raoult's law for an ideal mix"),
        published("vapor pressures: Perry's Chemical Engineers' Handbook, 8th edition (ethylene mixes compared within 0.2 K from 1 to 2.5 bar, "
                  "propylene within 0.8 K); water compared with CoolProp within 0.45 K from 85 °C on"),
        published("public maintenance figures for a 50 % ethylene mix: 226 °F open, 265 °F under 15 psi; both met within 1 K"),
        common_practice("5 K and 12 K in hand"),
    ],
)
