"""The work: each step with who did it and when, how it ran, and what is still to do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from reports import charts, typography
from reports.charts import Drawing
from reports.document import Task
from reports.source import Source

TITLE = "The work"
#: Hours of work in a day where the document does not say: common practice.
HOURS_PER_DAY = 8.0
_SECONDS = {"h": 3600.0, "min": 60.0, "day": 86400.0, "s": 1.0}


@dataclass(frozen=True, slots=True)
class Step:
    """One step as printed."""

    task: Task
    system: str
    estimate: str
    waits: str
    done: str


@dataclass(frozen=True, slots=True)
class Work:
    """Content of the section; `drawings` show what is still to do, `ran` what was done."""

    done: tuple[Step, ...]
    open: tuple[Step, ...]
    drawings: tuple[Drawing, ...]
    ran: tuple[Drawing, ...]


def build(source: Source) -> Work | None:
    """Steps done and to do, with the plan's drawing; None without tasks."""
    steps = [_step(source, task) for task in source.document.tasks]
    series = next((result for result in source.answer.of_systems(["schedule"]) if result.series), None)
    drawn = tuple(charts.drawings(series.series, series.anchor, source.units)) if series else ()
    done = tuple(sorted((step for step in steps if step.task.done_at), key=lambda step: step.task.done_at))
    return Work(done, tuple(step for step in steps if not step.task.done_at), drawn, _ran(source)) if steps else None


def _step(source: Source, task: Task) -> Step:
    titles = {other.id: other.title for other in source.document.tasks}
    open_before = [titles.get(key, key) for key in task.after if any(other.id == key and not other.done_at for other in source.document.tasks)]
    lacking = [source.part_name(source.parts[key]) for key in task.needs_parts
               if key in source.parts and source.parts[key].status in ("wanted", "ordered")]
    waits = "; ".join([*(f"after: {title}" for title in open_before), *(f"needs: {name}" for name in lacking)])
    done = ", ".join(word for word in (task.by, typography.date(task.done_at)) if word)
    return Step(task, source.vocabulary.system_title(task.system) if task.system else "", typography.typed(task.estimate), waits, done)


def _ran(source: Source) -> tuple[Drawing, ...]:
    """The drawing of what was done, from the days recorded; none for fewer than two dated steps."""
    done = {task.id: day for task in source.document.tasks if (day := _day(task.done_at))}
    if len(done) < 2:
        return ()
    opened = _day(source.document.build.opened_on) or min(done.values())
    begun = {task.id: max([min(opened, done[task.id]), *(done[key] for key in task.after if done.get(key, done[task.id] + 1) <= done[task.id])])
             for task in source.document.tasks if task.id in done}
    chain = _deciding(source, done)
    tasks = [{"id": task.id, "title": typography.clean(task.title) or "a step", "begun": begun[task.id], "done": done[task.id],
              "estimate": _seconds(task.estimate), "deciding": task.id in chain} for task in source.document.tasks if task.id in done]
    series: Mapping[str, Any] = {"kind": "schedule_as_run", "tasks": tasks, "hours_per_day": HOURS_PER_DAY,
                                 "promised": _day(source.document.build.promised_on), "delivered": _day(source.document.build.delivered_on)}
    return tuple(charts.drawings(series, "work-as-it-ran", source.units))


def _deciding(source: Source, done: Mapping[str, int]) -> set[str]:
    """From the step done last back to the first, each time the step before that was done latest."""
    tasks = {task.id: task for task in source.document.tasks if task.id in done}
    key: str | None = max(tasks, key=lambda name: done[name])
    chain: set[str] = set()
    while key and key not in chain:
        chain.add(key)
        before = [name for name in tasks[key].after if name in done and done[name] <= done[key]]
        key = max(before, key=lambda name: done[name]) if before else None
    return chain


def _day(text: str) -> int | None:
    try:
        return date.fromisoformat(text[:10]).toordinal()
    except ValueError:
        return None


def _seconds(estimate: Any) -> float:
    """An estimate as typed, in seconds; 0 where it is none that can be drawn."""
    number, _, unit = typography.typed(estimate).partition(" ")
    try:
        return float(number.replace(",", "")) * _SECONDS.get(unit.strip(), 0.0)
    except ValueError:
        return 0.0
