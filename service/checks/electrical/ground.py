"""Is each ground good?

A poor ground sends the current home another way: through throttle cables, brake hoses and bearings. Measured as the
voltage across the ground with its load on, cranking for the engine's, or worked out from resistance and current.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Missing, Outcome, Shown, common_practice, need, on_car, option
from service.checks.electrical.shared import found, named

#: Highest drop by role, V (fail, caution). Common practice.
LIMITS = {
    "engine_to_battery": (0.40, 0.20), "body_to_battery": (0.20, 0.10), "engine_to_body": (0.20, 0.10), "accessory": (0.20, 0.10), "control_unit": (0.10, 0.05),
}


def judge(x: Any, out: Outcome) -> None:
    """Drop against what the role allows."""
    out.value("voltage_drop", _drop(x))
    fail, caution = LIMITS[x.role]
    out.at_most("voltage_drop", fail, caution, why=x.role.replace("_", " "))


def _drop(x: Any) -> float:
    if x.has("measured"):
        return float(x.measured)
    if x.has("resistance", "current"):
        return float(x.resistance * x.current)
    raise Missing("measured")


def say(s: Any) -> str:
    """The finding in words."""
    limit = s.limit("voltage_drop", "fail" if s.verdict == "fail" else "caution")
    text = f"{named(s)}: {s.voltage_drop} is lost; {limit} is the most wanted"
    return text + ("." if found(s) == "pass" else ": clean it to bare metal, star washer, then coat it.")


CHECK = Check(
    title="Is each ground good?",
    system="electrical",
    safety=lambda x: x.role == "engine_to_body",
    at=("label", "ground"),
    applies=on_car("ground@here"),
    inputs=[need("ground.role@here"), option("ground.voltage_drop@here", "measured"), option("ground.resistance@here"), option("ground.current@here")],
    either=[(("measured",), ("resistance", "current"))],
    values={"voltage_drop": Shown("lost across the ground", "voltage", "V")},
    judge=judge,
    say=say,
    remedies=["clean it to bare metal, star washer, then coat it against rust"],
    formula="voltage drop as measured, else R·I",
    basis=[common_practice("0.2 and 0.4 V cranking, 0.1 and 0.2 V for body and accessories, 0.05 and 0.1 V for a control unit")],
)
