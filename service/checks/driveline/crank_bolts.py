"""Flexplate-to-crank bolt length.

Watch for oil behind through holes (sealant), stretch bolts used again, and a bolt long enough to touch the rear seal or
the main cap. Use the engine maker's grade.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, on_car, option, published
from service.checks.driveline.bolts import VALUES, judge_length, lengths, sentence, sold, through
from service.checks.driveline.shared import spacer_location


def spacer(x: Any) -> float:
    """Thickness of a spacer between crank and plate, m."""
    return 0.0 if x.location == "converter" else float(x.spacer_thickness)


def grip(x: Any) -> float:
    """What the bolts clamp, m."""
    return float(x.thickness + x.crank_washer_thickness + spacer(x))


def judge(x: Any, out: Outcome) -> None:
    """Grip and lengths, then the bolts that are there."""
    lengths(out, grip(x), x.thread, x.crank_thread_depth)
    judge_length(out, x.crank_bolt_length, x.thread, x.crank_thread_depth)


def say(s: Any) -> str:
    """The finding in words."""
    return sentence(s, "crank bolts", through(spacer(s.x), s.x.crank_washer_thickness, "load plate")) + " Use the engine maker's grade."


CHECK = Check(
    title="Flexplate-to-crank bolt length",
    system="driveline",
    safety=True,
    applies=on_car("flexplate"),
    inputs=[
        need("flexplate.thickness"),
        need("engine.crank_bolt_thread", "thread"),
        need("engine.crank_thread_depth"),
        need("flexplate.crank_bolt_length"),
        option("flexplate.crank_washer_thickness", default=0.0, why="no load plate recorded"),
        option("flexplate_spacer.thickness", "spacer_thickness", default=0.0, why="no spacer recorded"),
        spacer_location(),
    ],
    values=dict[str, Shown](VALUES),
    judge=judge,
    say=say,
    remedies=[Fix("flexplate.crank_bolt_length", stock=lambda x: sold(grip(x), x, x.crank_thread_depth))],
    formula="grip = plate + load plate + spacer on the crank side; shortest = grip + d; longest = grip + D − P",
    basis=[
        derived("sum of the stack"),
        common_practice("one diameter of engagement in steel, 0.8 at the least (compare VDI 2230 for computed lengths)"),
        published("stock lengths: ISO 888 for metric bolts (compared with an open library's lengths of ISO 4017 screws)"),
    ],
)
