"""Speed in the gears: engine speed over road speed, a line for each gear up to the redline."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports import units
from reports.charts import Drawing
from reports.charts.plot import Plot
from reports.charts.sheet import SMALL_SIZE, Sheet

NEEDS = ("ratios", "axle_ratio", "rolling_radius")
WIDTH, HEIGHT = 106.0, 72.0


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw each gear's line; the drop at a shift is the dashed step between two lines."""
    redline = series.get("redline") or 1.2 * (series.get("peak_torque_speed") or series.get("cruise_engine_speed") or 500.0)
    per_gear = [series["rolling_radius"] / (series["axle_ratio"] * ratio) for ratio in series["ratios"]]
    unit, name = (units.MILE_PER_HOUR, "mph") if system != "metric" else (units.KILOMETER_PER_HOUR, "km/h")
    rpm = 1 / units.REVOLUTION_PER_MINUTE
    tops = [redline * meters / unit for meters in per_gear]
    sheet = Sheet(WIDTH, HEIGHT)
    plot = Plot(sheet, (14, 8), (86, 54), (0.0, 1.08 * max(tops)), (0.0, 1.1 * redline * rpm))
    plot.axes(f"road speed, {name}", "engine speed, rpm")
    for index, top in enumerate(tops):
        start = redline * rpm * tops[index - 1] / top if index else 0.0
        plot.curve([tops[index - 1] if index else 0.0, top], [start, redline * rpm])
        plot.curve([0.0, tops[index - 1] if index else 0.0], [0.0, start], "gray")
        if index:
            plot.curve([tops[index - 1]] * 2, [start, redline * rpm], "dashed")
        x, y = plot.at(top, redline * rpm)
        sheet.text((x, y - 1.2), str(index + 1), "middle", bold=True)
    _marks(sheet, plot, series, unit, rpm)
    numbers = tuple((f"gear {index}, to", units.speed(top * unit, system)) for index, top in enumerate(tops, 1))
    if series.get("cruise_engine_speed") and series.get("cruise_speed"):
        numbers += ((f"at {units.speed(series['cruise_speed'], system)}", units.rotation(series["cruise_engine_speed"])),)
    said = ", ".join(f"gear {index} to {top:.0f} {name}" for index, top in enumerate(tops, 1))
    limit = "the redline" if series.get("redline") else "the highest speed shown"
    return Drawing(sheet.finish("Speed in the gears", f"At {limit}: {said}.", key), "Speed in the gears",
                   f"Each line is a gear, up to {limit}; the dashed step is what the engine drops at a shift.", numbers, to_scale=True)


def _marks(sheet: Sheet, plot: Plot, series: Mapping[str, Any], unit: float, rpm: float) -> None:
    peak = series.get("peak_torque_speed")
    if peak:
        left, y = plot.at(0.0, peak * rpm)
        right, _ = plot.at(plot.x_range[1], peak * rpm)
        sheet.line((left, y), (right, y), "dashed")
        sheet.text((right, y - 1), "peak torque", "end", SMALL_SIZE, "gray")
    if series.get("cruise_speed") and series.get("cruise_engine_speed"):
        x, y = plot.at(series["cruise_speed"] / unit, series["cruise_engine_speed"] * rpm)
        sheet.circle((x, y), 1.0, "accent-solid")
        sheet.text((x + 1.8, y + 3.2), "cruise", tone="accent", bold=True)
