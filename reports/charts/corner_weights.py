"""Weights at the four corners, car seen from above, front to the top."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports import units
from reports.charts import Drawing
from reports.charts.sheet import Sheet

NEEDS = ("mass",)
WIDTH, HEIGHT = 106.0, 66.0
CORNERS = {"front_left": (32.0, 14.0), "front_right": (74.0, 14.0), "rear_left": (32.0, 52.0), "rear_right": (74.0, 52.0)}


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing | None:
    """Draw the four masses at their wheels, the shares of axles and sides between them."""
    mass = series["mass"]
    if not all(isinstance(mass.get(corner), (int, float)) for corner in CORNERS):
        return None
    total = sum(mass[corner] for corner in CORNERS) or 1.0
    sheet = Sheet(WIDTH, HEIGHT)
    sheet.path([(44, 4), (62, 4), (64, 12), (64, 56), (62, 62), (44, 62), (42, 56), (42, 12)], "thin", close=True)
    for corner, (x, y) in CORNERS.items():
        left = corner.endswith("left")
        sheet.rect((37.5 if left else 64.5, y - 6), 4, 12, "paper")
        sheet.text((x + (3 if left else -3), y + 0.9), units.mass(mass[corner], system), "end" if left else "start", bold=True)
        sheet.text((x + (3 if left else -3), y + 4.6), f"{mass[corner] / total:.1%}".replace("%", " %"), "end" if left else "start", tone="gray")
    front_share, left_share = _share(mass, "front", total), _share(mass, "left", total)
    cross = (mass["front_right"] + mass["rear_left"]) / total
    for index, text in enumerate((f"front {front_share:.1%}", f"left {left_share:.1%}", f"cross {cross:.1%}")):
        sheet.text((53, 29 + 4.4 * index), text.replace("%", " %"), "middle")
    numbers = (("all four", units.mass(total, system)), ("front", f"{front_share:.1%}"), ("left", f"{left_share:.1%}"), ("cross", f"{cross:.1%}"))
    return Drawing(sheet.finish("Weights at the four corners", "; ".join(f"{n}: {v}" for n, v in numbers), key),
                   "Weights at the four corners", "From above, front to the top. Cross: right front and left rear together.", numbers)


def _share(mass: Mapping[str, float], word: str, total: float) -> float:
    return sum(value for corner, value in mass.items() if word in corner.split("_")) / total
