"""Brake inside the wheel.

A caliper that clears by a hair on the bench meets the wheel when it is hot, when the bearing gives or when a balance
weight is clipped inside the rim. Make a template of the caliper and try it in the wheel before it is bought. Watch for:
clip-on weights inside the barrel (they need 6 mm); a wheel whose spokes bend inward.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, need, option
from service.checks.wheels.shared import gap, stock_spacers

#: Least clearance, m: fail below the first, caution below the second; with clip-on weights inside. Common practice.
FAIL, CAUTION, WITH_WEIGHTS = 0.0025, 0.004, 0.006


def judge(x: Any, out: Outcome) -> None:
    """Clearance over the caliper and to the spokes."""
    with out.part():
        radial = out.value("radial_clearance", x.barrel_inner_radius - x.caliper_radius)
        out.at_least("radial_clearance", FAIL, CAUTION, why="barrel over the caliper")
        if FAIL <= radial < WITH_WEIGHTS:
            out.remark("No clip-on balance weights inside the rim: they need 6 mm (1/4 in).")
    with out.part():
        out.value("face_clearance", x.spoke_depth + x.spacer_thickness - x.caliper_projection)
        out.at_least("face_clearance", FAIL, CAUTION, why="spokes in front of the caliper")


def say(s: Any) -> str:
    """The finding in words."""
    parts = []
    for name, where, met in (("radial_clearance", "over the caliper", "the barrel meets the caliper"),
                             ("face_clearance", "to the spokes", "the spokes meet the caliper")):
        if name in s.v:
            parts.append(f"{gap(s, s.v[name])} {where}" if s.v[name] > 0 else f"{met} by {gap(s, -s.v[name])}")
    text = f"At the {s.position}: {', '.join(parts)}"
    if s.worst is None or not s.worst.violated:
        return text + "."
    wanted = gap(s, CAUTION)
    if s.worst.of == "face_clearance":
        return f"{text}. {wanted} is wanted: a spacer or a wheel with deeper spokes."
    return f"{text}. {wanted} is wanted: a wheel with a larger barrel."


CHECK = Check(
    title="Brake inside the wheel",
    system="wheels",
    safety=True,
    at="corners",
    inputs=[need("brake.caliper_radius@axle"), need("brake.caliper_projection@axle"), need("wheel.barrel_inner_radius@here"), need("wheel.spoke_depth@here"),
            option("wheel.spacer_thickness@here", default=0.0)],
    values={
        "radial_clearance": Shown("clearance over the caliper", "length", "mm"),
        "face_clearance": Shown("clearance to the spokes", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("wheel.spacer_thickness@here", stock=stock_spacers), Fix("wheel.barrel_inner_radius@here")],
    formula="radial = barrel − caliper radius; face = spoke depth + spacer − projection",
    basis=[common_practice("4 mm, at least 2.5 mm; 6 mm with clip-on balance weights inside")],
)
