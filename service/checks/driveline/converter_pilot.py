"""Converter pilot in the crank.

The pilot centers the converter. An unpiloted converter runs out, breaks the plate and the pump. Watch for a spacer
without a register of its own (the pilot no longer reaches the crank) and an old pilot bushing left in the crank.
"""

from __future__ import annotations

from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, on_car, option
from service.checks.driveline.shared import DUST, edge, spacer_location

#: Engagement, room before the pilot bottoms, and diametral clearance, m. Common practice.
ENGAGEMENT_FAIL, EIGHTH, ENGAGEMENT_CAUTION = 0.0032, 0.003175, 0.0048
BOTTOM_FAIL, BOTTOM_CAUTION = 0.0005, 0.0010
CLEARANCE_GOOD, CLEARANCE_ALLOWED = (0.000025, 0.00013), (0.0, 0.00025)
#: A pilot's chamfer or nose is seldom longer than this, m: below it a nose that was not measured may touch. Common practice.
NOSE_ALLOWANCE = 0.0035


def in_spacer(x: Any) -> bool:
    """Whether the pilot sits in a register of the spacer rather than in the crank."""
    return bool(x.location != "converter" and x.has("pilot_depth") and x.spacer_thickness > 0)


def judge(x: Any, out: Outcome) -> None:
    """Engagement and room, then the clearance on the diameter."""
    with out.part():
        _depth(x, out)
    register = x.pilot_inner_diameter if in_spacer(x) else x.crank_register_diameter
    if register is not None and x.has("pilot_diameter"):
        out.value("pilot_diametral_clearance", register - x.pilot_diameter)
        out.within("pilot_diametral_clearance", CLEARANCE_GOOD, CLEARANCE_ALLOWED, why="0.025 to 0.13 mm on the diameter, 0 to 0.25 mm at most")


def _depth(x: Any, out: Outcome) -> None:
    mouth, depth = (x.spacer_thickness, x.pilot_depth) if in_spacer(x) else (0.0, x.crank_register_depth)
    nose = x.nose_length if x.has("nose_length") else x.pilot_length
    fit = calc.pilot_fit(x.offset + x.thickness + x.spacer_thickness, x.pad_to_pilot_shoulder, x.pilot_length, nose, mouth, depth)
    engaged = out.value("pilot_engagement", fit.engagement)
    bottom = out.value("pilot_bottom_clearance", fit.bottom_clearance)
    out.at_least("pilot_engagement", edge(engaged, ENGAGEMENT_FAIL, EIGHTH), ENGAGEMENT_CAUTION, why="an eighth of an inch at least")
    out.at_least("pilot_bottom_clearance", BOTTOM_FAIL, BOTTOM_CAUTION, why="the pilot must not touch the bottom")
    if bottom < NOSE_ALLOWANCE * (1 - DUST) and not x.has("nose_length"):
        out.at_best_caution("the pilot's nose is not measured and may reach the bottom of the register", "nose_length")


def say(s: Any) -> str:
    """The finding in words."""
    where = "spacer" if in_spacer(s.x) else "crank"
    text = []
    if "pilot_engagement" in s.v:
        depth, room = s.v["pilot_engagement"], s.v["pilot_bottom_clearance"]
        spare = f"with {s.pilot_bottom_clearance} to spare" if room >= 0 else f"and would be {s.show(-room, 'length', 'mm')} too long"
        text.append(f"The pilot sits {s.pilot_engagement} deep in the {where} {spare}." if depth > 0 else f"The pilot does not reach the {where}.")
        if 0 < depth < ENGAGEMENT_CAUTION:
            text.append(f"At least {s.show(ENGAGEMENT_CAUTION, 'length', 'mm')} is wanted.")
        if depth < ENGAGEMENT_CAUTION:
            bare = s.x.spacer_thickness > 0 and not in_spacer(s.x)
            text.append("The spacer needs a register of its own, or the converter a longer pilot." if bare else "The converter needs a longer pilot.")
        if room < BOTTOM_CAUTION:
            text.append(f"It needs {s.show(BOTTOM_CAUTION, 'length', 'mm')} of room at the bottom.")
    if "pilot_diametral_clearance" in s.v:
        text.append(_play(s, s.v["pilot_diametral_clearance"]))
    return " ".join(text)


def _play(s: Any, play: float) -> str:
    if play < 0:
        return f"The pilot is {s.show(-play, 'length', 'mm')} larger than its register: it does not go in."
    word = ", which is tight" if play < CLEARANCE_GOOD[0] else ", too loose to center it well" if play > CLEARANCE_GOOD[1] else ""
    return f"On the diameter it has {s.pilot_diametral_clearance} of clearance{word}."


CHECK = Check(
    title="Converter pilot in the crank",
    system="driveline",
    safety=True,
    applies=on_car("torque_converter"),
    inputs=[
        need("torque_converter.pilot_length"),
        need("torque_converter.pad_to_pilot_shoulder"),
        need("engine.crank_register_depth", when=lambda x: not in_spacer(x)),
        need("flexplate.thickness"),
        option("flexplate.offset", default=0.0, why="flat plate unless recorded"),
        option("flexplate_spacer.thickness", "spacer_thickness", default=0.0, why="no spacer recorded"),
        spacer_location(),
        option("flexplate_spacer.pilot_depth"),
        option("flexplate_spacer.pilot_inner_diameter"),
        option("torque_converter.nose_length"),
        option("engine.crank_register_diameter"),
        option("torque_converter.pilot_diameter"),
    ],
    values={
        "pilot_engagement": Shown("pilot engagement", "length", "mm"),
        "pilot_bottom_clearance": Shown("room at the bottom", "length", "mm"),
        "pilot_diametral_clearance": Shown("clearance on the diameter", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("flexplate_spacer.thickness"),
        Fix("flexplate_spacer.pilot_depth"),
        Fix("flexplate_spacer.pilot_inner_diameter"),
        Fix("torque_converter.pilot_length"),
        Fix("torque_converter.pilot_diameter"),
    ],
    formula="engagement = min(mouth, shoulder) − max(bottom, tip); bottom clearance = shoulder − nose − bottom; clearance = register − pilot",
    basis=[
        derived("positions along the crank's axis, converter pulled to the plate"),
        common_practice("at least 1/8 in of engagement (compared with a public trade-magazine note); bottom and diametral clearances"),
    ],
)
