"""Wheel and tire in the arch, seen from behind with the car's center to the left: section before and after, gaps to scale."""

from __future__ import annotations

from collections.abc import Mapping
from math import copysign, cos, radians, sin
from typing import Any

from reports import typography, units
from reports.charts import Drawing
from reports.charts.sheet import SMALL_SIZE, Point, Sheet

NEEDS = ("before", "after", "inner_clearance", "outer_clearance")
WIDTH, HEIGHT, TOP, DEPTH = 106.0, 84.0, 16.0, 0.26
RIM_DIAMETER = 0.381
#: Paper left under the section for the words at its foot and the scale bar.
BELOW = 12.0
#: Wheels nearer to each other than this, in meters, are drawn as one.
ALIKE = 5e-4


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw the upper half of the wheel that was measured (dashed) and the one fitted; x is zero at the hub face, outward right."""
    inner, outer = _sides(series)
    scale = min(230.0, 66.0 / (outer - inner), (HEIGHT - TOP - BELOW) / _tall(series))
    center = 53.0 - (inner + outer) / 2 * scale
    sheet = Sheet(WIDTH, HEIGHT)
    highest = max(_radius(series["after"]), _radius(series["before"]) + _gap(series, "radial_clearance", "before"))

    def at(x: float, radius: float) -> Point:
        return center + x * scale, TOP + (highest - radius) * scale

    _arch(sheet, at, series, inner, outer)
    for name, style in (("before", "dashed"), ("after", "object")):
        if not _same(series):
            _tire(sheet, at, {**_rim(series["after"]), **series[name]}, style)
    if _same(series):
        _tire(sheet, at, series["after"], "object")
    _gaps(sheet, at, series, system)
    sheet.scale_bar((4, HEIGHT - 1), scale, system)
    place = typography.words(series.get("position") or "")
    title = f"Wheel in its arch, {place}" if place else "Wheel in its arch"
    numbers = _numbers(series, system)
    return Drawing(sheet.finish(title, "; ".join(f"{name}: {value}" for name, value in numbers), key), title,
                   "Seen from behind, car's center to the left. Dashed: the wheel the gaps were measured with.", numbers, to_scale=True)


def _same(series: Mapping[str, Any]) -> bool:
    return all(abs((series["before"].get(name) or 0) - (series["after"].get(name) or 0)) < ALIKE
               for name in ("section_width", "offset", "diameter"))


def _rim(wheel: Mapping[str, Any]) -> dict[str, Any]:
    """The rim of the wheel fitted, where that of the wheel measured with is not recorded."""
    return {name: wheel[name] for name in ("rim_diameter",) if wheel.get(name)}


def _tall(series: Mapping[str, Any]) -> float:
    """Height of what is drawn: from under the hub face's mark to the arch or the tread."""
    base = _radius(series["before"])
    return max(_radius(series["after"]), base + _gap(series, "radial_clearance", "before")) - (base - DEPTH * 1.04)


def _radius(wheel: Mapping[str, Any]) -> float:
    return float(wheel.get("diameter") or 0.65) / 2


def _gap(series: Mapping[str, Any], name: str, when: str) -> float:
    gap = series.get(name)
    value = gap.get(when) if gap else None
    return float(value) if value is not None else 0.03


def _sides(series: Mapping[str, Any]) -> Point:
    """Where the nearest things inboard and outboard stand, from the wheel the gaps were measured with."""
    before = series["before"]
    left = -before["offset"] - before["section_width"] / 2 - _gap(series, "inner_clearance", "before")
    return left, -before["offset"] + before["section_width"] / 2 + _gap(series, "outer_clearance", "before")


