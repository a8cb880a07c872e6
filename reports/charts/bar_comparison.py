"""Anti-roll bar against the one it replaces: both in section, and the stiffness ratio in the bands of the intended use."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import sqrt
from typing import Any

from reports import typography, units
from reports.charts import Drawing
from reports.charts.sheet import SMALL_SIZE, Point, Sheet, spread, text_width

NEEDS = ("diameter", "original_diameter", "stiffness_ratio")
WIDTH, HEIGHT, STRIP = 106.0, 74.0, 60.0


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw both sections to one scale and the ratio on its strip."""
    scale = min(1000.0, 38.0 / max(series["diameter"], series["original_diameter"]))
    sheet = Sheet(WIDTH, HEIGHT)
    for x, name, tone in ((28.0, "original_", "ink"), (78.0, "", "accent")):
        diameter, wall = series[f"{name}diameter"], series.get(f"{name}wall")
        _section(sheet, (x, 23.0), diameter * scale / 2, (wall or 0.0) * scale, name)
        word = "original" if name else "fitted"
        sheet.text((x, 47.0), f"{word} {units.length(diameter, system)}", "middle", tone=tone, bold=not name)
    _ratio_strip(sheet, series)
    sheet.scale_bar((4, HEIGHT - 1), scale, system)
    ratio = f"{series['stiffness_ratio']:.2f}"
    numbers = [("original", _size(series, "original_", system)), ("fitted", _size(series, "", system)), ("stiffness ratio", ratio)]
    if series.get("roll_at_one_g") is not None:
        numbers.append(("roll at one g", units.angle(series["roll_at_one_g"])))
    return Drawing(sheet.finish("Anti-roll bar against the original", f"The bar is {ratio} times as stiff as the original.", key),
                   "Anti-roll bar against the original",
                   f"Sections to one scale. Shaded: the stiffness wanted for {typography.words(series.get('use') or 'this')} use.",
                   tuple(numbers), to_scale=True)


def _size(series: Mapping[str, Any], name: str, system: str) -> str:
    wall = series.get(f"{name}wall")
    size = units.length(series[f"{name}diameter"], system)
    return f"{size}, wall {units.length(wall, system)}" if wall else f"{size}, solid"


def _section(sheet: Sheet, center: Point, radius: float, wall: float, name: str) -> None:
    """A round section with hatching; a hollow bar keeps its bore clear."""
    bore = radius - wall if wall else 0.0
    sheet.circle(center, radius, "object" if name else "accent")
    step = -radius
    while (step := step + 1.4) < radius:
        outer = sqrt(radius**2 - step**2)
        inner = sqrt(bore**2 - step**2) if abs(step) < bore else 0.0
        for low, high in ((-outer, -inner), (inner, outer)) if inner else ((-outer, outer),):
            sheet.line(_turned(center, low, step), _turned(center, high, step), "gray")
    if bore:
        sheet.circle(center, bore, "object" if name else "accent")
    sheet.line((center[0] - radius, center[1]), (center[0] + radius, center[1]), "center", data=f"{name}diameter")


def _turned(center: Point, along: float, across: float) -> Point:
    diagonal = sqrt(0.5)
    return center[0] + (along + across) * diagonal, center[1] + (across - along) * diagonal


def _ratio_strip(sheet: Sheet, series: Mapping[str, Any]) -> None:
    wanted, allowed = series.get("wanted"), series.get("allowed")
    ratio = series["stiffness_ratio"]
    top = 1.15 * max([ratio, 1.0, *(wanted or ()), *(allowed or ())])

    def at(value: float) -> float:
        return float(6 + value / top * 94)

    if wanted:
        sheet.rect((at(wanted[0]), STRIP - 2), at(wanted[1]) - at(wanted[0]), 4, "band", data="wanted")
    sheet.line((at(0), STRIP), (100, STRIP), "thin")
    for pair, style in ((wanted, "dashed-ink"), (allowed, "object")):
        for value, inward in zip(pair or (), (1.2, -1.2), strict=False):
            sheet.path([(at(value) + inward, STRIP - 2), (at(value), STRIP - 2), (at(value), STRIP + 2),
                        (at(value) + inward, STRIP + 2)], style)
    _limits(sheet, at, sorted({*(wanted or ()), *(allowed or ())}))
    if series.get("ratio_low") and series.get("ratio_high"):
        sheet.rect((at(series["ratio_low"]), STRIP - 0.65), at(series["ratio_high"]) - at(series["ratio_low"]), 1.3, "accent-solid")
    sheet.line((at(ratio), STRIP - 3), (at(ratio), STRIP + 3), "accent", data="stiffness ratio")
    sheet.text((at(ratio), STRIP - 4), f"{ratio:.2f} times as stiff", "middle", tone="accent", bold=True)


def _limits(sheet: Sheet, at: Callable[[float], float], values: list[float]) -> None:
    """The ends of the bands with their numbers, moved apart where they would touch."""
    words = [f"{value:g}" for value in values]
    gap = max((text_width(word, SMALL_SIZE) for word in words), default=0.0) + 0.8
    for word, x in zip(words, spread([at(value) for value in values], gap, 4.0, 102.0), strict=True):
        sheet.text((x, STRIP + 5), word, "middle", SMALL_SIZE, "gray")
