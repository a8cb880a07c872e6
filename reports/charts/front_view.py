"""One side of a double-wishbone suspension from the front: arms, joints, roll center; before a change and after it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports import units
from reports.charts import Drawing
from reports.charts.sheet import SMALL_SIZE, Point, Sheet

NEEDS = ("before", "track")
WIDTH, HEIGHT, GROUND = 106.0, 84.0, 74.0
JOINTS = ("upper_pivot", "upper_ball_joint", "lower_pivot", "lower_ball_joint", "wheel_center")
TIRE_RADIUS, TIRE_WIDTH = 0.32, 0.20


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing | None:
    """Draw the hard points to scale, the car's center at the left; with `after`, the old state dashed."""
    after = series.get("after")
    if not all(name in state for state in (series["before"], after or series["before"]) for name in JOINTS):
        return None
    half, width = series["track"] / 2, series.get("tire_width") or TIRE_WIDTH
    radius = series.get("tire_radius") or TIRE_RADIUS
    scale = min(88.0 / (half + width / 2), (GROUND - 6) / (2 * radius + 0.02))
    sheet = Sheet(WIDTH, HEIGHT)

    def at(point: Any) -> Point:
        return 8 + point[0] * scale, GROUND - point[1] * scale

    sheet.line((2, GROUND), (WIDTH - 2, GROUND), "object")
    sheet.line((8, GROUND + 3), (8, 6), "center")
    sheet.text((9, 8), "center of the car", size=SMALL_SIZE, tone="gray")
    sheet.rect(at((half - width / 2, 2 * radius)), width * scale, 2 * radius * scale, "thin")
    if after:
        _arms(sheet, at, series["before"], "dashed", named=False)
    _arms(sheet, at, after or series["before"], "object", named=True)
    _roll_center(sheet, at, after or series["before"], half, system)
    sheet.scale_bar((8, HEIGHT - 1.4), scale, system)
    numbers = _numbers(series, system)
    title = f"{(series.get('axle') or 'front').capitalize()} suspension from the front"
    return Drawing(sheet.finish(title, "; ".join(f"{name}: {value}" for name, value in numbers) or title, key), title,
                   "At ride height, one side. " + ("Dashed: before the change." if after else "Dashed lines meet at the roll center."),
                   numbers, to_scale=True)


def _arms(sheet: Sheet, at: Any, state: Mapping[str, Any], style: str, named: bool) -> None:
    for arm in ("upper", "lower"):
        sheet.line(at(state[f"{arm}_pivot"]), at(state[f"{arm}_ball_joint"]), style, data=f"{arm} arm" if named else "")
    sheet.path([at(state["upper_ball_joint"]), at(state["wheel_center"]), at(state["lower_ball_joint"])], style)
    if named:
        for joint in JOINTS:
            sheet.circle(at(state[joint]), 1.1 if joint.endswith("ball_joint") else 0.8, "paper")
        for arm in ("upper", "lower"):
            x, y = at(state[f"{arm}_pivot"])
            sheet.text((x, y - 2.2), f"{arm} arm", "middle")


def _roll_center(sheet: Sheet, at: Any, state: Mapping[str, Any], half: float, system: str) -> None:
    height = state.get("roll_center_height")
    if height is None:
        return
    center = at((0.0, height))
    contact = at((half, 0.0))
    sheet.line(center, contact, "dashed")
    sheet.circle(center, 1.3, "accent-solid")
    label = f"roll center {units.length(height, system)}"
    sheet.text((center[0] + 2.4, min(center[1] - 1.8, GROUND - 2)), label, tone="accent", bold=True)


def _numbers(series: Mapping[str, Any], system: str) -> tuple[tuple[str, str], ...]:
    pairs = [("track", units.length(series["track"], system))]
    for name, word in (("before", "roll center before" if series.get("after") else "roll center"), ("after", "roll center after")):
        state = series.get(name)
        if state and state.get("roll_center_height") is not None:
            pairs.append((word, units.length(state["roll_center_height"], system)))
    return tuple(pairs)
