"""Brake force at the rear over brake force at the front, against the ideal share as the load moves forward."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports import units
from reports.charts import Drawing
from reports.charts.plot import Plot
from reports.charts.sheet import SMALL_SIZE, Sheet

NEEDS = ("braking_rate", "front_force", "rear_force", "ideal_front_force", "ideal_rear_force")
WIDTH, HEIGHT = 106.0, 72.0
#: Braking rates at which lines of equal deceleration are drawn.
RATES = (0.2, 0.4, 0.6, 0.8, 1.0)


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw both curves; below the ideal curve the front wheels lock first, above it the rear ones."""
    unit, name = (units.POUND_FORCE, "lbf") if system != "metric" else (1000.0, "kN")
    front, rear = ([force / unit for force in series[key_]] for key_ in ("front_force", "rear_force"))
    ideal_front, ideal_rear = ([force / unit for force in series[key_]] for key_ in ("ideal_front_force", "ideal_rear_force"))
    sheet = Sheet(WIDTH, HEIGHT)
    top = 1.35 * max(max(rear), max(ideal_rear))
    plot = Plot(sheet, (14, 8), (86, 54), (0.0, 1.05 * max(max(front), max(ideal_front))), (0.0, top))
    _equal_rates(sheet, plot, series, ideal_front, ideal_rear)
    plot.axes(f"front brake force, {name}", f"rear brake force, {name}")
    plot.curve(ideal_front, ideal_rear, "dashed-ink")
    plot.curve(front, rear, "accent")
    _end_label(sheet, plot, ideal_front, ideal_rear, "ideal", "ink")
    _end_label(sheet, plot, front, rear, "this car", "accent")
    lock = series.get("first_lock")
    numbers: tuple[tuple[str, str], ...] = ()
    if lock:
        x, y = plot.at(lock["front_force"] / unit, lock["rear_force"] / unit)
        sheet.circle((x, y), 1.0, "accent-solid")
        where = (x + 2.2, y + 5.4) if x < 50 else (x - 2.4, y - 2.6)
        sheet.label(where, f"{lock['axle']} locks at {lock['braking_rate']:.2f} g", "start" if x < 50 else "end", tone="accent", bold=True)
        numbers = ((f"{lock['axle']} locks first at", f"{lock['braking_rate']:.2f} g"),
                   ("front force there", units.force(lock["front_force"], system)),
                   ("rear force there", units.force(lock["rear_force"], system)))
    said = f"The {lock['axle']} axle locks first, at {lock['braking_rate']:.2f} g." if lock else "Front against rear brake force."
    return Drawing(sheet.finish("Brake force, front and rear", said, key), "Brake force, front and rear",
                   "While the car's line stays under the ideal one, the front wheels lock first and the car keeps straight.", numbers)


def _equal_rates(sheet: Sheet, plot: Plot, series: Mapping[str, Any], front: list[float], rear: list[float]) -> None:
    """Lines along which front and rear force add to the same deceleration."""
    pairs = list(zip(series["braking_rate"], front, rear, strict=False))
    rate, first, second = max(pairs, key=lambda pair: pair[0])
    weight = (first + second) / rate
    for z in RATES:
        total = z * weight
        inside = [(x, total - x) for x in (total - plot.y_range[1] * i / 20 for i in range(21)) if 0 <= x <= plot.x_range[1]]
        inside = [(x, y) for x, y in inside if 0 <= y <= plot.y_range[1]]
        if len(inside) > 1:
            sheet.path([plot.at(x, y) for x, y in inside], "gray")
            x, y = plot.at(*inside[-1])
            sheet.text((x + 1.4, y + 2.6), f"{z:.1f} g", "start", SMALL_SIZE, "gray")


def _end_label(sheet: Sheet, plot: Plot, xs: list[float], ys: list[float], text: str, tone: str) -> None:
    x, y = plot.at(xs[-1], ys[-1])
    sheet.text((min(x, WIDTH - 6), y - 1.4), text, "end", tone=tone)
