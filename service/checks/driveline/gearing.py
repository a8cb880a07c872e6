"""Engine speed at cruise and speed in the gears.

Tire slip is not counted; an unlocked converter slips a little at cruise. An engine that turns too fast at cruise is busy,
one that turns too slowly lugs; a converter that never couples overheats its fluid. In competition a gap between gears
that drops the engine below its torque peak costs time.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, need, on_car, option, published
from service.checks.driveline.shared import broken, cruise_speed, is_road, multiplies, ordered_ratios, printed, transmission_type, use

#: Cruise speed of the engine over redline, and over the speed of peak torque. Common practice.
BUSY, LUGS = 0.6, 0.35
#: Stall speed over the speed of peak torque from which the converter holds the engine up after a shift. Common practice.
HOLDS_UP = 0.9
#: Slip of an unlocked converter at cruise. Common practice.
CRUISE_SLIP = 0.03


def judge(x: Any, out: Outcome) -> None:
    """Cruise against redline and torque peak; the drops between gears."""
    ratios = ordered_ratios(x)
    for gear, drop in enumerate(calc.drops(ratios), 1):
        out.value(f"drop_{gear}_{gear + 1}", drop)
    out.value("first_overall_ratio", ratios[0] * x.axle_ratio)
    out.value("top_overall_ratio", ratios[-1] * x.axle_ratio)
    cruise = out.value("cruise_engine_speed", calc.engine_speed(x.cruise_speed, ratios[-1] * x.axle_ratio, x.rolling_radius, x.cruise_slip))
    if x.has("redline"):
        for gear, ratio in enumerate(ratios, 1):
            out.value(f"speed_{gear}", calc.road_speed(x.redline, ratio * x.axle_ratio, x.rolling_radius))
        out.at_most("cruise_engine_speed", x.redline, BUSY * x.redline if is_road(x) else None, why="the redline; busy above 60 % of it on the road")
    if is_road(x):
        _road(x, out, cruise)
    else:
        _competition(x, out)


def _road(x: Any, out: Outcome, cruise: float) -> None:
    if x.has("peak_torque_speed"):
        out.at_least("cruise_engine_speed", caution=LUGS * x.peak_torque_speed, why="lugs below 35 % of the torque peak's speed")
    if multiplies(x) and not x.lockup and x.has("stall_speed"):
        out.at_least("cruise_engine_speed", caution=x.stall_speed, why="the converter never couples and overheats its fluid", value=cruise)


def _competition(x: Any, out: Outcome) -> None:
    if not x.has("redline", "peak_torque_speed"):
        return
    if multiplies(x) and x.has("stall_speed") and x.stall_speed > HOLDS_UP * x.peak_torque_speed:
        return
    for gear in range(1, len(x.forward_ratios)):
        out.at_most(f"drop_{gear}_{gear + 1}", caution=1 - x.peak_torque_speed / x.redline, why="shifted at the redline the engine falls below its torque peak")


def say(s: Any) -> str:
    """The finding in words."""
    text = f"At {s.cruise_speed} in top the engine turns {s.cruise_engine_speed}"
    if "speed_1" in s.v:
        text += f"; first runs to {s.speed_1}"
    drops = {name: value for name, value in s.v.items() if name.startswith("drop_")}
    if drops:
        name = max(drops, key=lambda key: drops[key])
        _, before, after = name.split("_")
        text += f"; the largest drop is {s.percent(drops[name])} between {_gear(before)} and {_gear(after)}"
    return text + "." + (_advice(s) if broken(s) else "")


def _gear(number: str) -> str:
    names = ("first", "second", "third", "fourth", "fifth", "sixth")
    return names[int(number) - 1] if int(number) <= len(names) else f"gear {number}"


def _advice(s: Any) -> str:
    reasons = {limit.why.split(";")[0] if limit.verdict == "fail" else limit.why.split("; ")[-1]: limit for limit in s.limits if limit.violated}
    found = []
    for why, limit in reasons.items():
        if limit.of.startswith("drop_"):
            found.append("Shifted at the redline the engine falls below its torque peak: closer ratios or a looser converter.")
        elif limit.verdict == "fail":
            found.append("That is beyond the redline: a taller axle or an overdrive.")
        elif limit.value is not None and any(other.violated and other.verdict == "fail" for other in s.limits):
            continue
        elif "busy" in why:
            found.append("That is busy: a taller axle or an overdrive calms it.")
        elif "lugs" in why:
            found.append("There it lugs: a shorter axle helps.")
        else:
            found.append("There the converter never couples and overheats its fluid: a tighter converter or one with lock-up.")
    return "".join(f" {text}" for text in dict.fromkeys(found))


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """Speeds in the gears as a table and for the drawing."""
    rows = [[_gear(str(gear)), f"{ratio:g}", f"{ratio * x.axle_ratio:.2f}", printed(x.car, values.get(f"speed_{gear}"), "speed", "mph")]
            for gear, ratio in enumerate(x.forward_ratios, 1)]
    return {
        "table": {"title": "Speed in the gears", "columns": ["gear", "ratio", "overall", "speed at the redline"], "rows": rows},
        "series": {"kind": "gear_speeds", "ratios": list(x.forward_ratios), "axle_ratio": x.axle_ratio, "rolling_radius": x.rolling_radius,
                   "redline": x.redline, "peak_torque_speed": x.peak_torque_speed, "cruise_speed": x.cruise_speed,
                   "cruise_engine_speed": values["cruise_engine_speed"]},
    }


def _slip(x: Any) -> float:
    return CRUISE_SLIP if multiplies(x) and not x.lockup else 0.0


CHECK = Check(
    title="Engine speed at cruise and speed in the gears",
    system="driveline",
    safety=False,
    applies=on_car("transmission", "axle"),
    reads=("car",),
    inputs=[
        use(),
        need("transmission.forward_ratios"),
        need("axle.ratio", "axle_ratio"),
        need("tire.rolling_radius@driven"),
        cruise_speed(),
        option("engine.redline"),
        option("engine.peak_torque_speed"),
        transmission_type(),
        option("torque_converter.lockup", default=lambda x: False if multiplies(x) else None, why="no lock-up recorded"),
        option("torque_converter.cruise_slip", default=_slip, why="3 % unlocked, none with lock-up or a manual"),
        option("torque_converter.stall_speed"),
    ],
    values={
        "cruise_engine_speed": Shown("engine speed at cruise", "rotational_speed", "rpm"),
        "first_overall_ratio": Shown("overall ratio in first", "dimensionless"),
        "top_overall_ratio": Shown("overall ratio in top", "dimensionless"),
        "drop_{i}_{j}": Shown("drop from gear {i} to {j}", "dimensionless", "%"),
        "speed_{i}": Shown("speed in gear {i} at the redline", "speed", "mph"),
    },
    judge=judge,
    say=say,
    extras=extras,
    remedies=[
        Fix("axle.ratio"),
        Fix("torque_converter.stall_speed", "another converter"),
        Fix("driveline.cruise_speed"),
        "other forward ratios: a closer box or an overdrive",
    ],
    formula="ω = (v/r) A G_top/(1 − σ); speed = redline r/(A G); drop = 1 − G_next/G",
    basis=[
        published("Gillespie, Fundamentals of Vehicle Dynamics, chapter 2"),
        common_practice("60 % of the redline, 35 % of the torque peak's speed; 3 % slip unlocked"),
    ],
)
