"""Converter bolt length.

A bolt too long dents the converter's skin and its lock-up face; a bolt too short strips or pulls out. Neither shows
from outside. A spacer between plate and pads needs bolts longer than the originals.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, on_car, option, published
from service.checks.driveline.bolts import VALUES, judge_length, lengths, sentence, sold, through
from service.checks.driveline.shared import broken, spacer_location


def spacer(x: Any) -> float:
    """Thickness of a spacer between plate and pads, m."""
    return float(x.spacer_thickness) if x.location == "converter" else 0.0


def grip(x: Any) -> float:
    """What the bolts clamp, m."""
    return float(x.thickness + x.washer_thickness + spacer(x))


def judge(x: Any, out: Outcome) -> None:
    """Grip and lengths, then the bolts that are there."""
    lengths(out, grip(x), x.thread, x.pad_thread_depth)
    judge_length(out, x.bolt_length, x.thread, x.pad_thread_depth)


def say(s: Any) -> str:
    """The finding in words."""
    text = sentence(s, "converter bolts", through(spacer(s.x), s.x.washer_thickness, "washer"))
    if s.x.location == "converter" and broken(s):
        text += (" A spacer here needs bolts longer than the originals; order them, general hardware stores seldom stock this size"
                 " in a fine grade.")
    return text


CHECK = Check(
    title="Converter bolt length",
    system="driveline",
    safety=True,
    applies=on_car("torque_converter"),
    inputs=[
        need("flexplate.thickness"),
        need("torque_converter.bolt_thread", "thread"),
        need("torque_converter.pad_thread_depth"),
        need("torque_converter.bolt_length"),
        option("torque_converter.washer_thickness", default=0.0, why="no washer recorded"),
        option("flexplate_spacer.thickness", "spacer_thickness", default=0.0, why="no spacer recorded"),
        spacer_location(),
    ],
    values=dict[str, Shown](VALUES),
    judge=judge,
    say=say,
    remedies=[
        Fix("torque_converter.bolt_length", stock=lambda x: sold(grip(x), x, x.pad_thread_depth)),
        Fix("torque_converter.washer_thickness"),
        Fix("flexplate_spacer.thickness"),
    ],
    formula="grip = plate + washer + spacer on the converter side; shortest = grip + d; longest = grip + D − P",
    basis=[
        derived("sum of the stack"),
        common_practice("one diameter of engagement in steel, 0.8 at the least (compare VDI 2230 for computed lengths)"),
        published("stock lengths: ISO 888 for metric bolts (compared with an open library's lengths of ISO 4017 screws)"),
    ],
)
