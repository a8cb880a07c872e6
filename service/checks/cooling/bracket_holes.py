"""Whether the radiator bracket's holes meet those of the core support.

Universal angle brackets commonly meet the factory's upper holes and want new lower ones. Offer them up square before
marking. A hole too near the edge of the sheet tears out.
"""

from __future__ import annotations

from typing import Any

from service.calc import cooling as calc
from service.checks.core import Check, Fix, Outcome, Shown, any_recorded, common_practice, derived, need, option

#: Hole center to sheet edge in bolt diameters: less than the first fails, less than the second is a caution. Common practice.
LEAST_EDGE, WISE_EDGE = 1.5, 2.0


def judge(x: Any, out: Outcome) -> None:
    """The miss against the play of slot and hole, and the metal left to the edge."""
    if x.has("edge_distance"):
        with out.part():
            out.value("edge_distance_ratio", x.edge_distance / x.bolt_diameter)
            out.at_least("edge_distance_ratio", LEAST_EDGE, WISE_EDGE, why="two bolt diameters of metal to the edge")
    hole, bolt, bracket = x.hole_diameter, x.bolt_diameter, x.bracket_hole_height
    allowed = out.value("allowed_misalignment", calc.allowed_misalignment(x.slot_length, hole, bolt))
    if x.has("support_hole_height"):
        out.value("misalignment", abs(bracket - x.support_hole_height))
        out.at_most("misalignment", caution=allowed, why="the play of slot and hole")
    else:
        out.must(False, "no hole in the core support: mark and drill a new one", "caution", of="support_hole_height")


def say(s: Any) -> str:
    """The finding in words."""
    drill = "mark and drill a new hole in the core support, deburr it and paint the bare edge"
    if s.x.has("support_hole_height") and "misalignment" not in s.v:
        text = ""
    elif "misalignment" not in s.v:
        text = f"The core support has no {s.position} hole recorded for the bracket: {drill}."
    elif s.v["misalignment"] <= s.v["allowed_misalignment"] * (1 + 1e-9):
        text = f"The {s.position} bracket holes meet: use them."
    else:
        text = f"The {s.position} bracket holes miss by {s.misalignment}, where slot and hole allow {s.allowed_misalignment}: {drill}."
    ratio = s.v.get("edge_distance_ratio")
    if ratio is not None and ratio < WISE_EDGE:
        text += f" Only {ratio:.3g} bolt diameters are left to the edge: the sheet tears out; move the hole or back it with a plate."
    return text


CHECK = Check(
    title="Do the bracket holes meet the core support?",
    system="cooling",
    safety=False,
    at=("upper", "lower"),
    applies=any_recorded("radiator_mount.bracket_hole_height@here"),
    inputs=[
        need("radiator_mount.bracket_hole_height@here"),
        need("radiator_mount.hole_diameter@here"),
        need("radiator_mount.bolt_diameter@here"),
        option("radiator_mount.support_hole_height@here"),
        option("radiator_mount.slot_length@here", default=lambda x: x.hole_diameter, why="a round hole"),
        option("radiator_mount.edge_distance@here"),
    ],
    values={
        "misalignment": Shown("miss of the holes", "length", "mm"),
        "allowed_misalignment": Shown("miss that slot and hole allow", "length", "mm"),
        "edge_distance_ratio": Shown("bolt diameters to the edge", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("radiator_mount.slot_length@here"), Fix("radiator_mount.edge_distance@here")],
    formula="miss = |h_b − h_s|; allowed = (max(slot, hole) − d)/2 + (hole − d)/2; edge ratio = e/d",
    basis=[
        derived("geometry of a bolt through a slot and a hole"),
        common_practice("two bolt diameters to the edge; universal brackets rarely match below"),
    ],
)
