"""Engine power against the transmission.

The rating is the maker's or builder's figure for the engine in front of it. Without one, the trade's rule decides: an
engine over about 600 hp calls for a heavy-duty automatic. A bursting automatic throws parts and hot fluid. Watch for
wheel figures typed as crank power, and for ratings that hold for a fluid, a converter or a shift kit that is not fitted.
"""

from __future__ import annotations

from typing import Any

from service.calc.engine import crank_power
from service.checks.core import Check, Fix, Missing, Outcome, Shown, common_practice, derived, need, on_car, option
from service.checks.driveline.shared import transmission_type

#: Share of the rating from which little is left. Common practice.
CAUTION_SHARE = 0.9
#: Engine power from which an automatic has to be a heavy-duty one, W (600 hp). Common practice.
HEAVY_DUTY_POWER = 600 * 745.6998715822702
RULE = "above about 600 hp an automatic has to be a heavy-duty one"


def judge(x: Any, out: Outcome) -> None:
    """Power over rating; without a rating the rule of 600 hp."""
    power = out.value("engine_power", crank_power(x.peak_power, x.power_basis))
    standard_automatic = x.transmission_type == "automatic" and x.duty == "standard"
    if x.has("input_power_rating"):
        out.value("used_fraction", power / x.input_power_rating)
        out.at_most("used_fraction", 1.0, CAUTION_SHARE, why="the rating, caution above 90 % of it")
        if standard_automatic:
            out.at_most("engine_power", caution=HEAVY_DUTY_POWER, why=RULE)
    elif standard_automatic and power > HEAVY_DUTY_POWER:
        out.at_most("engine_power", fail=HEAVY_DUTY_POWER, why=RULE)
        out.advise("a heavy-duty automatic, with its builder's power rating recorded")
    elif x.transmission_type == "automatic" and x.duty == "heavy_duty" and power > HEAVY_DUTY_POWER:
        out.must(False, "a heavy-duty automatic without a figure: get the builder's power rating", "caution", of="engine_power")
    else:
        raise Missing("input_power_rating")


def say(s: Any) -> str:
    """The finding in words."""
    over = s.v["engine_power"] > HEAVY_DUTY_POWER
    if "used_fraction" not in s.v:
        first = f"The engine makes {s.engine_power} and the transmission has no recorded rating"
        return f"{first}: a heavy-duty one is right at this power; get the builder's figure." if s.x.duty == "heavy_duty" else (
            f"{first}; a standard automatic is not enough above about 600 hp. Fit a heavy-duty automatic.")
    share = s.v["used_fraction"]
    text = f"The engine makes {s.engine_power}; the transmission is rated for {s.input_power_rating}: {s.percent(share)} of it"
    text += "." if share <= CAUTION_SHARE else ", which leaves little in hand." if share <= 1 else ". It is too weak for this engine."
    return text + (" Above about 600 hp fit a heavy-duty automatic." if over and s.x.duty == "standard" and s.x.transmission_type == "automatic" else "")


CHECK = Check(
    title="Engine power against the transmission",
    system="driveline",
    safety=True,
    applies=on_car("engine", "transmission"),
    reads=("car",),
    inputs=[
        need("engine.peak_power"),
        option("transmission.input_power_rating"),
        option("transmission.duty"),
        transmission_type(),
        option("engine.power_basis", default="net", why="crank power unless said otherwise"),
    ],
    values={
        "engine_power": Shown("power at the crank", "power", "hp"),
        "used_fraction": Shown("power over the transmission's rating", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("transmission.input_power_rating", "a transmission with this rating"), Fix("transmission.duty")],
    formula="P = peak power (a wheel figure divided by 0.85); used = P/rating",
    basis=[
        derived("comparison of power and rating"),
        common_practice("an engine over about 600 hp calls for a heavy-duty automatic; 90 % of a rating; 0.85 of crank power at the wheels"),
    ],
)
