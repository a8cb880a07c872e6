"""The work as it ran: each step at the day it was done, its estimate laid back from there, and since when it could have begun."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from typing import Any

from reports import typography
from reports.charts import Drawing
from reports.charts.sheet import SMALL_SIZE, Sheet

NEEDS = ("tasks", "hours_per_day")
WIDTH, LEFT, RIGHT, ROW = 106.0, 42.0, 102.0, 5.4
LONGEST_TITLE = 32
ROWS = "tasks"
#: Months named along the axis at most; of a longer job every second, third … is named.
MONTHS = 9
_SHORT = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing | None:
    """Draw the steps done; days are proleptic ordinals, `begun` and `done` of a task, `promised` and `delivered` of the job."""
    tasks = in_order(series)
    if not tasks:
        return None
    everything = series.get("whole") or tasks
    marks = [(series[name], name) for name in ("promised", "delivered") if series.get(name)]
    first = min(task["begun"] for task in everything)
    last = max([task["done"] for task in everything] + [day for day, _ in marks])
    height = 6 + ROW * len(tasks)
    sheet = Sheet(WIDTH, height + 9)

    def at(day: float) -> float:
        return float(LEFT + (day - first) / max(1, last - first) * (RIGHT - LEFT))

    for index, task in enumerate(tasks):
        _row(sheet, task, 4 + ROW * index, at, series["hours_per_day"])
    _axis(sheet, at, first, last, height)
    for day, name in marks:
        sheet.line((at(day), 1), (at(day), height), "dashed-ink" if name == "promised" else "thin", data=name)
    sheet.text((RIGHT, height + 7), ", ".join(["bar: the estimate", *(f"{'dashed' if name == 'promised' else 'line'}: {name}" for _, name in marks)]),
               "end", SMALL_SIZE, "gray")
    deciding = ", ".join(task["title"] for task in everything if task.get("deciding"))
    numbers = tuple((task["title"], typography.date(date.fromordinal(task["done"]).isoformat())) for task in tasks)
    return Drawing(sheet.finish("The work as it ran", f"From {_day(first)} to {_day(last)}. The chain that decided: {deciding}.", key), "The work as it ran",
                   "Thin: since the steps before were done. The bar is the estimate, ending on the day the step was done. In accent, the chain that "
                   "decided.", numbers, to_scale=True)


def in_order(series: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The steps by the day they were done."""
    return sorted(series["tasks"], key=lambda task: (task["done"], task["begun"]))


def _day(ordinal: int) -> str:
    return typography.date(date.fromordinal(ordinal).isoformat())


def _row(sheet: Sheet, task: Mapping[str, Any], y: float, at: Callable[[float], float], hours: float) -> None:
    title = str(task["title"])
    sheet.text((LEFT - 1.6, y + 0.9), title if len(title) <= LONGEST_TITLE else title[:LONGEST_TITLE - 1] + "…", "end", SMALL_SIZE)
    sheet.line((at(task["begun"]), y), (at(task["done"]), y), "gray")
    start = max(float(task["begun"]), task["done"] - (task.get("estimate") or 0.0) / 3600 / hours)
    style = "accent-solid" if task.get("deciding") else "paper"
    sheet.rect((at(start), y - 1.3), max(0.5, at(task["done"]) - at(start)), 2.6, style, data=task["id"])


def _axis(sheet: Sheet, at: Callable[[float], float], first: int, last: int, height: float) -> None:
    """The axis with the first days of months named, weeks for a job of a few."""
    sheet.line((LEFT, height), (RIGHT, height), "thin")
    day, months = date.fromordinal(first).replace(day=1), []
    while day.toordinal() <= last:
        if day.toordinal() >= first:
            months.append(day)
        day = (day + timedelta(days=32)).replace(day=1)
    named = months if months else [date.fromordinal(first)]
    for index, day in enumerate(named):
        x = at(day.toordinal())
        sheet.line((x, height), (x, height + 1), "thin")
        if index % -(-len(named) // MONTHS) == 0:
            word = _SHORT[day.month - 1] if months else f"{_SHORT[day.month - 1]} {day.day}"
            sheet.text((x, height + 3.6), f"{word} {day.year}" if months and (day.month == 1 or index == 0) else word, "middle", SMALL_SIZE)
