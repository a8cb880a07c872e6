"""Electrical: resistance of wire, what it may carry, fuses, what the alternator and battery can give.

SI in and out: areas m2, currents A, voltages V, resistances ohm, temperatures K, charge A·s.
Sources: IEC 60028 (copper), 33 CFR 183.425 and 183.455 (currents and fuses; a boat regulation), ABYC E-11 (drops).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import exp, log, sqrt

#: Resistivity of annealed copper at 20 °C in ohm·m, and its temperature coefficient in 1/K. Source: IEC 60028.
COPPER_RESISTIVITY = 1e-6 / 58
COPPER_COEFFICIENT = 3.93e-3
ROOM = 293.15
ICE = 273.15

#: Temperature classes of insulation in °C, the columns of the current table.
INSULATION_CLASSES = (60, 75, 80, 90, 105, 125, 200)
#: Current of a single wire in 30 °C air, by AWG number (1/0 = 0, 4/0 = -3). Source: 33 CFR 183.425, Table 5.
CURRENT_TABLE: dict[int, tuple[int, ...]] = {
    18: (10, 10, 15, 20, 20, 25, 25),
    16: (15, 15, 20, 25, 25, 30, 35),
    14: (20, 20, 25, 30, 35, 40, 45),
    12: (25, 25, 35, 40, 45, 50, 55),
    10: (40, 40, 50, 55, 60, 70, 70),
    8: (55, 65, 70, 70, 80, 90, 100),
    6: (80, 95, 100, 100, 120, 125, 135),
    4: (105, 125, 130, 135, 160, 170, 180),
    3: (120, 145, 150, 155, 180, 195, 210),
    2: (140, 170, 175, 180, 210, 225, 240),
    1: (165, 195, 210, 210, 245, 265, 280),
    0: (195, 230, 245, 245, 285, 305, 325),
    -1: (225, 265, 285, 285, 330, 355, 370),
    -2: (260, 310, 330, 330, 385, 410, 430),
    -3: (300, 360, 385, 385, 445, 475, 510),
}
#: Air temperature of the current table, K. Source: 33 CFR 183.425.
TABLE_AIR = 303.15
#: Standard fuse and breaker sizes, A. Source: blade fuses of ISO 8820-3 to 40 A and the larger ones of 20 to 80 A, compared with public
#: lists; 100 A and more from memory (bolt-in fuses of the ISO 8820 series).
FUSE_SIZES = (1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 125.0, 150.0, 175.0, 200.0, 250.0, 300.0)
#: Share of its rating a fuse may carry without end. Common practice.
CONTINUOUS_SHARE = 0.8


def awg_area(gauge: int) -> float:
    """Cross-section of an AWG size, A = π/4 (0.127 mm · 92^((36 − n)/39))², in m2. Source: ASTM B258.

    >>> round(awg_area(14) * 1e6, 3)
    2.081
    """
    diameter: float = 0.127e-3 * 92.0 ** ((36 - gauge) / 39)
    return 0.7853981633974483 * diameter * diameter


def resistivity(temperature: float) -> float:
    """Copper's resistivity ρ = ρ₂₀ (1 + α (T − 293.15 K)) in ohm·m, T in K. Source: IEC 60028.

    >>> round(resistivity(293.15) * 1e8, 4)
    1.7241
    """
    return COPPER_RESISTIVITY * (1 + COPPER_COEFFICIENT * (temperature - ROOM))


def wire_resistance(length: float, area: float, temperature: float, returns: float = 0.0) -> float:
    """R = ρ L (1 + k)/A in ohm: length L m one way, area A m2, temperature K, k = 1 where a wire of the same size returns.

    ValueError for an area that is not positive. Source: IEC 60028 resistivity.

    >>> round(wire_resistance(4.5, awg_area(14), 323.15) * 1e3, 2)
    41.68
    """
    if area <= 0:
        raise ValueError("a wire needs a cross-section")
    return resistivity(temperature) * length * (1 + returns) / area


_ROWS = tuple(sorted((awg_area(gauge), currents) for gauge, currents in CURRENT_TABLE.items()))


def base_current(area: float, insulation: float) -> float:
    """Current in A of a single wire in 30 °C air: area m2, insulation temperature K.

    Between table sizes logarithmic in the area; between insulation classes the lower column. ValueError below 18 AWG,
    above 4/0, or for insulation below 60 °C. Source: 33 CFR 183.425, Table 5.

    >>> base_current(awg_area(10), 398.15)
    70.0
    """
    column = _column(insulation)
    smallest, largest = _ROWS[0][0], _ROWS[-1][0]
    if area < smallest * (1 - 0.03):
        raise ValueError("the table of currents starts at 18 AWG")
    if area > largest * (1 + 0.01):
        raise ValueError("the table of currents ends at 4/0 AWG")
    if area <= smallest:
        return float(_ROWS[0][1][column])
    for (low, low_currents), (high, high_currents) in pairwise(_ROWS):
        if area <= high * (1 + 1e-9):
            share = log(area / low) / log(high / low)
            return float(exp(log(low_currents[column]) * (1 - share) + log(high_currents[column]) * share)) if 1e-9 < share < 1 - 1e-9 else float(
                (low_currents if share <= 1e-9 else high_currents)[column])
    return float(_ROWS[-1][1][column])


def _column(insulation: float) -> int:
    celsius = insulation - ICE + 1e-6
    if celsius < INSULATION_CLASSES[0]:
        raise ValueError("the table of currents starts at insulation for 60 °C")
    return max(index for index, degrees in enumerate(INSULATION_CLASSES) if degrees <= celsius)


def temperature_factor(insulation: float, air: float) -> float:
    """k_T = √((T_ins − T_air)/(T_ins − 30 °C)), heat loss in proportion to the rise; 0 where the air is as hot as the insulation.

    Temperatures in K. Derived; reproduces the regulation's engine-space factors (33 CFR 183.425 note 1) within 0.01.

    >>> round(temperature_factor(398.15, 358.15), 4)
    0.6489
    """
    return sqrt((insulation - air) / (insulation - TABLE_AIR)) if insulation > air and insulation > TABLE_AIR else 0.0


def bundle_factor(count: int) -> float:
    """Share of the current left to each of `count` loaded wires in one bundle. Source: body of 33 CFR 183 for 50 V and more.

    >>> [bundle_factor(count) for count in (1, 3, 5, 7, 25)]
    [1.0, 0.7, 0.6, 0.5, 0.4]
    """
    return 1.0 if count < 3 else 0.7 if count == 3 else 0.6 if count <= 6 else 0.5 if count <= 24 else 0.4


def smallest_fuse(current: float) -> float | None:
    """The smallest standard fuse not below `current` A; None beyond the list.

    >>> smallest_fuse(31.25)
    35.0
    """
    return next((size for size in FUSE_SIZES if size >= current * (1 - 1e-9)), None)


def largest_fuse(current: float) -> float:
    """The largest standard fuse not above `current` A; 0 where there is none.

    >>> largest_fuse(45.42)
    40.0
    """
    return max((size for size in FUSE_SIZES if size <= current * (1 + 1e-9)), default=0.0)


#: Charge shares of the rest-voltage table, and volts of a 12 V battery at them, 25 °C, ±5 %.
#: Source: a battery maker's public table (flooded, 80 °F) and a vehicle maker's (absorbed glass mat; the empty end from a third page).
CHARGE_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
REST_VOLTAGES = {
    "flooded": (11.89, 12.06, 12.24, 12.45, 12.65),
    "absorbed_glass_mat": (11.80, 12.00, 12.30, 12.60, 12.80),
    "gel": (11.80, 12.00, 12.30, 12.60, 12.80),
}


def state_of_charge(voltage: float, kind: str) -> float:
    """Share of charge of a 12 V lead battery at rest, by interpolation; 0 below and 1 above the table. KeyError for other kinds.

    >>> round(state_of_charge(12.35, "flooded"), 3)
    0.631
    """
    return _interpolated(voltage, REST_VOLTAGES[kind], CHARGE_SHARES)


def _interpolated(x: float, xs: Sequence[float], ys: Sequence[float]) -> float:
    if x <= xs[0]:
        return ys[0]
    for left, right, low, high in zip(xs, xs[1:], ys, ys[1:], strict=False):
        if x <= right:
            return low + (high - low) * (x - left) / (right - left)
    return ys[-1]


def time_to_half_charge(capacity: float, shortfall: float) -> float:
    """Time in s until half of `capacity` A·s is gone at a shortfall in A (> 0).

    >>> round(time_to_half_charge(216000, 18.5))
    5838
    """
    return 0.5 * capacity / shortfall


def time_to_flat(capacity: float, draw: float) -> float:
    """Time in s from 90 % to 50 % charge at a draw in A and 0.1 % self-discharge a day: 0.40 C/(I + 0.001 C/day), C in A·s.

    >>> round(time_to_flat(216000, 0.035))
    2304000
    """
    return 0.40 * capacity / (draw + 0.001 * capacity / 86400)
