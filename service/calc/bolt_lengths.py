"""Lengths that bolts are made in, metric and inch, and which of them stand on a hardware shelf."""

from __future__ import annotations

from collections.abc import Sequence

_MM = 0.001
_INCH = 0.0254

#: Nominal lengths made, metric, in m. Source: ISO 888 (compared with the lengths of ISO 4017).
METRIC_MADE: tuple[float, ...] = tuple(mm * _MM for mm in (
    6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100, 110, 120, 130, 140, 150, 160, 180, 200))
#: Metric lengths commonly on a hardware shelf, in m. Common practice.
METRIC_SHELF: tuple[float, ...] = tuple(mm * _MM for mm in (10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 100))
#: Nominal lengths made, inch: 3/8 to 1 1/2 by 1/8, to 4 by 1/4, to 8 by 1/2; in m. Common practice.
INCH_MADE: tuple[float, ...] = tuple(_INCH * eighths / 8 for eighths in (*range(3, 13), *range(14, 33, 2), *range(36, 65, 4)))
#: Inch lengths commonly on a hardware shelf, in m. Common practice.
INCH_SHELF: tuple[float, ...] = tuple(_INCH * inches for inches in (0.5, 0.75, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5, 4))


def made(inch: bool) -> tuple[float, ...]:
    """Lengths made for an inch or a metric thread, rising, in m.

    >>> len(made(inch=True)), round(made(inch=False)[0], 4)
    (28, 0.006)
    """
    return INCH_MADE if inch else METRIC_MADE


def on_shelf(inch: bool) -> tuple[float, ...]:
    """Lengths commonly on a hardware shelf for an inch or a metric thread, rising, in m.

    >>> round(on_shelf(inch=True)[-1] / 0.0254, 3)
    4.0
    """
    return INCH_SHELF if inch else METRIC_SHELF


def smallest_between(lengths: Sequence[float], shortest: float, longest: float) -> float | None:
    """The smallest of rising `lengths` in [shortest, longest] (ends included), or None when none fits.

    All in m. A nanometer of rounding is allowed at the ends.

    >>> smallest_between(METRIC_MADE, 0.0232, 0.02895)
    0.025
    """
    slack = 1e-9
    return next((length for length in lengths if shortest - slack <= length <= longest + slack), None)
