"""Section through crank, flexplate and converter pads: fore and aft to scale, heights not."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports import units
from reports.charts import Drawing
from reports.charts.sheet import Sheet

NEEDS = ("flexplate_face", "pads", "gap")
WIDTH, HEIGHT, LEFT, SPAN = 106.0, 70.0, 6.0, 92.0
FRONT, BEHIND = 0.008, 0.014


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw the stack; distances from the block's bellhousing face, rearward to the right."""
    face, pads = series["flexplate_face"], series["pads"]
    thickness = series.get("flexplate_thickness") or 0.003
    crank = series.get("crank_flange")
    if crank is None:
        crank = face - thickness - (series.get("flexplate_offset") or 0.0) - (series.get("spacer_thickness") or 0.0)
    front, rear = min(0.0, crank, face) - FRONT, max(pads, face) + BEHIND
    scale = min(3000.0, SPAN / (rear - front))
    sheet = Sheet(WIDTH, HEIGHT)

    def at(x: float) -> float:
        return float(LEFT + (x - front) * scale)

    _engine(sheet, at, front, crank)
    _plate(sheet, at, series, crank, thickness)
    _converter(sheet, at, series, rear)
    _dimensions(sheet, at, series, system)
    sheet.scale_bar((LEFT, HEIGHT - 1), scale, system)
    gap = units.length(series["gap"], system)
    wanted = series.get("gap_wanted")
    numbers = [("gap", gap), ("block face to flexplate", units.length(face, system)),
               ("block face to pads", units.length(pads, system))]
    if wanted:
        numbers.insert(1, ("wanted", f"{units.length(wanted[0], system)} to {units.length(wanted[1], system)}"))
    if series.get("spacer_thickness"):
        numbers.append(("spacer", units.length(series["spacer_thickness"], system)))
    return Drawing(sheet.finish("Flexplate and converter", f"With the converter pushed home the gap is {gap}.", key),
                   "Flexplate and converter", "Converter pushed home in the pump. Fore and aft to scale; shaded, the gap wanted.",
                   tuple(numbers), to_scale=True)


def _engine(sheet: Sheet, at: Any, front: float, crank: float) -> None:
    sheet.hatch((at(front), 8), at(0) - at(front), 28)
    sheet.line((at(0), 6), (at(0), 36), "object")
    sheet.text((at(0) - 0.6, 5.2), "block face", "end", tone="gray")
    sheet.rect((at(front), 42), at(crank) - at(front), 16, "paper")
    sheet.text((at(front) + 1, 51), "crank")
    sheet.line((at(front) - 2, 60), (WIDTH - 3, 60), "center")


def _plate(sheet: Sheet, at: Any, series: Mapping[str, Any], crank: float, thickness: float) -> None:
    spacer, offset = series.get("spacer_thickness") or 0.0, series.get("flexplate_offset") or 0.0
    on_converter = series.get("spacer_location") == "converter"
    hub = crank + (0.0 if on_converter else spacer)
    ring = hub + offset
    if spacer and not on_converter:
        sheet.rect((at(crank), 44), at(hub) - at(crank), 14, "paper", data="spacer")
        sheet.hatch((at(crank), 44), at(hub) - at(crank), 14)
    points = [(at(hub), 58), (at(hub), 34), (at(ring), 28), (at(ring), 12), (at(ring + thickness), 12),
              (at(ring + thickness), 28), (at(hub + thickness), 34), (at(hub + thickness), 58)]
    sheet.path(points, "paper", close=True)
    if spacer and on_converter:
        sheet.rect((at(ring + thickness), 15), spacer * (at(1) - at(0)), 7, "paper", data="spacer")
        sheet.hatch((at(ring + thickness), 15), spacer * (at(1) - at(0)), 7)
    sheet.text((at(ring) - 0.8, 22), "flexplate", "end")


def _converter(sheet: Sheet, at: Any, series: Mapping[str, Any], rear: float) -> None:
    pads = series["pads"]
    pad_end = pads + 0.006
    sheet.rect((at(pads), 15), at(pad_end) - at(pads), 7, "paper")
    sheet.hatch((at(pads), 15), at(pad_end) - at(pads), 7)
    pilot, shoulder = series.get("pilot_length"), series.get("pad_to_pilot_shoulder")
    front = pads - (shoulder or -0.004)
    sheet.path([(at(rear), 10), (at(pad_end), 10), (at(pad_end), 26), (at(max(front, pads + 0.002)), 40),
                (at(front), 56), (at(front), 60)], "object")
    if pilot and shoulder is not None:
        sheet.path([(at(front), 56), (at(front - pilot), 56), (at(front - pilot), 60)], "object")
    sheet.text((at(pad_end) + 2, 33), "converter")


def _dimensions(sheet: Sheet, at: Any, series: Mapping[str, Any], system: str) -> None:
    face, pads, wanted = series["flexplate_face"], series["pads"], series.get("gap_wanted")
    if wanted:
        sheet.rect((at(face + wanted[0]), 15), at(wanted[1]) - at(wanted[0]), 7, "band", data="gap wanted")
    sheet.dimension((at(face), 12), (at(face + series["gap"]), 12), "", 3.0, "accent", data="gap")
    sheet.text((at(face + series["gap"]) + 2.4, 9.2), f"gap {units.length(series['gap'], system)}", tone="accent", bold=True)
    sheet.dimension((at(0), 38), (at(pads), 38), "", data="pads")
    sheet.text((at(0) + 2.2, 37.1), units.length(pads, system))
