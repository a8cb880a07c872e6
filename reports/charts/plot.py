"""A quiet coordinate field: two axes, round ticks, curves labelled at their ends."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, log10

from reports.charts.sheet import SMALL_SIZE, Point, Sheet
from reports.typography import MINUS


class Plot:
    """A field on a sheet, in the units of its axes."""

    def __init__(self, sheet: Sheet, corner: Point, size: Point, x_range: Point, y_range: Point):
        self.sheet, self.corner, self.size = sheet, corner, size
        self.x_range, self.y_range = x_range, y_range

    def at(self, x: float, y: float) -> Point:
        """Paper coordinates of a point, kept within the field."""
        across = (x - self.x_range[0]) / (self.x_range[1] - self.x_range[0])
        up = (y - self.y_range[0]) / (self.y_range[1] - self.y_range[0])
        return (self.corner[0] + self.size[0] * min(1.0, max(0.0, across)),
                self.corner[1] + self.size[1] * (1 - min(1.0, max(0.0, up))))

    def axes(self, x_title: str, y_title: str) -> None:
        """Axes with ticks at round numbers and their titles."""
        left, top = self.corner
        right, bottom = left + self.size[0], top + self.size[1]
        self.sheet.path([(left, top), (left, bottom), (right, bottom)], "thin")
        for tick in ticks(*self.x_range):
            x, _ = self.at(tick, self.y_range[0])
            self.sheet.line((x, bottom), (x, bottom + 1), "thin")
            self.sheet.text((x, bottom + 3.6), tick_text(tick), "middle", SMALL_SIZE)
        for tick in ticks(*self.y_range, wanted=5):
            _, y = self.at(self.x_range[0], tick)
            self.sheet.line((left - 1, y), (left, y), "thin")
            self.sheet.text((left - 1.6, y + 0.8), tick_text(tick), "end", SMALL_SIZE)
        self.sheet.text((right, bottom + 7.2), x_title, "end", SMALL_SIZE, "gray")
        self.sheet.text((left - 1, top - 2), y_title, "start", SMALL_SIZE, "gray")

    def curve(self, xs: Sequence[float], ys: Sequence[float], style: str = "object") -> None:
        """A curve through the points that lie within the field."""
        inside = [(x, y) for x, y in zip(xs, ys, strict=False)
                  if self.x_range[0] <= x <= self.x_range[1] and self.y_range[0] <= y <= self.y_range[1]]
        if len(inside) > 1:
            self.sheet.path([self.at(x, y) for x, y in inside], style)

    def band(self, x_low: float, x_high: float, y_low: float, y_high: float) -> None:
        """A shaded band."""
        left, bottom = self.at(x_low, y_low)
        right, top = self.at(x_high, y_high)
        self.sheet.rect((left, top), right - left, bottom - top, "band")


def ticks(low: float, high: float, wanted: int = 6) -> list[float]:
    """Round numbers from low to high, about as many as wanted."""
    raw = (high - low) / wanted
    power = 10.0 ** floor(log10(raw))
    step = next(step for step in (power, 2 * power, 2.5 * power, 5 * power, 10 * power) if step >= raw * 0.999)
    return [round(index * step, 10) for index in range(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1)]


def tick_text(value: float) -> str:
    """A tick's number without needless zeros."""
    text = f"{value:,.4f}".rstrip("0").rstrip(".") if value != int(value) else f"{int(value):,}"
    return text.replace("-", MINUS)
