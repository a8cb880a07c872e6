"""What a tire may carry and how fast it may go."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from math import pow
from pathlib import Path

#: A passenger tire on a truck, van or multipurpose vehicle carries its load over 1.10.
#: Source: 49 CFR 571.110 S4.2.2.2 and 571.120 S5.1.2.
TRUCK_DERATING = 1.10
#: Load falls with pressure to this power. Source: European Tyre and Rim Technical Organisation, passenger tires (from
#: memory). The US association's formula for P-metric sizes has 0.5 (a public sample calculation): 0.8 is the safe side.
PRESSURE_EXPONENT = 0.8
#: Pressure of full load by load range, Pa: 36, 42, 50, 65, 80 psi rounded. Source: a tire retailer's public table of load ranges (compared).
REFERENCE_PRESSURES: Mapping[str, float] = {"SL": 250e3, "XL": 290e3, "C": 350e3, "D": 450e3, "E": 550e3}
#: Speed up to which full load holds, speed of the symbol, load share there; km/h. Source: Reimpell, Stoll & Betzler,
#: The Automotive Chassis, load capacity at high speed, compared with a public excerpt.
SPEED_REDUCTIONS: Mapping[str, tuple[float, float, float]] = {
    "V": (210.0, 240.0, 0.91), "W": (240.0, 270.0, 0.85), "Y": (270.0, 300.0, 0.85),
}
KMH = 1 / 3.6


def _load_table() -> dict[int, float]:
    path = Path(__file__).parent.parent / "tables" / "load_index.csv"
    with path.open(encoding="utf-8", newline="") as lines:
        rows = csv.DictReader(line for line in lines if not line.startswith("#"))
        return {int(row["load_index"]): float(row["load_kg"]) for row in rows}


#: Load by load index, kg. Source: ISO 4000-1, see the table's head.
LOAD_BY_INDEX: Mapping[int, float] = _load_table()


def load_of_index(load_index: int) -> float:
    """Load that belongs to a load index, kg. Raises ValueError outside 60 to 126. Source: ISO 4000-1.

    >>> load_of_index(96)
    710.0
    """
    if load_index not in LOAD_BY_INDEX:
        raise ValueError(f"load index {load_index} is not in the table ({min(LOAD_BY_INDEX)} to {max(LOAD_BY_INDEX)})")
    return LOAD_BY_INDEX[load_index]


def speed_factor(symbol: str, speed: float) -> float:
    """Share of its load that a tire carries at a speed, 1: falls near the top of the V, W and Y range.

    symbol speed symbol; speed m/s. 1 up to 210, 240, 270 km/h for V, W, Y, then linear to 0.91 at 240, 0.85 at 270,
    0.85 at 300 km/h; held there above; 1 for every other symbol. Source: see SPEED_REDUCTIONS.

    >>> round(speed_factor("V", 225 / 3.6), 4), speed_factor("T", 50.0)
    (0.955, 1.0)
    """
    if symbol not in SPEED_REDUCTIONS:
        return 1.0
    full, top, share = SPEED_REDUCTIONS[symbol]
    part = min(max((speed / KMH - full) / (top - full), 0.0), 1.0)
    return 1.0 - part * (1.0 - share)


def pressure_factor(pressure: float, reference: float) -> float:
    """Share of its load that a tire carries at a pressure, 1: (p/p_ref)^0.8 below p_ref, 1 at and above it.

    p pressure, Pa; p_ref pressure of full load, Pa. Raises ValueError for pressures <= 0.
    Source: see PRESSURE_EXPONENT; use the tire maker's table when at hand.

    >>> round(1100 * pressure_factor(340e3, 450e3), 1)
    879.0
    """
    if pressure <= 0 or reference <= 0:
        raise ValueError("a tire needs pressure")
    return min(1.0, pow(pressure / reference, PRESSURE_EXPONENT))
