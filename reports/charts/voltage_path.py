"""Where the voltage of a circuit is lost: the drops laid end to end against their limits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports import units
from reports.charts import Drawing
from reports.charts.sheet import SMALL_SIZE, Sheet, spread, text_width

NEEDS = ("circuit", "parts", "voltage_drop")
WIDTH, HEIGHT, LEFT, RIGHT, AXIS = 106.0, 26.0, 4.0, 102.0, 13.0


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw the drops of wire, joints and return one after another, volts to scale."""
    limits = [(series.get("caution"), "caution"), (series.get("fail"), "fail")]
    parts = [part for part in series["parts"] if part.get("drop")]
    top = 1.08 * max([series["voltage_drop"], series.get("high") or 0.0, *(value or 0.0 for value, _ in limits)]) or 1.0
    sheet = Sheet(WIDTH, HEIGHT)

    def at(volts: float) -> float:
        return LEFT + volts / top * (RIGHT - LEFT)

    reached, middles = 0.0, []
    for index, part in enumerate(parts):
        width = at(part["drop"]) - at(0.0)
        sheet.rect((at(reached), AXIS - 2), width, 4, "paper", data=part["name"])
        if index % 2 == 0:
            sheet.hatch((at(reached), AXIS - 2), width, 4)
        middles.append(at(reached) + width / 2)
        reached += part["drop"]
    widest = max((text_width(part["name"], SMALL_SIZE) for part in parts), default=0.0)
    labels = spread(middles, widest + 2, LEFT + widest / 2, RIGHT - widest / 2)
    for part, middle, x in zip(parts, middles, labels, strict=True):
        sheet.line((middle, AXIS - 2), (x, AXIS - 4.6), "gray")
        sheet.text((x, AXIS - 5.2), part["name"], "middle", SMALL_SIZE)
    for value, word in [(value, word) for value, word in limits if value]:
        sheet.path([(at(value) - 1.2, AXIS - 2.6), (at(value), AXIS - 2.6), (at(value), AXIS + 2.6), (at(value) - 1.2, AXIS + 2.6)],
                   "object" if word == "fail" else "dashed-ink")
        sheet.text((at(value), AXIS + 5.6), f"{word} {units.voltage(value)}", "end" if at(value) > 88 else "middle", SMALL_SIZE, "gray")
    sheet.line((at(series["voltage_drop"]), AXIS - 4), (at(series["voltage_drop"]), AXIS + 4), "accent", data="voltage drop")
    x = min(max(at(series["voltage_drop"]), 12.0), 94.0)
    sheet.text((x, AXIS + 9.4), f"lost {units.voltage(series['voltage_drop'])}", "middle", tone="accent", bold=True)
    numbers = [(part["name"] + (f", {part['note']}" if part.get("note") else ""), units.voltage(part["drop"])) for part in parts]
    if series.get("delivered") is not None:
        numbers.append(("left at the load", units.voltage(series["delivered"])))
    title = f"Voltage lost on the way: {series['circuit']}"
    return Drawing(sheet.finish(title, "; ".join(f"{name}: {value}" for name, value in numbers), key), title,
                   "Each piece is what that stretch takes; the brackets are the limits.", tuple(numbers), to_scale=True)
