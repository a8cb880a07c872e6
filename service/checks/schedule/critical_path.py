"""Will it be ready as promised?

The longest chain of remaining steps, or the sum of the work shared among the crew, whichever is longer, against the
working days to the promised date. More people do not shorten the chain. The larger of the two is a lower bound: real
crews wait for each other, for parts, and for paint to dry.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, published
from service.checks.schedule.shared import INPUTS, READS, Plan, applies, plan, titles

#: Needing more than this share of the days left is a caution. Common practice.
TIGHT = 0.85


def judge(x: Any, out: Outcome) -> None:
    """Days needed against days available."""
    found = plan(x)
    left = found.total > 0 or found.unestimated > 0
    out.value("critical_path", found.network.length)
    out.value("total_work", found.total)
    out.value("work_time", found.work_time)
    out.value("days_needed", found.needed)
    out.value("days_available", found.available)
    for key in found.tasks:
        out.value(f"slack.{key}", found.network.slack[key])
    out.must(found.promised_on >= found.as_of or not left, "the promised date is past")
    why = f"{found.available} working days to the promised date, caution from 85 % of them"
    out.at_most("days_needed", float(found.available), TIGHT * found.available, why=why)
    if found.unestimated:
        out.at_best_caution(f"{found.unestimated} step{'s have' if found.unestimated > 1 else ' has'} no estimate, so the sum is too small")


def say(s: Any) -> str:
    """The finding in words."""
    found = plan(s.x)
    chain = titles(found.network.chain, found.tasks)
    if not found.total:
        return "Every step is done." if not found.unestimated else "No remaining step has an estimate."
    if found.promised_on < found.as_of:
        first = f"The promised date, {found.promised_on.isoformat()}, is past"
    else:
        first = f"{s.v['days_needed']:.1f} days of work, {found.available} left"
    rules = found.network.length >= found.total / s.x.crew
    tight = found.available > 0 and any(limit.violated and limit.of == "days_needed" for limit in s.limits)
    tail = "; more hands do not shorten it" if rules and tight else ""
    return f"{first}; the chain that decides is {chain}{tail}." if rules else f"{first}; the amount of work decides, not the order of the steps."


def series(found: Plan) -> dict[str, Any]:
    """The remaining steps for the drawing."""
    net = found.network
    return {
        "kind": "schedule", "as_of": found.as_of.isoformat(), "promised_on": found.promised_on.isoformat(), "available_time": found.available * found.day,
        "tasks": [{"id": key, "title": task["title"], "earliest_start": net.earliest_start[key], "earliest_finish": net.earliest_finish[key],
                   "latest_finish": net.latest_finish[key], "done_at": task.get("done_at"), "critical": key in net.chain,
                   "after": list(task.get("after") or ())}
                  for key, task in found.tasks.items()],
    }


CHECK = Check(
    title="Will it be ready as promised?",
    system="schedule",
    safety=False,
    applies=applies,
    reads=READS,
    inputs=list(INPUTS),
    values={
        "critical_path": Shown("longest chain of steps", "time", "h"),
        "total_work": Shown("work left", "time", "h"),
        "work_time": Shown("least time it takes", "time", "h"),
        "days_needed": Shown("working days needed", "dimensionless"),
        "days_available": Shown("working days available", "dimensionless"),
        "slack.{task}": Shown("slack of {task}", "time", "h"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("schedule.hours_per_day"), Fix("schedule.crew", "no help when the longest chain decides")],
    extras=lambda x, values: {"series": series(plan(x))},
    formula="work_time = max(longest chain, total work/crew); days_needed = work_time/(hours_per_day·productive_fraction)",
    basis=[
        published("critical path method: Kelley & Walker 1959, Critical-Path Planning and Scheduling"),
        derived("the larger of chain and shared work is a lower bound"),
        common_practice("85 % of the days left; 0.7 of the hours present are spent on the car"),
    ],
)
