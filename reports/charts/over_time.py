"""One fact over the years: its readings by date, joined for each place; the newest in accent."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from math import ceil, floor
from typing import Any

from reports import typography
from reports.charts import Drawing
from reports.charts.plot import Plot, tick_text, ticks
from reports.charts.sheet import SMALL_SIZE, Sheet, spread, text_width

NEEDS = ("title", "rows")
WIDTH, HEIGHT, LEFT, TOP, FIELD = 106.0, 40.0, 14.0, 6.0, 26.0
#: Room at the right for the names of places, mm.
NAMES = 20.0
_YEAR = 365.2425
#: Units that are printed otherwise than they are written.
_UNITS = {"1": "", "deg": "°", "degC": "°C", "degF": "°F", "in2": "in²", "mm2": "mm²"}
_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
#: Years between ticks of long spans, months between ticks of short ones: the finest that gives no more than `MOST` of them.
_STEPS_OF_YEARS, _STEPS_OF_MONTHS, MOST = (1, 2, 5, 10, 20, 50), (1, 2, 3, 6), 8


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing | None:
    """Draw each row's points (`at`, `value`) over a date axis, the value axis in the shop's unit."""
    rows = [(str(row.get("name") or ""), sorted((day(point["at"]), float(point["value"])) for point in row["points"])) for row in series["rows"]]
    points = [point for _, own in rows for point in own]
    days, values = [at for at, _ in points], [value for _, value in points]
    if not points or min(days) == max(days):
        return None
    named = any(name for name, _ in rows)
    sheet = Sheet(WIDTH, HEIGHT)
    size = (WIDTH - LEFT - (NAMES if named else 5), FIELD)
    plot = Plot(sheet, (LEFT, TOP), size, _widened(min(days), max(days), 0.04), _widened(min(values), max(values), 0.15))
    unit = str(series.get("unit") or "")
    unit = _UNITS.get(unit, unit)
    _axes(plot, unit)
    for _, own in rows:
        plot.curve([at for at, _ in own], [value for _, value in own], "object" if len(rows) == 1 else "thin")
        for at, value in own:
            sheet.circle(plot.at(at, value), 0.9, "accent-solid" if at == max(days) else "solid")
    if named:
        _names(plot, rows)
    told = "; ".join(f"{name or series['title']}: " + ", ".join(f"{date.fromordinal(int(at)).isoformat()} {tick_text(round(value, 3))}" for at, value in own)
                     for name, own in rows)
    title = typography.sentence(series["title"])
    numbers = tuple((name or title, ", ".join(f"{tick_text(round(value, 3))}{f' {unit}' if unit else ''}" for _, value in own)) for name, own in rows)
    return Drawing(sheet.finish(f"{title} over the years", told, key), title, "Each point is a reading; in accent, the newest.", numbers, to_scale=True)


def day(at: str) -> float:
    """A date or time stamp as a day's number."""
    return float(date.fromisoformat(at[:10]).toordinal())


def _widened(low: float, high: float, share: float) -> tuple[float, float]:
    """The range with some room at both ends; a single value gets a tenth of itself around it."""
    room = (high - low) * share or abs(low) * 0.1 or 1.0
    return low - room, high + room


def _axes(plot: Plot, unit: str) -> None:
    sheet, (left, top), (width, height) = plot.sheet, plot.corner, plot.size
    bottom = top + height
    sheet.path([(left, top), (left, bottom), (left + width, bottom)], "thin")
    for tick in ticks(*plot.y_range, wanted=4):
        _, y = plot.at(plot.x_range[0], tick)
        sheet.line((left - 1, y), (left, y), "thin")
        sheet.text((left - 1.6, y + 0.8), tick_text(tick), "end", SMALL_SIZE)
    for at, label in dates(*plot.x_range):
        x, _ = plot.at(at, plot.y_range[0])
        sheet.line((x, bottom), (x, bottom + 1), "thin")
        sheet.text((x, bottom + 3.6), label, "middle", SMALL_SIZE)
    if unit:
        sheet.text((left - 1, top - 2), unit, "start", SMALL_SIZE, "gray")


def dates(low: float, high: float) -> Iterator[tuple[float, str]]:
    """Ticks of a date axis, each with its label: years where there are some, else months.

    >>> [label for _, label in dates(date(2018, 3, 1).toordinal(), date(2026, 3, 1).toordinal())]
    ['2019', '2020', '2021', '2022', '2023', '2024', '2025', '2026']
    """
    first, last = date.fromordinal(ceil(low)), date.fromordinal(floor(high))
    if (high - low) / _YEAR >= 2:
        step = next((step for step in _STEPS_OF_YEARS if (last.year - first.year) / step <= MOST), 100)
        for year in range(first.year - first.year % step, last.year + 1, step):
            if year >= 1 and low <= date(year, 1, 1).toordinal() <= high:
                yield date(year, 1, 1).toordinal(), str(year)
        return
    months = range(first.year * 12 + first.month - 1, last.year * 12 + last.month)
    step = next((step for step in _STEPS_OF_MONTHS if len(months) / step <= MOST), 12)
    for month in months:
        at = date(month // 12, month % 12 + 1, 1).toordinal()
        if month % step == 0 and low <= at <= high:
            yield at, f"{_MONTHS[month % 12]} {month // 12}"


def _names(plot: Plot, rows: list[tuple[str, list[tuple[float, float]]]]) -> None:
    """Each place's name behind its newest reading, moved apart where they would touch."""
    left, top = plot.corner
    ends = [plot.at(*own[-1])[1] for _, own in rows]
    for (name, own), y in zip(rows, spread([end + 0.8 for end in ends], 2.9, top + 1, top + plot.size[1] + 1), strict=True):
        x = max(plot.at(own[-1][0], 0)[0] + 1.8, left + plot.size[0] - text_width("", SMALL_SIZE))
        plot.sheet.text((x, y), name, "start", SMALL_SIZE)