def _arch(sheet: Sheet, at: Any, series: Mapping[str, Any], inner: float, outer: float) -> None:
    base = _radius(series["before"])
    top, low = base + _gap(series, "radial_clearance", "before"), base - DEPTH
    left, right = at(inner, top), at(outer, top)
    bottom = at(inner, low)[1]
    sheet.path([(left[0], bottom), left, right, (right[0], at(outer, base - 0.06)[1])], "object")
    sheet.hatch((left[0] - 3, left[1] - 3), 3, bottom - left[1] + 3)
    sheet.hatch((left[0], left[1] - 3), right[0] - left[0], 3)
    sheet.text((left[0] - 4, bottom), "frame, arm", "end", tone="gray")
    sheet.text((right[0] + 1.5, right[1] + 0.9), "fender", tone="gray")
    hub = at(0.0, base - DEPTH * 1.04)
    sheet.line((hub[0], hub[1]), (hub[0], at(0.0, base - 0.14)[1]), "center")
    sheet.text((hub[0], hub[1] + 3), "hub face", "middle", SMALL_SIZE, "gray")


def _tire(sheet: Sheet, at: Any, wheel: Mapping[str, Any], style: str) -> None:
    middle, half, radius = -wheel["offset"], wheel["section_width"] / 2, _radius(wheel)
    rim = (wheel.get("rim_diameter") or RIM_DIAMETER) / 2
    bead = (wheel.get("rim_width") or 0.82 * wheel["section_width"]) / 2
    outline = [(-bead, rim), *_carcass(half, rim, radius), (bead, rim)]
    sheet.path([at(middle + x, y) for x, y in outline], style)
    sheet.path([at(middle - bead, rim), at(middle - bead * 0.7, rim - 0.025), at(middle + bead * 0.7, rim - 0.025),
                at(middle + bead, rim)], style)


def _carcass(half: float, rim: float, radius: float) -> list[Point]:
    """The tire's outside from bead to bead: flat over the tread, widest half way up the side."""
    waist, tall = (radius + rim) / 2, (radius - rim) / 2
    angles = [radians(215 - 2.5 * step) for step in range(101)]
    return [(half * _rounded(cos(angle)), waist + tall * _rounded(sin(angle))) for angle in angles]


def _rounded(share: float) -> float:
    """Squares a circle's share off, so that the section has shoulders."""
    return copysign(abs(share) ** 0.55, share)


def _gaps(sheet: Sheet, at: Any, series: Mapping[str, Any], system: str) -> None:
    after = series["after"]
    inner, outer = _sides(series)
    waist = _radius(after) - 0.07
    left = -after["offset"] - after["section_width"] / 2
    right = -after["offset"] + after["section_width"] / 2
    for edge, wall, name in ((left, inner, "inner_clearance"), (right, outer, "outer_clearance")):
        first, last = at(min(edge, wall), waist), at(max(edge, wall), waist)
        sheet.dimension(first, last, "", tone="accent", data=name)
        value = units.length(series[name]["after"], system)
        us, _, other = value.partition(" (")
        anchor, x = ("end", min(first[0], last[0]) - 4) if name == "inner_clearance" else ("start", max(first[0], last[0]) + 2)
        sheet.text((x, first[1] + 0.9), us, anchor, tone="accent", bold=True)
        sheet.text((x, first[1] + 4.3), f"({other}", anchor, tone="accent")
    radial = series.get("radial_clearance")
    if radial and radial.get("after") is not None:
        x = -after["offset"]
        top = at(x, _radius(series["before"]) + _gap(series, "radial_clearance", "before"))
        sheet.dimension(top, at(x, _radius(after)), "", tone="accent", data="radial_clearance")
        sheet.text((top[0], top[1] - 4.4), units.length(radial["after"], system), "middle", tone="accent", bold=True)


def _numbers(series: Mapping[str, Any], system: str) -> tuple[tuple[str, str], ...]:
    pairs = []
    for name, word in (("inner_clearance", "inside"), ("outer_clearance", "outside"), ("radial_clearance", "over the tread")):
        gap = series.get(name)
        if gap and gap.get("after") is not None:
            pairs.append((word, units.length(gap["after"], system)))
            if gap.get("caution") is not None:
                pairs.append((f"{word}, at least", units.length(gap["caution"], system)))
    return tuple(pairs)
