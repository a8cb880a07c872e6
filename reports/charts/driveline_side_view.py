"""Side view of the driveline, front to the left: slopes and lengths true, the joints' working angles beside their limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import cos, degrees, sin
from typing import Any

from reports import units
from reports.charts import Drawing
from reports.charts.sheet import SMALL_SIZE, Point, Sheet, spread

NEEDS = ("slopes", "joint_angles")
WIDTH, HEIGHT = 106.0, 74.0
TRANSMISSION, PINION, SHAFT, TUBE = 0.55, 0.3, 1.3, 0.075
LEFT, RIGHT, TOP, STRIP = 4.0, 102.0, 14.0, 54.0
#: Where the pinion axis ends, so that the ring gear behind it stays on the sheet.
LAST = 97.0


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing:
    """Draw engine axis, shaft or shafts and pinion axis at their slopes (positive falls to the rear, radians)."""
    slopes, lengths = list(series["slopes"]), _lengths(series)
    runs = [TRANSMISSION, *lengths, PINION]
    scale = (LAST - LEFT) / sum(length * cos(slope) for length, slope in zip(runs, slopes, strict=True))
    joints = _chain(slopes, runs, scale)
    sheet = Sheet(WIDTH, HEIGHT)
    _bodies(sheet, slopes, joints, scale)
    names = _axis_names(len(slopes))
    for name, slope, start, end in zip(names, slopes, joints, joints[1:], strict=False):
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        sheet.text((middle[0], max(start[1], end[1]) + 11), f"{name} {units.angle(slope)}", "middle")
    for index, (angle, joint) in enumerate(zip(series["joint_angles"], joints[1:], strict=False), 1):
        sheet.line((joint[0], joint[1] - 2.4), (joint[0], joint[1] - 9), "gray")
        sheet.text((joint[0], joint[1] - 10), f"joint {index}: {units.angle(angle)}", "middle", tone="accent", bold=True)
    _angle_strip(sheet, series)
    if series.get("lengths") and None not in series["lengths"]:
        sheet.scale_bar((LEFT, HEIGHT - 0.6), scale, system)
    angles = " and ".join(units.angle(angle) for angle in series["joint_angles"])
    return Drawing(sheet.finish("Driveline from the side", f"The joints work at {angles}.", key), "Driveline from the side",
                   "Front to the left, at ride height; slopes are drawn true and count positive when they fall to the rear.",
                   _numbers(series, names, lengths if series.get("lengths") else [], system), to_scale=True)


def _lengths(series: Mapping[str, Any]) -> list[float]:
    count = len(series["slopes"]) - 2
    given = list(series.get("lengths") or [])
    return [given[index] if index < len(given) and given[index] else SHAFT for index in range(count)]


def _axis_names(count: int) -> list[str]:
    shafts = ["shaft"] if count == 3 else [f"shaft {index}" for index in range(1, count - 1)]
    return ["engine", *shafts, "pinion"]


def _chain(slopes: Sequence[float], runs: Sequence[float], scale: float) -> list[Point]:
    points = [(LEFT, TOP + 4)]
    for slope, run in zip(slopes, runs, strict=True):
        x, y = points[-1]
        points.append((x + run * scale * cos(slope), y + run * scale * sin(slope)))
    lift = max(0.0, TOP + 2 - min(y for _, y in points))
    return [(x, y + lift) for x, y in points]


def _bodies(sheet: Sheet, slopes: Sequence[float], joints: Sequence[Point], scale: float) -> None:
    half = TUBE * scale / 2
    for index, (start, end) in enumerate(pairwise(joints)):
        across = (-sin(slopes[index]), cos(slopes[index]))
        widths = (3.4 * half, 1.5 * half) if index == 0 else (1.2 * half, 1.2 * half) if index == len(slopes) - 1 else (half, half)
        sheet.path([(start[0] + across[0] * widths[0], start[1] + across[1] * widths[0]),
                    (end[0] + across[0] * widths[1], end[1] + across[1] * widths[1]),
                    (end[0] - across[0] * widths[1], end[1] - across[1] * widths[1]),
                    (start[0] - across[0] * widths[0], start[1] - across[1] * widths[0])], "paper", close=True)
        sheet.line(start, end, "center", data=f"axis {index + 1}")
        if index:
            sheet.line(start, (min(start[0] + 16, RIGHT), start[1]), "gray")
    for joint in joints[1:-1]:
        sheet.circle(joint, 1.5, "paper")
        sheet.circle(joint, 0.35, "solid")
    sheet.circle(joints[-1], 2.6 * half, "paper")


def _angle_strip(sheet: Sheet, series: Mapping[str, Any]) -> None:
    """All joints on one scale of degrees, between the least angle and the most."""
    limit, least = series.get("angle_limit"), series.get("smallest_angle")
    top = 1.15 * max([*series["joint_angles"], limit or 0.0, series.get("comfort_limit") or 0.0]) or 0.1

    def at(angle: float) -> float:
        return 26 + angle / top * (RIGHT - 26)

    sheet.text((LEFT, STRIP + 0.9), "working angle", size=SMALL_SIZE, tone="gray")
    high = series.get("comfort_limit") or limit
    if high:
        sheet.rect((at(least or 0.0), STRIP - 2), at(high) - at(least or 0.0), 4, "band")
    sheet.line((at(0), STRIP), (RIGHT, STRIP), "thin")
    labels = [(least, "least"), (series.get("comfort_limit"), "smooth"), (limit, "limit")]
    for angle, word in [(angle, word) for angle, word in labels if angle]:
        sheet.line((at(angle), STRIP - 2), (at(angle), STRIP + 2), "object")
        sheet.text((at(angle), STRIP + 5), f"{word} {degrees(angle):.1f}°", "middle", SMALL_SIZE, "gray")
    labels_at = spread([at(angle) for angle in series["joint_angles"]], 2.4, LEFT, RIGHT)
    for index, (angle, x) in enumerate(zip(series["joint_angles"], labels_at, strict=True), 1):
        sheet.line((at(angle), STRIP - 3), (at(angle), STRIP + 3), "accent", data=f"joint {index}")
        sheet.text((x, STRIP - 3.6), str(index), "middle", SMALL_SIZE, "accent", bold=True)


def _numbers(series: Mapping[str, Any], names: Sequence[str], lengths: Sequence[float], system: str) -> tuple[tuple[str, str], ...]:
    pairs = [(f"{name} slope", units.angle(slope)) for name, slope in zip(names, series["slopes"], strict=False)]
    pairs += [(f"joint {index}", units.angle(angle)) for index, angle in enumerate(series["joint_angles"], 1)]
    pairs += [("shaft length", units.length(length, system)) for length in lengths]
    if series.get("angle_limit"):
        pairs.append(("limit at speed", units.angle(series["angle_limit"])))
    return tuple(pairs)
