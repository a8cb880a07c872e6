"""Grip asked of each axle over the braking rate: the axle whose line lies higher locks first."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports.charts import Drawing
from reports.charts.plot import Plot
from reports.charts.sheet import SMALL_SIZE, Sheet, spread

NEEDS = ("braking_rate", "front", "rear")
WIDTH, HEIGHT = 106.0, 62.0


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw front and rear grip asked for, the band in which front must lie above rear, and the most that may be asked."""
    rates = series["braking_rate"]
    sheet = Sheet(WIDTH, HEIGHT)
    top = min(1.6, 1.1 * max(max(series["front"]), max(series["rear"]), 0.8))
    plot = Plot(sheet, (12, 8), (80, 44), (0.0, max(rates)), (0.0, top))
    low, high = series.get("band") or (0.15, 0.80)
    plot.band(low, min(high, max(rates)), 0.0, top)
    plot.axes("braking rate, g", "grip asked of the axle")
    if series.get("limit"):
        plot.curve(rates, series["limit"], "dashed")
    plot.curve(rates, series["front"], "accent")
    plot.curve(rates, series["rear"], "dashed-ink")
    ends = [plot.at(rates[-1], series[name][-1])[1] + 0.9 for name in ("front", "rear")]
    for name, y, tone in zip(("front", "rear"), spread(ends, 3.2, 8, 54), ("accent", "ink"), strict=True):
        sheet.text((93, y), name, tone=tone, bold=name == "front")
    x, y = plot.at(low, top)
    sheet.text((x + 1, y + 3.2), "front must lie above rear here", size=SMALL_SIZE, tone="gray")
    critical = series.get("critical_braking_rate")
    said = f"The rear overtakes the front at {critical:.2f} g." if critical else "The front axle locks first at every rate drawn."
    numbers = tuple((f"{name} at {rates[-1]:.2f} g", f"{series[name][-1]:.2f}") for name in ("front", "rear"))
    return Drawing(sheet.finish("Grip asked of each axle", said, key), "Grip asked of each axle",
                   "The axle that asks for more grip locks first. Dashed gray: the most that may be asked.", numbers)
