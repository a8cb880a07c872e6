"""Wheel swept through lock and bump.

The only proof that a wheel clears: each wheel turned lock to lock at full bump and full droop, and looked at, with the
brake hose watched for the whole way. Rear wheels are swept through bump and droop. Watch for: with the spring out the
rubber bushings and the stop are not crushed, so the real gap is smaller; a hose that is long enough straight ahead and
short at lock.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Outcome, Shown, any_recorded, common_practice, need
from service.checks.wheels.shared import gap

#: Least gap in the sweep, m: fail below the first, caution below the second; least slack of the hose. Common practice.
FAIL_GAP, CAUTION_GAP, HOSE_SLACK = 0.004, 0.008, 0.010
_FACTS = ("swept_at_lock_and_bump", "smallest_swept_clearance", "brake_hose_slack_at_lock")


def judge(x: Any, out: Outcome) -> None:
    """Swept or not, the tightest gap, the slack of the hose."""
    with out.part():
        out.must(x.swept, "this wheel has not been swept lock to lock at full bump and droop", of="swept_at_lock_and_bump")
    with out.part():
        out.value("smallest_swept_clearance", x.gap)
        out.at_least("smallest_swept_clearance", FAIL_GAP, CAUTION_GAP, why="tightest place of the sweep")
    if x.has("slack"):
        out.value("brake_hose_slack_at_lock", x.slack)
        out.at_least("brake_hose_slack_at_lock", HOSE_SLACK, why="brake hose at the worst point of the sweep")
    broken = {item.of for item in out.limits if item.violated}
    if "smallest_swept_clearance" in broken:
        out.advise("another offset, a smaller gap at the bump stop, or steering stops that end the lock earlier")
    if "brake_hose_slack_at_lock" in broken:
        out.advise("a longer brake hose, or its bracket moved")


def say(s: Any) -> str:
    """The finding in words."""
    if s.x.swept is False:
        return f"The {s.position} wheel has not been swept: turn it lock to lock at full bump and full droop, look, and measure the tightest gap."
    way = "lock to lock at full bump and droop" if s.position.startswith("front") else "through bump and droop"
    text = f"Swept {way}" if s.x.swept else f"Measured {way}"
    parts = []
    if "smallest_swept_clearance" in s.v:
        tightest = s.v["smallest_swept_clearance"]
        parts.append(f"{gap(s, tightest)} left at the tightest place" if tightest > 0 else "it touches at the tightest place")
    if "brake_hose_slack_at_lock" in s.v:
        parts.append(f"{gap(s, s.v['brake_hose_slack_at_lock'])} of hose slack" if s.v["brake_hose_slack_at_lock"] > 0 else "the brake hose is pulled tight")
    text += f": {', '.join(parts)}" if parts else ""
    if s.worst is None or not s.worst.violated:
        return text + "."
    if s.worst.of == "brake_hose_slack_at_lock":
        return f"{text}. A torn hose is no brakes: {gap(s, HOSE_SLACK)} of slack is the least."
    return f"{text}. {gap(s, CAUTION_GAP)} is wanted, since the bushings give under load."


def _steered(x: Any) -> bool:
    """Front wheels turn, and pull their hoses."""
    return str(x.position).startswith("front")


CHECK = Check(
    title="Wheel swept through lock and bump",
    system="wheels",
    safety=True,
    at="corners",
    applies=any_recorded(*(f"wheel_fit.{name}@here" for name in _FACTS)),
    inputs=[need("wheel_fit.swept_at_lock_and_bump@here", "swept"), need("wheel_fit.smallest_swept_clearance@here", "gap"),
            need("wheel_fit.brake_hose_slack_at_lock@here", "slack", when=_steered)],
    values={
        "smallest_swept_clearance": Shown("tightest gap of the sweep", "length", "mm"),
        "brake_hose_slack_at_lock": Shown("slack left in the brake hose", "length", "mm"),
    },
    judge=judge,
    say=say,
    formula="tightest gap at least 8 mm, hose slack at least 10 mm, seen over the whole sweep",
    basis=[common_practice("least gap of 8 mm (fail below 4 mm) and 10 mm of hose slack")],
)
