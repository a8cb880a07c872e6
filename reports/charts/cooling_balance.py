"""Where the coolant settles: temperatures of each state between the outside air and the limit, with the heat to be shed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports import units
from reports.charts import Drawing
from reports.charts.plot import Plot
from reports.charts.sheet import SMALL_SIZE, Sheet

NEEDS = ("states", "ambient_temperature", "highest_temperature")
WIDTH, LEFT, RIGHT, ROW = 106.0, 4.0, 102.0, 13.0


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw a strip of temperature for each state, and above it the heat the core can carry where that curve is given."""
    curve = series.get("curve")
    head = 66.0 if curve else 6.0
    states = series["states"]
    sheet = Sheet(WIDTH, head + ROW * len(states) + 8)
    if curve:
        _curve(sheet, curve, states, system)
    for index, state in enumerate(states):
        _state(sheet, series, state, head + ROW * index + 6, system)
    numbers = []
    for state in states:
        numbers += [(f"coolant, {state['name']}", units.temperature(state["coolant_temperature"], system)),
                    (f"heat, {state['name']}", units.power(state["heat"], system))]
    numbers.append(("limit", units.temperature(series["highest_temperature"], system)))
    return Drawing(sheet.finish("Cooling balance", "; ".join(f"{name}: {value}" for name, value in numbers), key),
                   "Cooling balance", "Where the coolant should settle, from the outside air to the limit; the bar is the worst case.",
                   tuple(numbers))


def _state(sheet: Sheet, series: Mapping[str, Any], state: Mapping[str, Any], y: float, system: str) -> None:
    ambient, limit = series["ambient_temperature"], series["highest_temperature"]
    top = max(limit, series.get("boiling_temperature") or 0.0, state["coolant_temperature"], state.get("high") or 0.0)

    def at(kelvin: float) -> float:
        return float(LEFT + 2 + (kelvin - ambient) / (1.1 * (top - ambient)) * (RIGHT - LEFT - 2))

    sheet.rect((at(ambient), y - 2), at(limit) - at(ambient), 4, "band")
    sheet.line((at(ambient), y), (RIGHT, y), "thin")
    marks = [(ambient, "air"), (limit, "limit"), (series.get("boiling_temperature"), "boils")]
    for kelvin, word in [(kelvin, word) for kelvin, word in marks if kelvin]:
        sheet.line((at(kelvin), y - 2), (at(kelvin), y + 2), "object")
        anchor = {"air": "start", "limit": "end"}.get(word, "start")
        label = word if word == "boils" else f"{word} {units.temperature(kelvin, system)}"
        sheet.text((at(kelvin), y + 4.8), label, anchor, SMALL_SIZE, "gray")
    value = state["coolant_temperature"]
    if state.get("low") and state.get("high"):
        sheet.rect((at(state["low"]), y - 0.65), at(state["high"]) - at(state["low"]), 1.3, "accent-solid")
    sheet.line((at(value), y - 3), (at(value), y + 3), "accent", data=f"coolant {state['name']}")
    sheet.text((at(value), y - 3.8), f"{state['name']}: {units.temperature(value, system)}",
               "middle" if 22 < at(value) < 84 else "end" if at(value) >= 84 else "start", tone="accent", bold=True)


def _curve(sheet: Sheet, curve: Mapping[str, Any], states: Any, system: str) -> None:
    unit, name = (units.HORSEPOWER, "hp") if system != "metric" else (1000.0, "kW")
    speed, speed_name = (units.MILE_PER_HOUR, "mph") if system != "metric" else (1.0, "m/s")
    xs = [value / speed for value in curve["face_velocity"]]
    ys = [value / unit for value in curve["heat_carried"]]
    points = [(state["face_velocity"] / speed, state["heat"] / unit, state["name"]) for state in states if state.get("face_velocity")]
    plot = Plot(sheet, (12, 8), (90, 42), (0.0, max([*xs, *(point[0] * 1.1 for point in points)])),
                (0.0, 1.15 * max([*ys, *(point[1] for point in points)])))
    plot.axes(f"air speed at the core, {speed_name}", f"heat, {name}")
    plot.curve(xs, ys)
    x, y = plot.at(xs[-1], ys[-1])
    sheet.text((x, y - 1.4), "what the core can shed at the limit", "end", SMALL_SIZE)
    for across, up, word in points:
        x, y = plot.at(across, up)
        sheet.circle((x, y), 1.0, "accent-solid")
        sheet.text((x + 1.8, y + 0.9), word, tone="accent", bold=True)
