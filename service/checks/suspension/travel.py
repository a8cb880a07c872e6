"""Bump travel and where the damper sits.

The rubber stop must end the travel, not the damper: a damper that bottoms first breaks its mount or bends its rod. Damper
lengths are taken off the car; the lean of the damper belongs in its motion ratio.
"""

from __future__ import annotations

from typing import Any

from service.calc import suspension as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, option
from service.checks.suspension import shared

#: Stroke left in the damper when the stop is reached, m: lets a rubber stop crush. Common practice.
DAMPER_MARGIN, DAMPER_MARGIN_CAUTION = 0.0, 0.012
#: Bump travel, m: fail below the first, caution below the second, by use. Common practice.
BUMP = shared.by_use({"street drag": (0.038, 0.050), "touring towing": (0.050, 0.064), "autocross track": (0.025, 0.038)})
#: Where in its stroke the damper sits at ride height: pass band and caution band. Common practice.
POSITION = ((0.33, 0.67), (0.20, 0.80))


def judge(x: Any, out: Outcome) -> None:
    """Travel to the stop, stroke left then, droop, and the damper's place in its stroke."""
    with out.part():
        out.value("damper_position", calc.damper_position(x.length_at_ride, x.extended_length, x.compressed_length))
        out.within("damper_position", *POSITION, why="place of the damper in its stroke, 0 fully compressed")
        out.value("droop_travel", calc.droop_travel(x.length_at_ride, x.extended_length, x.damper_ratio))
    bump = out.value("bump_travel", calc.bump_travel(x.bump_stop_gap, _stop_ratio(x)))
    out.at_least("bump_travel", *BUMP[x.use], why=f"bump travel, {x.use}")
    out.value("damper_bump_margin", calc.damper_margin(x.length_at_ride, x.compressed_length, bump, x.damper_ratio))
    out.at_least("damper_bump_margin", DAMPER_MARGIN, DAMPER_MARGIN_CAUTION, why="stroke left in the damper when the stop is reached")


def say(s: Any) -> str:
    """The finding in words."""
    first = _told(s)
    broken = {item.of: item for item in s.limits if item.violated}
    if "damper_bump_margin" in broken:
        return f"{first} A shorter damper, or a smaller gap at the stop, keeps it from bottoming."
    if "bump_travel" in broken:
        wanted = s.show(BUMP[s.x.use][1], "length", "mm")
        return f"{first} {shared.CARS[s.x.use].capitalize()} want {wanted} or more: a shorter stop or more ride height gives it."
    if "damper_position" in broken:
        where = "compressed" if s.v["damper_position"] < 0.5 else "extended"
        return f"{first} At ride height the damper sits too far {where}: a damper of another length belongs here."
    return first


def _told(s: Any) -> str:
    """What of the travel is known."""
    margin = s.v.get("damper_bump_margin")
    if margin is not None and margin < 0:
        return f"The damper bottoms before the stop is reached: it lacks {s.show(-margin, 'length', 'mm')} at {s.bump_travel} of bump travel."
    parts = [f"{s.bump_travel} of bump travel to the stop"] if "bump_travel" in s.v else []
    if margin is not None:
        parts[0] += f", then the damper has {s.damper_bump_margin} left"
    if "droop_travel" in s.v:
        parts.append(f"{s.droop_travel} of droop")
    if not parts:
        return f"The damper sits at {s.percent(s.v['damper_position'])} of its stroke from fully compressed."
    return "; ".join(parts) + "."


def _stop_ratio(x: Any) -> float:
    return float(x.usual_stop_ratio if _live_axle(x) and not x.has("stop_ratio") else x.stop_ratio)


def _live_axle(x: Any) -> bool:
    return bool(x.type == "live_axle")


CHECK = Check(
    title="Bump travel and damper position",
    system="suspension",
    safety=True,
    at="axles",
    inputs=[
        need("build.use"),
        need("suspension.bump_stop_gap@here"),
        option("suspension.type@here"),
        need("suspension.bump_stop_motion_ratio@here", "stop_ratio", when=lambda x: not _live_axle(x)),
        option("suspension.bump_stop_motion_ratio@here", "usual_stop_ratio", default=lambda x: 1.0 if _live_axle(x) else None, why="live axle"),
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
