"""Which steps threaten the date?

A step's float is its slack plus whatever days are left over. Steps with less than a working day of it that wait for a
part, or stand on the chain that decides, are the ones to watch.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Outcome, Shown, derived, published
from service.checks.readiness.parts import missing_parts
from service.checks.schedule.shared import INPUTS, READS, Plan, applies, listed, plan


def judge(x: Any, out: Outcome) -> None:
    """Steps at risk and the smallest float."""
    found = plan(x)
    floats = floats_left(found)
    if not floats:
        out.value("tasks_at_risk", 0)
        return
    risky = at_risk(found, x.parts)
    out.value("tasks_at_risk", len(risky))
    out.value("smallest_float", min(floats.values()))
    out.must(not any(floats[key] < 0 for key in risky), "a step on which the date hangs is already late")
    out.at_most("tasks_at_risk", caution=0.0, why="no step at risk")


def floats_left(found: Plan) -> dict[str, float]:
    """Float in s of each step not done."""
    spare = (found.available - found.needed) * found.day
    return {key: found.network.slack[key] + spare for key, task in found.tasks.items() if not task.get("done_at")}


def at_risk(found: Plan, parts: Any) -> list[str]:
    """Ids of the steps at risk, least float first."""
    floats = floats_left(found)
    tight = [key for key, left in floats.items() if left < found.day * (1 - 1e-9)]
    risky = [key for key in tight if missing_parts(found.tasks[key], parts) or found.network.slack[key] <= 1e-6]
    return sorted(risky, key=lambda key: floats[key])


def say(s: Any) -> str:
    """The finding in words."""
    found = plan(s.x)
    risky = at_risk(found, s.x.parts)
    if not risky:
        return "No step threatens the promised date."
    names = listed([found.tasks[key]["title"] for key in risky[:4]]) + (f" and {len(risky) - 4} more" if len(risky) > 4 else "")
    left = floats_left(found)[risky[0]]
    return f"Watch {names}: {'already late by ' + s.show(-left, 'time', 'h') if left < 0 else 'no more than ' + s.show(left, 'time', 'h') + ' to spare'}."


CHECK = Check(
    title="Which steps threaten the date?",
    system="schedule",
    safety=False,
    applies=applies,
    reads=READS,
    inputs=list(INPUTS),
    values={"tasks_at_risk": Shown("steps at risk", "dimensionless"), "smallest_float": Shown("smallest float", "time", "h")},
    judge=judge,
    say=say,
    formula="float = slack + (days_available − days_needed)·hours_per_day·productive_fraction; at risk below one working day",
    basis=[published("float of the critical path method: Kelley & Walker 1959"), derived("days left over are shared by every step")],
)
