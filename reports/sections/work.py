"""The work: each step with who did it and when, and what is still to do."""

from __future__ import annotations

from dataclasses import dataclass

from reports import charts, typography
from reports.charts import Drawing
from reports.document import Task
from reports.source import Source

TITLE = "The work"


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
    """Content of the section."""

    done: tuple[Step, ...]
    open: tuple[Step, ...]
    drawings: tuple[Drawing, ...]


def build(source: Source) -> Work | None:
    """Steps done and to do, with the plan's drawing; None without tasks."""
    steps = [_step(source, task) for task in source.document.tasks]
    drawn = [drawing for result in source.answer.of_systems(["schedule"])
             for drawing in charts.drawings(result.series, result.anchor, source.units)]
    done = tuple(sorted((step for step in steps if step.task.done_at), key=lambda step: step.task.done_at))
    return Work(done, tuple(step for step in steps if not step.task.done_at), tuple(drawn[:1])) if steps else None


def _step(source: Source, task: Task) -> Step:
    titles = {other.id: other.title for other in source.document.tasks}
    open_before = [titles.get(key, key) for key in task.after if any(other.id == key and not other.done_at for other in source.document.tasks)]
    lacking = [source.part_name(source.parts[key]) for key in task.needs_parts
               if key in source.parts and source.parts[key].status in ("wanted", "ordered")]
    waits = "; ".join([*(f"after: {title}" for title in open_before), *(f"needs: {name}" for name in lacking)])
    done = ", ".join(word for word in (task.by, typography.date(task.done_at)) if word)
    return Step(task, source.vocabulary.system_title(task.system) if task.system else "", typography.typed(task.estimate), waits, done)
