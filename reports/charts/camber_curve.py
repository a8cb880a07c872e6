"""Camber over wheel travel, before a change and after it."""

from __future__ import annotations

from collections.abc import Mapping
from math import degrees
from typing import Any

from reports import units
from reports.charts import Drawing
from reports.charts.plot import Plot
from reports.charts.sheet import SMALL_SIZE, Sheet, spread

NEEDS = ("travel", "before")
WIDTH, HEIGHT = 106.0, 60.0


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw camber in degrees over travel, bump to the right."""
    unit, name = (units.INCH, "in") if system != "metric" else (0.001, "mm")
    travel = [value / unit for value in series["travel"]]
    curves = [(word, [degrees(value) for value in series[word]]) for word in ("before", "after") if series.get(word)]
    values = [value for _, curve in curves for value in curve] + [0.0]
    span = max(values) - min(values) or 1.0
    sheet = Sheet(WIDTH, HEIGHT)
    plot = Plot(sheet, (12, 8), (80, 42), (min(travel), max(travel)), (min(values) - 0.1 * span, max(values) + 0.1 * span))
    plot.axes(f"wheel travel, {name} (bump to the right)", "camber, degrees")
    plot.curve([min(travel), max(travel)], [0.0, 0.0], "gray")
    last = curves[-1][0]
    for word, curve in curves:
        plot.curve(travel, curve, "accent" if word == last else "dashed-ink")
    ends = spread([plot.at(travel[-1], curve[-1])[1] + 0.9 for _, curve in curves], 3.2, 8, 52)
    for (word, _), y in zip(curves, ends, strict=True):
        label = word if len(curves) > 1 else "as fitted"
        sheet.text((93, y), label, size=SMALL_SIZE, tone="accent" if word == last else "ink")
    numbers = tuple((f"{word} at full {way}" if len(curves) > 1 else f"at full {way}", units.angle(series[word][index], signed=True))
                    for word, _ in curves for index, way in ((-1, "bump"), (0, "droop")))
    return Drawing(sheet.finish("Camber over wheel travel", "; ".join(f"{n}: {v}" for n, v in numbers), key),
                   "Camber over wheel travel", "Negative camber leans the top of the wheel inward.", numbers)
