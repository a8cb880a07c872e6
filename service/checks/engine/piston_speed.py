"""Mean piston speed at the redline.

Ring and bearing life fall with piston speed, rods and pins with the acceleration at top center. Some production engines
run 25 m/s on parts made for it: a maker's redline outranks this.
"""

from __future__ import annotations

from typing import Any

from service.calc import engine as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, from_memory, need, on_car, option, published

#: (caution, fail) in m/s on the road and in competition. Common practice, to be replaced by the part maker's limit where there is one.
ROAD, COMPETITION = (20.0, 27.0), (24.0, 30.0)


def limits(use: str) -> tuple[float, float]:
    """(caution, fail) in m/s for a use."""
    return ROAD if use in ("street", "touring", "towing") else COMPETITION


def judge(x: Any, out: Outcome) -> None:
    """Speed against the use's limits; acceleration for the record."""
    out.value("mean_piston_speed", calc.mean_piston_speed(x.stroke, x.redline))
    caution, fail = limits(x.use)
    out.at_most("mean_piston_speed", fail, caution, why="parts for this use")
    if x.has("rod_length"):
        out.value("peak_acceleration", calc.peak_piston_acceleration(x.stroke, x.rod_length, x.redline))


def say(s: Any) -> str:
    """The finding in words."""
    caution, fail = (s.show(limit, "speed", "ft/min") for limit in limits(s.x.use))
    text = f"At {s.redline} the pistons average {s.mean_piston_speed}; parts for {s.use} use are normally kept below {caution}"
    if s.v["mean_piston_speed"] <= limits(s.x.use)[0]:
        return f"{text}."
    return f"{text}, and never above {fail} without parts made for it. Lower the redline unless the parts' maker allows more."


CHECK = Check(
    title="Mean piston speed at the redline",
    system="engine",
    safety=False,
    applies=on_car("engine"),
    inputs=[need("build.use"), need("engine.stroke"), need("engine.redline"), option("engine.rod_length")],
    values={
        "mean_piston_speed": Shown("mean piston speed", "speed", "ft/min"),
        "peak_acceleration": Shown("piston acceleration at top center", "acceleration", "g0"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("engine.redline")],
    formula="u = s ω/π; a = (s/2) ω² (1 + s/(2 l))",
    basis=[
        published("mean piston speed: Heywood, Internal Combustion Engine Fundamentals, chapter 2"),
        from_memory("passenger engines run 8 to 15 m/s at rated speed: Heywood, chapter 2"),
        derived("acceleration at top center, exact there"),
        common_practice("limits by use"),
    ],
)
