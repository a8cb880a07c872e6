"""What is the next step waiting for?

A task can start when every task before it is done. It is blocked while a part that it needs is neither received nor
fitted. A part that the record does not know counts as missing: somebody thought of it and nobody ordered it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service import notation
from service.checks.core import Check, Outcome, Shown, common_practice, derived
from service.checks.fasteners.length_to_order import uncommon
from service.checks.readiness.items import system_of_fastener
from service.checks.schedule.shared import listed
from service.document.address import normal

HERE = ("received", "fitted")


def judge(x: Any, out: Outcome) -> None:
    """Steps that could start, and which of them wait."""
    open_steps, waiting = startable(x.tasks), waits(x)
    out.value("steps_open", len(open_steps))
    out.value("steps_blocked", len(waiting))
    out.value("parts_missing", len(set().union(*waiting.values())))
    out.must(not waiting or len(waiting) < len(open_steps), "every step that could start waits for parts")
    out.must(not waiting, f"{len(waiting)} of {len(open_steps)} steps wait", "caution")
    for task in open_steps:
        if task["id"] in waiting:
            out.advise(f"{task['title']} waits for {listed(_names(waiting[task['id']], x.parts))}")


def waits(x: Any) -> dict[str, set[str]]:
    """What each step that could start waits for; steps that wait for nothing are left out."""
    special = _special_bolts(x)
    found = {task["id"]: missing_parts(task, x.parts) | special.get(task.get("system") or "", set()) for task in startable(x.tasks)}
    return {step: parts for step, parts in found.items() if parts}


def startable(tasks: list[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Tasks not done whose tasks before them are all done."""
    done = {task["id"] for task in tasks if task.get("done_at")}
    return [task for task in tasks if task["id"] not in done and all(before in done for before in task.get("after") or ())]


def missing_parts(task: Mapping[str, Any], parts: list[Mapping[str, Any]]) -> set[str]:
    """Ids of the parts that a task needs and the shop does not have."""
    here = {part["id"] for part in parts if part.get("status", "fitted") in HERE}
    return {needed for needed in task.get("needs_parts") or () if needed not in here}


def _special_bolts(x: Any) -> dict[str, set[str]]:
    """Bolts to be ordered ahead and not tightened yet, by the system of their fastener: they hold up a step like a part."""
    fasteners = {normal(entry["joint"]): entry for entry in x.document.get("fasteners") or ()}
    found: dict[str, set[str]] = {}
    for item in x.results:
        joint = item["position"]
        if item["check"] == "fasteners.length_to_order" and joint in fasteners and _to_order(x.car, item):
            found.setdefault(system_of_fastener(fasteners[joint], x.car) or "", set()).add(f"bolts for {fasteners[joint]['joint'].strip()}")
    return found


def _to_order(car: Any, result: Mapping[str, Any]) -> bool:
    """Whether a joint's bolt is not on a shelf, or of no length made, and not in the joint yet."""
    joint, values = result["position"], result["values"]
    if "longest" not in values or car.exists(f"fastener.applied_torque@{joint}"):
        return False
    if "order_length" not in values:
        return True
    thread, grade = notation.thread(car.value(f"fastener.thread@{joint}")), car.value(f"fastener.class@{joint}")
    return bool(uncommon(values["order_length"]["si"], thread, grade))


def _names(ids: set[str], parts: list[Mapping[str, Any]]) -> list[str]:
    by_id = {part["id"]: part.get("name") or part["kind"].replace("_", " ") for part in parts}
    return sorted(by_id.get(key) or (key if key.startswith("bolts for") else f"{key} (not in the record)") for key in ids)


def say(s: Any) -> str:
    """The finding in words."""
    opened, blocked = s.v["steps_open"], s.v["steps_blocked"]
    if not opened:
        return "No step is waiting to be started."
    if not blocked:
        return f"All {opened} steps that come next have their parts." if opened > 1 else "The step that comes next has its parts."
    names = listed(_names(set().union(*waits(s.x).values()), s.x.parts))
    if opened == 1:
        return f"The step that comes next waits for parts: {names}."
    return f"{blocked} of {opened} steps that come next wait{'s' if blocked == 1 else ''} for parts: {names}."


CHECK = Check(
    title="What is the next step waiting for?",
    system="readiness",
    safety=False,
    applies=lambda car, position: any(task.get("needs_parts") for task in car.document.get("tasks") or ()),
    reads=("document", "tasks", "parts", "car", "results"),
    last=1,
    inputs=[],
    values={
        "steps_open": Shown("steps that could start", "dimensionless"),
        "steps_blocked": Shown("steps that wait for parts", "dimensionless"),
        "parts_missing": Shown("parts they wait for", "dimensionless"),
    },
    judge=judge,
    say=say,
    formula="a step waits when its tasks before are done and a part it needs is neither received nor fitted",
    basis=[derived("from the tasks and the parts' status"), common_practice("a bolt to be ordered ahead holds up a step like a part")],
)
