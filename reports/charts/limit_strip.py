"""A value against its limits: the band where it may lie, the limits as brackets, the value as a tick, its tolerance as a bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from reports.charts.sheet import SMALL_SIZE, Sheet, text_width

WIDTH, HEIGHT = 106.0, 11.5
LEFT, RIGHT, AXIS = 2.0, 104.0, 6.4


@dataclass(frozen=True, slots=True)
class Bound:
    """One limit: its number in SI, the side that is allowed (`at_most` or `at_least`), the verdict beyond it, its text."""

    si: float
    kind: str
    verdict: str
    text: str


def strip(name: str, si: float, low: float | None, high: float | None, bounds: Sequence[Bound], printed: str,
          key: str) -> Markup | None:
    """The strip as SVG, or None when there is no bound to draw against."""
    if not bounds:
        return None
    numbers = [si, *(bound.si for bound in bounds), *(end for end in (low, high) if end is not None)]
    span = max(numbers) - min(numbers) or abs(si) or 1.0
    start, scale = min(numbers) - 0.12 * span, (RIGHT - LEFT) / (1.24 * span)
    sheet = Sheet(WIDTH, HEIGHT)

    def at(value: float) -> float:
        return LEFT + (value - start) * scale

    _bands(sheet, bounds, at(start), at)
    sheet.line((LEFT, AXIS), (RIGHT, AXIS), "thin")
    for bound in bounds:
        _bracket(sheet, at(bound.si), bound)
    _limit_labels(sheet, bounds, at)
    if low is not None and high is not None and high > low:
        sheet.rect((at(low), AXIS - 0.65), at(high) - at(low), 1.3, "accent-solid", data="tolerance")
    sheet.line((at(si), AXIS - 2.6), (at(si), AXIS + 2.6), "accent", data="value")
    _value_label(sheet, at(si), f"{name} {printed}")
    limits = "; ".join(f"{bound.verdict} {'above' if bound.kind == 'at_most' else 'below'} {bound.text}" for bound in bounds)
    return sheet.finish(f"{name}: {printed}", f"{name} is {printed}. Limits: {limits}.", key)


def _bands(sheet: Sheet, bounds: Sequence[Bound], left: float, at) -> None:  # type: ignore[no-untyped-def]
    """Shade what no limit forbids."""
    lowest = max([at(bound.si) for bound in bounds if bound.kind == "at_least"], default=left)
    highest = min([at(bound.si) for bound in bounds if bound.kind == "at_most"], default=RIGHT)
    if highest > lowest:
        sheet.rect((lowest, AXIS - 1.9), highest - lowest, 3.8, "band", data="allowed")


def _bracket(sheet: Sheet, x: float, bound: Bound) -> None:
    inward = -1.2 if bound.kind == "at_most" else 1.2
    style = "object" if bound.verdict == "fail" else "dashed-ink"
    sheet.path([(x + inward, AXIS - 1.9), (x, AXIS - 1.9), (x, AXIS + 1.9), (x + inward, AXIS + 1.9)], style)


def _limit_labels(sheet: Sheet, bounds: Sequence[Bound], at) -> None:  # type: ignore[no-untyped-def]
    """Numbers under the brackets; one that would run into its neighbor is left to the table beside."""
    reached = -1.0
    for bound in sorted(bounds, key=lambda bound: bound.si):
        width = text_width(bound.text, SMALL_SIZE)
        x = min(max(at(bound.si), width / 2), WIDTH - width / 2)
        if x - width / 2 > reached:
            sheet.text((x, AXIS + 4.4), bound.text, "middle", SMALL_SIZE, "gray")
            reached = x + width / 2 + 1.5


def _value_label(sheet: Sheet, x: float, printed: str) -> None:
    width = text_width(printed) * 1.08
    sheet.text((min(max(x, width / 2), WIDTH - width / 2), AXIS - 3.4), printed, "middle", bold=True)
