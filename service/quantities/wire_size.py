"""Wire sizes: American wire gauge by its formula, metric sizes by area, and stepping through what is stocked.

Gauge n has the diameter 0.005 in x 92^((36 - n)/39); `1/0` is n = 0, `4/0` is n = -3.
Source: ASTM B258, Standard Specification for Standard Nominal Diameters and Cross-Sectional Areas of AWG Sizes.
"""

import math
import re
from typing import Literal

Stock = Literal["AWG", "mm2"]

_THINNEST, _THICKEST = 40, -3
_GAUGE_36 = 0.005 * 0.0254
_TEXT = re.compile(
    r"(?:awg\s*|no\.?\s*|\#\s*)?(?:(?P<nulls>0{1,4})|(?P<number>[1-9]\d?)|(?P<over>[1-4])\s*/\s*0)(?P<unit>[\s-]*(?:awg|ga\.?|gauge))?",
    re.IGNORECASE | re.ASCII,
)

# Nominal areas a metric shop stocks: IEC 60228, table 1, and ISO 6722-1 for 0.35 mm2.
METRIC_SIZES = tuple(area / 1_000_000 for area in (0.35, 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95))
# An area this near to a size is that size; neighboring gauges lie 26 % apart (bound chosen here).
SAME_SIZE = 1e-3


def gauge_area(gauge: int) -> float:
    """Copper cross-section of an AWG size, in m2; `gauge` 40 down to -3, where 0 is 1/0 and -3 is 4/0.

    >>> round(gauge_area(14) * 1e6, 3)
    2.081
    """
    diameter = _GAUGE_36 * math.pow(92, (36 - gauge) / 39)
    return math.pi / 4 * diameter**2


def gauge_number(area: float) -> float:
    """The AWG number, not rounded, of a cross-section in m2: the inverse of `gauge_area`. ValueError for an area <= 0."""
    diameter = math.sqrt(4 * area / math.pi)
    return 36 - 39 * math.log(diameter / _GAUGE_36, 92)


def gauge_name(gauge: int) -> str:
    """`14 AWG`, `2/0 AWG`."""
    return f"{1 - gauge}/0 AWG" if gauge <= 0 else f"{gauge} AWG"


_GAUGES = range(_THICKEST, _THINNEST + 1)
AWG_SIZES = tuple(gauge_area(gauge) for gauge in reversed(_GAUGES))


def gauge_of(area: float) -> int | None:
    """The AWG size that has this cross-section in m2 to 0.1 %, or None."""
    if area <= 0 or not math.isfinite(area):
        return None
    gauge = round(gauge_number(area))
    if gauge in _GAUGES and math.isclose(area, gauge_area(gauge), rel_tol=SAME_SIZE):
        return gauge
    return None


def read_gauge(text: str) -> int | None:
    """The gauge that `14 AWG`, `AWG 14`, `#14`, `14 ga`, `2/0`, `0000` spell, or None if the text is no gauge.

    A bare `14` or `0` is none: it could as well be square millimeters.
    """
    match = _TEXT.fullmatch(text.strip())
    if match is None:
        return None
    named = match["unit"] is not None or not text.strip()[0].isdigit()
    if match["over"]:
        return 1 - int(match["over"])
    if match["nulls"]:
        return 1 - len(match["nulls"]) if named or len(match["nulls"]) > 1 else None
    gauge = int(match["number"])
    return gauge if named and gauge in _GAUGES else None


def next_wire_size(area: float, larger: bool = True, stock: Stock | None = None) -> float | None:
    """The stocked size next above (or below) a cross-section, in m2; None past the end of the list.

    An area that is itself a stocked size, to 0.1 %, moves on to the next one. `stock` picks the list; without it an AWG
    area steps through AWG sizes, any other through metric ones.
    """
    if larger:
        return min((size for size in _list(area, stock) if size > area * (1 + SAME_SIZE)), default=None)
    return max((size for size in _list(area, stock) if size < area * (1 - SAME_SIZE)), default=None)


def round_wire_size(area: float, larger: bool = True, stock: Stock | None = None) -> float | None:
    """The smallest stocked size not below `area` (or the largest not above), in m2; None past the end of the list.

    An area that is itself a stocked size, to 0.1 %, stays. `stock` as for `next_wire_size`.
    """
    if larger:
        return min((size for size in _list(area, stock) if size >= area * (1 - SAME_SIZE)), default=None)
    return max((size for size in _list(area, stock) if size <= area * (1 + SAME_SIZE)), default=None)


def _list(area: float, stock: Stock | None) -> tuple[float, ...]:
    if stock is None:
        stock = "mm2" if gauge_of(area) is None else "AWG"
    return AWG_SIZES if stock == "AWG" else METRIC_SIZES
