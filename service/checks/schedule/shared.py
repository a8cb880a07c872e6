"""What both schedule checks read: the network of remaining steps and the days there are."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service import notation
from service.calc import schedule as calc
from service.checks.core import Input, Unknown, option
from service.quantities import read

#: Usual shop. Common practice.
HOURS_PER_DAY, CREW, DAYS_PER_WEEK, PRODUCTIVE_FRACTION = 8 * 3600.0, 1, 5, 0.7

INPUTS: Sequence[Input] = (
    option("schedule.hours_per_day", default=HOURS_PER_DAY, why="usual shop"),
    option("schedule.crew", default=CREW, why="one person"),
    option("schedule.days_per_week", default=DAYS_PER_WEEK, why="Monday to Friday"),
    option("schedule.productive_fraction", default=PRODUCTIVE_FRACTION, why="hours on this car over hours present"),
    option("schedule.as_of"),
)
READS = ("tasks", "parts", "document")


@dataclass(frozen=True, slots=True)
class Plan:
    """The remaining work: network, durations in s, tasks by id, days needed and available."""

    network: calc.Network
    durations: Mapping[str, float]
    tasks: Mapping[str, Mapping[str, Any]]
    unestimated: int
    total: float
    work_time: float
    as_of: dt.date
    promised_on: dt.date
    needed: float
    available: int
    day: float


def applies(car: Any, position: str | None) -> bool:
    """There are tasks and a promised date."""
    return bool(car.document.get("tasks")) and bool((car.document.get("build") or {}).get("promised_on"))


def plan(x: Any) -> Plan:
    """The plan of the remaining steps. Unknown for a circle, an unknown step, or no date to count from."""
    tasks = {task["id"]: task for task in x.tasks}
    durations = {key: _left(task) for key, task in tasks.items()}
    unestimated = sum(1 for task in tasks.values() if not task.get("done_at") and task.get("estimate") is None)
    found = _network(tasks, durations)
    total = sum(durations.values())
    work = max(found.length, total / x.crew)
    day = x.hours_per_day * x.productive_fraction
    as_of, promised = counted_from(x), notation.date(x.document["build"]["promised_on"])
    return Plan(found, durations, tasks, unestimated, total, work, as_of, promised, work / day, calc.working_days(as_of, promised, x.days_per_week), day)


def _network(tasks: Mapping[str, Mapping[str, Any]], durations: Mapping[str, float]) -> calc.Network:
    """The network; a circle or an unknown step is named by the steps' titles."""
    after = {key: list(dict.fromkeys(task.get("after") or ())) for key, task in tasks.items()}
    for key, before in after.items():
        for name in before:
            if name not in tasks:
                raise Unknown(f"“{tasks[key]['title']}” comes after {name}, which is not among the steps")
    try:
        return calc.network(after, durations)
    except calc.Circle as circle:
        raise Unknown(f"these steps wait for each other in a circle: {listed([tasks[key]['title'] for key in circle.steps])}") from circle


def _left(task: Mapping[str, Any]) -> float:
    """Work left in a step, s."""
    if task.get("done_at") or task.get("estimate") is None:
        return 0.0
    return float(read(task["estimate"], "time").si)


def counted_from(x: Any) -> dt.date:
    """As recorded, else the newest date that the record itself shows."""
    if x.has("as_of"):
        return notation.date(x.as_of)
    document = x.document
    dates = [document["build"].get("opened_on")]
    for name, key in (("tasks", "done_at"), ("measurements", "taken_at"), ("fixes", "found_at")):
        dates.extend(record.get(key) for record in document.get(name) or ())
    known = [notation.date(text) for text in dates if text]
    if not known:
        raise Unknown("nothing in the record is dated, so the days cannot be counted; record the day that the schedule counts from")
    return max(known)


def titles(ids: Sequence[str], tasks: Mapping[str, Mapping[str, Any]]) -> str:
    """Steps in words, one after the other."""
    return ", then ".join(tasks[key]["title"] for key in ids)


def listed(names: Sequence[str]) -> str:
    """Names in a row, parted by semicolons where one of them has a comma."""
    return ("; " if any("," in name for name in names) else ", ").join(names)
