"""Bump travel and where the damper sits.

The rubber stop must end the travel, not the damper: a damper that bottoms first breaks its mount or bends its rod. Damper
lengths are taken off the car; the lean of the damper belongs in its motion ratio.
"""

from __future__ import annotations

from typing import Any

from service.calc import suspension as calc
from service.checks.core import Check, Fix, Missing, Outcome, Shown, common_practice, derived, need, option
from service.checks.suspension import shared

#: Stroke left in the damper when the stop is reached, m: lets a rubber stop crush. Common practice.
DAMPER_MARGIN, DAMPER_MARGIN_CAUTION = 0.0, 0.012
#: Bump travel, m: fail below the first, caution below the second, by use. Common practice.
BUMP = shared.by_use({"street drag": (0.038, 0.050), "touring towing": (0.050, 0.064), "autocross track": (0.025, 0.038)})
#: Where in its stroke the damper sits at ride height: pass band and caution band. Common practice.
POSITION = ((0.33, 0.67), (0.20, 0.80))


def judge(x: Any, out: Outcome) -> None:
    """Travel to the stop, stroke left then, droop, and the damper's place in its stroke."""
    found = calc.travel(x.bump_stop_gap, x.stop_ratio, x.length_at_ride, x.extended_length, x.compressed_length, x.damper_ratio)
    out.value("bump_travel", found.bump)
    out.value("damper_bump_margin", found.damper_margin)
    out.value("droop_travel", found.droop)
    out.value("damper_position", found.damper_position)
    out.at_least("damper_bump_margin", DAMPER_MARGIN, DAMPER_MARGIN_CAUTION, why="stroke left in the damper when the stop is reached")
    out.at_least("bump_travel", *BUMP[x.use], why=f"bump travel, {x.use}")
    out.within("damper_position", *POSITION, why="place of the damper in its stroke, 0 fully compressed")


def say(s: Any) -> str:
    """The finding in words."""
    margin = s.v["damper_bump_margin"]
    if margin < 0:
        first = f"The damper bottoms before the stop is reached: it lacks {s.show(-margin, 'length', 'mm')} at {s.bump_travel} of bump travel."
    else:
        first = f"{s.bump_travel} of bump travel to the stop, then the damper has {s.damper_bump_margin} left; {s.droop_travel} of droop."
    broken = {item.of: item for item in s.limits if item.violated}
    if "damper_bump_margin" in broken:
        return f"{first} A shorter damper, or a smaller gap at the stop, keeps it from bottoming."
    if "bump_travel" in broken:
        wanted = s.show(BUMP[s.x.use][1], "length", "mm")
        return f"{first} {shared.CARS[s.x.use].capitalize()} want {wanted} or more: a shorter stop or more ride height gives it."
    if "damper_position" in broken:
        where = "compressed" if s.v["damper_position"] < 0.5 else "extended"
        return f"{first} At ride height it sits too far {where}: a damper of another length belongs here."
    return first


def _stop_ratio(x: Any) -> float:
    if x.type != "live_axle":
        raise Missing("stop_ratio")
    return 1.0


CHECK = Check(
    title="Bump travel and damper position",
    system="suspension",
    safety=True,
    at="axles",
    inputs=[
        need("build.use"),
        need("suspension.bump_stop_gap@here"),
        option("suspension.type@here"),
        option("suspension.bump_stop_motion_ratio@here", "stop_ratio", default=_stop_ratio, why="live axle"),
        need("damper.length_at_ride@here"),
        need("damper.extended_length@here"),
        need("damper.compressed_length@here"),
        need("damper.motion_ratio@here", "damper_ratio"),
    ],
    values={
        "bump_travel": Shown("bump travel", "length", "mm"),
        "damper_bump_margin": Shown("damper stroke left at the stop", "length", "mm"),
        "droop_travel": Shown("droop travel", "length", "mm"),
        "damper_position": Shown("damper position, 0 compressed to 1 extended", "dimensionless"),
    },
    judge=judge,
    say=say,
    provides={"suspension.bump_travel@here": "bump_travel"},
    remedies=[
        Fix("suspension.bump_stop_gap@here"),
        Fix("damper.length_at_ride@here", "by moving a mount"),
        Fix("damper.extended_length@here"),
        Fix("damper.compressed_length@here"),
    ],
    formula="bump = gap/MR_s; margin = (at ride − compressed) − bump MR_d; droop = (extended − at ride)/MR_d; "
            "position = (at ride − compressed)/(extended − compressed)",
    basis=[derived("lengths and motion ratios"), common_practice("12 mm lets a rubber stop crush; bump travel by use; the middle third of the stroke")],
)
