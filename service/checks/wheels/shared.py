"""What several wheel checks share: how wide a mounted tire is, rims and spacers that are made, how a gap is said."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc.wheels import tire
from service.checks.core import Missing
from service.notation import tire_size

INCH = 0.0254
#: Rim widths that are made, m, as they are named: every half inch. Common practice.
STOCK_RIM_WIDTHS = {INCH * half / 2: f"{half / 2:g} in" for half in range(8, 29)}
#: Spacers commonly stocked, m, as sold. Common practice.
STOCK_SPACERS = {thickness / 1000: f"{thickness} mm" for thickness in (3, 5, 6, 8, 10, 12, 15, 20, 25, 30, 35, 40)}


def stock_rim_widths(x: Any) -> Mapping[float, str]:
    """Rim widths that are made, with their names."""
    return STOCK_RIM_WIDTHS


def stock_spacers(x: Any) -> Mapping[float, str]:
    """Spacers that can be bought, with their names."""
    return STOCK_SPACERS


def gap(s: Any, si: float) -> str:
    """A gap, m, as it is read with a feeler: hundredths of an inch, tenths of a millimeter."""
    figure, unit = (f"{si / INCH:.2f}", "in") if s.system == "us" else (f"{si * 1000:.1f}", "mm")
    return f"{figure.rstrip('0').rstrip('.')} {unit}"


def rim(width: float) -> str:
    """A rim's width, m, as it is named everywhere: in inches."""
    return f"{round(width / INCH, 2):g} in"


def mounted_section(x: Any) -> float:
    """Section width of the tire on this rim, m: the maker's or the size's section, corrected for the rim's width.

    A size without aspect ratio does not tell its measuring rim; then the maker's section width is needed and taken as it is.
    """
    size = tire_size(x.size)
    if size.section is None or size.aspect is None:
        if not x.has("section_width"):
            raise Missing("section_width")
        return float(x.section_width)
    measuring = tire.measuring_rim_width(size.section, size.aspect)
    return tire.section_width_on_rim(x.section_width if x.has("section_width") else size.section, x.rim_width, measuring)
