"""Mounting a radiator and its fan: heights in the slots, holes that meet, gaps that stay open."""

from __future__ import annotations

#: Least gap from fan to core by drive, m. Common practice.
CORE_GAP = {"electric": 0.006, "mechanical": 0.025, "clutch": 0.025}
#: Least gap from an electric fan to the engine, which moves toward it, m. Common practice.
ENGINE_GAP = 0.019


def height_window(
    slot_low: float, slot_high: float, hood: float, obstruction: float, top_above: float, bottom_below: float, hood_gap: float, lower_gap: float
) -> tuple[float, float]:
    """Lowest and highest mounting height that the slots, the hood and the obstruction below leave.

    h_lo = max(slot_low, obstruction + lower_gap + bottom_below), h_hi = min(slot_high, hood − hood_gap − top_above).
    All in m above one datum, gaps and extents of the radiator from its mounting hole. Returns (h_lo, h_hi); h_hi < h_lo
    means that there is no such height. Raises ValueError when the slot's ends are swapped. Source: geometry, derived.

    >>> low, high = height_window(0.120, 0.200, 0.640, 0.040, 0.430, 0.070, 0.019, 0.013)
    >>> round(low, 3), round(high, 3)
    (0.123, 0.191)
    """
    if slot_high < slot_low:
        raise ValueError("slot ends are swapped")
    return max(slot_low, obstruction + lower_gap + bottom_below), min(slot_high, hood - hood_gap - top_above)


def allowed_misalignment(slot: float, hole: float, bolt: float) -> float:
    """How far two holes may miss each other and still take the bolt, (max(slot, hole) − d)/2 + (hole − d)/2.

    slot: length of the slot along the miss, hole: diameter of the round hole, bolt: diameter d, m. Returns m.
    Raises ValueError when the bolt does not go through the hole. Source: geometry, derived.

    >>> round(allowed_misalignment(0.012, 0.0085, 0.008), 5)
    0.00225
    """
    if hole < bolt:
        raise ValueError("the bolt does not go through the hole")
    return (max(slot, hole) - bolt) / 2.0 + (hole - bolt) / 2.0
