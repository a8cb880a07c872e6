"""Wire, current, fuses and batteries, judged by published tables and a reference library."""

from __future__ import annotations

from math import pi

import pytest
from fluids.piping import t_from_gauge
from hypothesis import given
from hypothesis import strategies as st

from service.calc import electrical as calc

FOOT = 0.3048
#: Ohms per 1000 ft at 20 °C by AWG number, from a university's public copy of a textbook's wire table (1/0 = 0, 4/0 = -3).
OHMS_PER_1000_FT = {
    -3: 0.0490, -2: 0.0618, -1: 0.0780, 0: 0.0983, 1: 0.1240, 2: 0.1563, 4: 0.2485, 6: 0.3951, 8: 0.6282, 10: 0.9989, 12: 1.588, 14: 2.525,
    16: 4.016, 18: 6.385, 20: 10.15, 22: 16.14,
}
#: 33 CFR 183.425, Table 5, as a public copy of the regulation prints it; transcribed apart from the project's own table.
TABLE_5 = """
18 10 10 15 20 20 25 25
16 15 15 20 25 25 30 35
14 20 20 25 30 35 40 45
12 25 25 35 40 45 50 55
10 40 40 50 55 60 70 70
8 55 65 70 70 80 90 100
6 80 95 100 100 120 125 135
4 105 125 130 135 160 170 180
3 120 145 150 155 180 195 210
2 140 170 175 180 210 225 240
1 165 195 210 210 245 265 280
0 195 230 245 245 285 305 325
-1 225 265 285 285 330 355 370
-2 260 310 330 330 385 410 430
-3 300 360 385 385 445 475 510
"""
ROWS = {int(row.split()[0]): [int(item) for item in row.split()[1:]] for row in TABLE_5.split("\n") if row}
#: Amperes of 105 °C wire inside an engine space of 50 °C, as a boat supplier prints them with its factor 0.85.
ENGINE_SPACE = {18: 17, 14: 30, 12: 38, 10: 51, 8: 68, 6: 102, 4: 136, 3: 153, 2: 178, 1: 208, 0: 242, -1: 280, -2: 327, -3: 378}
CLASSES = (60, 75, 80, 90, 105, 125, 200)


@pytest.mark.parametrize("gauge", [22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0])
def test_wire_diameters_agree_with_the_library(gauge: int) -> None:
    """fluids prints its AWG list to four decimals of an inch."""
    assert (4 * calc.awg_area(gauge) / pi) ** 0.5 == pytest.approx(t_from_gauge(gauge, SI=True, schedule="AWG"), abs=0.00006 * 0.0254 + 0.5e-6, rel=1.3e-3)


@pytest.mark.parametrize("gauge", OHMS_PER_1000_FT)
def test_resistance_agrees_with_a_published_wire_table(gauge: int) -> None:
    ours = calc.wire_resistance(1000 * FOOT, calc.awg_area(gauge), 293.15)
    assert ours == pytest.approx(OHMS_PER_1000_FT[gauge], rel=1.5e-3)


def test_copper_of_the_standard() -> None:
    """IEC 60028: 1/58 ohm·mm²/m at 20 °C; 0.393 % per kelvin; the temperature of no resistance follows as -234.5 °C."""
    assert calc.resistivity(293.15) * 1e6 == pytest.approx(1 / 58, rel=1e-12)
    assert calc.resistivity(273.15 - 234.45) == pytest.approx(0.0, abs=1e-11)


def test_a_wire_without_copper_has_no_resistance() -> None:
    with pytest.raises(ValueError, match="cross-section"):
        calc.wire_resistance(1.0, 0.0, 293.15)


@pytest.mark.parametrize("gauge", ROWS)
def test_currents_agree_with_the_regulation(gauge: int) -> None:
    ours = [calc.base_current(calc.awg_area(gauge), 273.15 + degrees) for degrees in CLASSES]
    assert ours == ROWS[gauge]


@pytest.mark.parametrize("gauge", ENGINE_SPACE)
def test_engine_space_agrees_with_the_regulations_factor(gauge: int) -> None:
    """33 CFR 183.425 note 1 for 105 °C insulation, printed to whole amperes, some cut off, with the factor rounded to 0.85."""
    ours = calc.base_current(calc.awg_area(gauge), 378.15) * calc.temperature_factor(378.15, 323.15)
    assert ours == pytest.approx(ENGINE_SPACE[gauge] + 0.25, abs=0.0075 * ENGINE_SPACE[gauge] + 0.5)


