"""Radiator from the front, heights to scale: hood above, obstruction below, and the stretch of the slots that may be used."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports import units
from reports.charts import Drawing
from reports.charts.sheet import SMALL_SIZE, Sheet

NEEDS = ("slot_low", "slot_high", "lowest_height", "highest_height", "hood_height", "obstruction_height", "top_above_mount",
         "bottom_below_mount")
WIDTH, HEIGHT, TOP, BASE, RADIATOR = 106.0, 88.0, 8.0, 78.0, 52.0


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw the radiator at the height chosen, else at the middle of its window; heights above the datum."""
    low, high = series["lowest_height"], series["highest_height"]
    mount = series.get("mount_height")
    shown = mount if mount is not None else (low + high) / 2
    bottom = min(series["obstruction_height"], 0.0, shown - series["bottom_below_mount"])
    scale = (BASE - TOP) / (max(series["hood_height"], shown + series["top_above_mount"]) - bottom)
    sheet = Sheet(WIDTH, HEIGHT)

    def at(height: float) -> float:
        return float(BASE - (height - bottom) * scale)

    width = min(52.0, (series.get("core_width") or 0.62) * scale)
    _surroundings(sheet, at, series)
    sheet.rect((RADIATOR - width / 2, at(shown + series["top_above_mount"])), width,
               (series["top_above_mount"] + series["bottom_below_mount"]) * scale, "paper", data="radiator")
    _slot(sheet, at, series, RADIATOR - width / 2 - 5, shown, mount is not None, system)
    sheet.dimension((RADIATOR + width / 2 + 4, at(series["hood_height"])), (RADIATOR + width / 2 + 4, at(shown + series["top_above_mount"])),
                    units.length(series["hood_height"] - shown - series["top_above_mount"], system), data="gap to hood")
    sheet.dimension((RADIATOR + width / 2 + 4, at(shown - series["bottom_below_mount"])), (RADIATOR + width / 2 + 4, at(series["obstruction_height"])),
                    units.length(shown - series["bottom_below_mount"] - series["obstruction_height"], system), data="gap below")
    sheet.scale_bar((4, HEIGHT - 1), scale, system)
    numbers = [("lowest", units.length(low, system)), ("highest", units.length(high, system))]
    if mount is not None:
        numbers.insert(0, ("chosen", units.length(mount, system)))
    return Drawing(sheet.finish("Radiator between hood and crossmember",
                                f"The mounting hole may stand {units.length(low, system)} to {units.length(high, system)} above the datum.", key),
                   "Radiator between hood and crossmember", "Heights to scale; shaded, the stretch of the slot that clears both.",
                   tuple(numbers), to_scale=True)


def _surroundings(sheet: Sheet, at: Any, series: Mapping[str, Any]) -> None:
    hood, under = at(series["hood_height"]), at(series["obstruction_height"])
    sheet.line((16, hood), (92, hood), "object")
    sheet.hatch((16, hood - 2.4), 76, 2.4)
    sheet.text((14.5, hood + 0.9), "hood", "end")
    sheet.rect((30, under), 44, 3.4, "paper")
    sheet.hatch((30, under), 44, 3.4)
    sheet.text((28.5, under + 2.4), "crossmember", "end")


def _slot(sheet: Sheet, at: Any, series: Mapping[str, Any], x: float, shown: float, chosen: bool, system: str) -> None:
    low, high = series["slot_low"], series["slot_high"]
    if series["highest_height"] >= series["lowest_height"]:
        sheet.rect((x - 2.2, at(series["highest_height"])), 4.4, at(series["lowest_height"]) - at(series["highest_height"]), "band",
                   data="window")
    sheet.rect((x - 1.1, at(high)), 2.2, at(low) - at(high), "object", data="slot")
    sheet.line((x - 2.6, at(shown)), (x + 4.6, at(shown)), "accent", data="mount")
    label = units.length(shown, system) if chosen else "middle"
    us, _, other = label.partition(" (")
    sheet.text((x - 4, at(shown) + 0.9), us, "end", tone="accent", bold=True)
    if other:
        sheet.text((x - 4, at(shown) + 4.3), f"({other}", "end", tone="accent")
    sheet.text((x, at(high) - 1.6), "slot", "middle", SMALL_SIZE, "gray")
