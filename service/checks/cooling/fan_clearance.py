"""Whether the fan touches anything.

A fan in the core empties the system at speed, and takes fingers. An engine on rubber mounts moves forward under braking
and toward an electric fan's motor; a blade bends forward as it loads. Measure at rest, pulley and hub included.
An electric fan can start with the ignition off.
"""

from __future__ import annotations

from typing import Any

from service.calc.cooling import CORE_GAP, ENGINE_GAP
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, need, on_car, option
from service.checks.fuel.shared import room

#: Share of the core gap wanted below which it fails, and least gap to the engine, m. Common practice.
LEAST_SHARE, LEAST_ENGINE_GAP = 0.75, 0.010


def judge(x: Any, out: Outcome) -> None:
    """Gap to the core and, for an electric fan, to the engine."""
    wanted = CORE_GAP[x.drive]
    with out.part():
        out.value("core_gap_margin", x.core_gap - wanted)
        out.at_least("core_gap", LEAST_SHARE * wanted, wanted, value=x.core_gap, why=f"gap wanted for a {x.drive} fan")
    if x.drive == "electric" and x.has("engine_gap"):
        out.value("engine_gap_margin", x.engine_gap - ENGINE_GAP)
        out.at_least("engine_gap", LEAST_ENGINE_GAP, ENGINE_GAP, value=x.engine_gap, why="the engine moves toward the fan")


def say(s: Any) -> str:
    """The finding in words."""
    text = f"{s.core_gap} between fan and core; at least {room(s, CORE_GAP[s.x.drive], s.x.core_gap)} wanted." if s.core_gap else ""
    if "engine_gap_margin" in s.v:
        text += f" {s.engine_gap} to the engine; at least {room(s, ENGINE_GAP, s.x.engine_gap)} wanted."
    if s.verdict == "fail":
        text += " Do not run the engine until there is room."
    return text


CHECK = Check(
    title="Will the fan touch anything?",
    system="cooling",
    safety=True,
    applies=on_car("cooling_fan"),
    inputs=[
        need("cooling_fan.drive"),
        need("cooling_fan.core_gap"),
        option("cooling_fan.engine_gap"),
    ],
    values={
        "core_gap_margin": Shown("gap to the core beyond what is wanted", "length", "mm"),
        "engine_gap_margin": Shown("gap to the engine beyond what is wanted", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("cooling_fan.core_gap"), Fix("cooling_fan.engine_gap")],
    formula="margin = gap − gap wanted: core 25 mm (mechanical, clutch) or 6 mm (electric), engine 19 mm (electric)",
    basis=[common_practice("gaps for blade flex and for an engine that moves on its mounts")],
)