@given(st.floats(min_value=0.83e-6, max_value=107e-6), st.sampled_from(CLASSES))
def test_more_copper_carries_more(area: float, degrees: int) -> None:
    assert calc.base_current(area * 1.002, 273.15 + degrees) >= calc.base_current(area, 273.15 + degrees) * (1 - 1e-12)


def test_between_sizes_the_table_is_met_at_both_ends() -> None:
    """6 mm² lies between 10 AWG (5.26 mm²) and 8 AWG (8.37 mm²): 70 to 90 A at 125 °C."""
    assert 70 < calc.base_current(6e-6, 398.15) < 90


@pytest.mark.parametrize(("area", "degrees", "reason"), [(0.5e-6, 80, "18 AWG"), (150e-6, 80, "4/0"), (5e-6, 50, "60 °C")])
def test_outside_the_table_there_is_no_answer(area: float, degrees: int, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        calc.base_current(area, 273.15 + degrees)


def test_blade_fuses_of_a_public_list_are_among_the_sizes() -> None:
    """Ratings of miniature, regular and large blade fuses as a public page on vehicle fuses lists them."""
    mini, regular, large = (2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30), (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40), (20, 30, 40, 50, 60, 70, 80)
    assert {*mini, *regular, *large} <= set(calc.FUSE_SIZES)


@given(st.floats(min_value=0.1, max_value=299))
def test_fuses_stand_on_both_sides_of_a_current(current: float) -> None:
    above, below = calc.smallest_fuse(current), calc.largest_fuse(current)
    assert above is not None
    assert below <= current * (1 + 1e-9) and current * (1 - 1e-9) <= above
    assert not any(below < size < current * (1 - 1e-9) or current * (1 + 1e-9) < size < above for size in calc.FUSE_SIZES)


@pytest.mark.parametrize(("kind", "volts"), [
    # A battery maker's public table at 80 °F: 100, 75, 50, 25 % and discharged.
    ("flooded", (12.65, 12.45, 12.24, 12.06, 11.89)),
    # A vehicle maker's owner's manual for absorbed glass mat (12.8, 12.6, 12.3 and 12.0 V part its quarters); 11.8 V from another page.
    ("absorbed_glass_mat", (12.8, 12.6, 12.3, 12.0, 11.8)),
])
def test_rest_voltages_are_the_published_ones(kind: str, volts: tuple[float, ...]) -> None:
    assert [calc.state_of_charge(value, kind) for value in volts] == pytest.approx([1, 0.75, 0.5, 0.25, 0])


def test_small_fuses_are_the_blade_fuses_sold() -> None:
    """Public lists of blade fuses: regular 1 to 40 A, large 20 to 80 A; 35 A stands in a list by color."""
    regular, large = (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40), (20, 30, 40, 50, 60, 70, 80)
    assert sorted({*regular, *large}) == [size for size in calc.FUSE_SIZES if size <= 80]


def test_rest_voltages_agree_with_another_table_in_its_rounding() -> None:
    """A radio users' public table, rounded to a tenth of a volt: 12.6, 12.4, 12.2, 12.0 V; it says that makers differ by 10 % of charge."""
    for volts, share in ((12.6, 1.0), (12.4, 0.75), (12.2, 0.5), (12.0, 0.25)):
        assert calc.state_of_charge(volts, "flooded") == pytest.approx(share, abs=0.10)


@given(st.floats(min_value=1e4, max_value=1e6), st.floats(min_value=0.0, max_value=1.0))
def test_standing_time_by_stepping_day_by_day(capacity: float, draw: float) -> None:
    """The charge balance stepped hour by hour reaches half charge at the time of the formula."""
    hours, charge = 0, 0.90 * capacity
    time = calc.time_to_flat(capacity, draw)
    if time > 3000 * 3600:
        return
    while charge > 0.50 * capacity:
        charge -= 3600 * draw + 0.001 * capacity / 24
        hours += 1
    assert (hours - 1) * 3600 <= time * (1 + 1e-9) and time <= hours * 3600 * (1 + 1e-9)
