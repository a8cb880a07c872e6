"""The work as it should run: each step from its earliest start, its slack as a thin line, the deciding chain in accent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports import typography, units
from reports.charts import Drawing
from reports.charts.plot import ticks
from reports.charts.sheet import SMALL_SIZE, Sheet

NEEDS = ("tasks",)
WIDTH, LEFT, RIGHT, ROW = 106.0, 42.0, 102.0, 5.4
LONGEST_TITLE = 32
ROWS = "tasks"


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing | None:
    """Draw the steps that are still open, in order of their earliest start."""
    tasks = in_order(series)
    if not tasks:
        return None
    available = series.get("available_time")
    ends = [max(task["earliest_finish"], task.get("latest_finish") or 0.0) for task in series.get("whole") or tasks]
    top = 1.06 * max([*ends, available or 0.0]) or 1.0
    height = 6 + ROW * len(tasks)
    sheet = Sheet(WIDTH, height + 9)

    def at(seconds: float) -> float:
        return LEFT + seconds / top * (RIGHT - LEFT)

    for index, task in enumerate(tasks):
        _row(sheet, task, 4 + ROW * index, at)
    sheet.line((LEFT, height), (RIGHT, height), "thin")
    for tick in ticks(0.0, top / 3600, wanted=5):
        sheet.line((at(tick * 3600), height), (at(tick * 3600), height + 1), "thin")
        sheet.text((at(tick * 3600), height + 3.6), f"{tick:g}", "middle", SMALL_SIZE)
    if available:
        sheet.line((at(available), 1), (at(available), height), "dashed-ink", data="promised")
    sheet.text((RIGHT, height + 7), "hours of work" + (", dashed: the promise" if available else ""), "end", SMALL_SIZE, "gray")
    numbers = tuple((str(task.get("title") or task["id"]), units.hours(task["earliest_finish"] - (task.get("earliest_start") or 0.0)))
                    for task in tasks)
    deciding = ", ".join(str(task.get("title") or task["id"]) for task in tasks if task.get("critical"))
    return Drawing(sheet.finish("Work still to do", f"The chain that decides: {deciding or 'none'}.", key), "Work still to do",
                   f"From {typography.date(series.get('as_of') or 'today')}. In accent, the chain that decides the date.", numbers,
                   to_scale=True)


def in_order(series: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The steps that are still open, by their earliest start."""
    return sorted((task for task in series["tasks"] if not task.get("done_at") and task.get("earliest_finish") is not None),
                  key=lambda task: (task.get("earliest_start") or 0.0, task["earliest_finish"]))


def _row(sheet: Sheet, task: Mapping[str, Any], y: float, at: Any) -> None:
    title = str(task.get("title") or task["id"])
    sheet.text((LEFT - 1.6, y + 0.9), title if len(title) <= LONGEST_TITLE else title[:LONGEST_TITLE - 1] + "…", "end", SMALL_SIZE)
    start, finish = task.get("earliest_start") or 0.0, task["earliest_finish"]
    sheet.rect((at(start), y - 1.3), at(finish) - at(start), 2.6, "accent-solid" if task.get("critical") else "paper", data=task["id"])
    if (task.get("latest_finish") or 0.0) > finish:
        sheet.line((at(finish), y), (at(task["latest_finish"]), y), "gray")
        sheet.line((at(task["latest_finish"]), y - 1), (at(task["latest_finish"]), y + 1), "gray")
