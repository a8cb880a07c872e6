"""Tires and wheels, judged by published tables and by the definitions of the standards."""

from __future__ import annotations

from math import cos, pi, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.calc.wheels import fit, load, tire
from service.notation import SPEED_SYMBOLS, tire_size

INCH = 0.0254
POUND = 0.45359237

#: Load index and pounds, as a tire dealer's public size guide prints them (71 to 110).
POUNDS = dict(zip(range(71, 111), (
    761, 783, 805, 827, 853, 882, 908, 937, 963, 992, 1019, 1047, 1074, 1102, 1135, 1168, 1201, 1235, 1279, 1323, 1356, 1389,
    1433, 1477, 1521, 1565, 1609, 1653, 1709, 1764, 1819, 1874, 1929, 1984, 2039, 2094, 2149, 2205, 2271, 2337), strict=True))
#: Load index and kilograms, as a second public load index table prints them outside that range (its 62 is a misprint), and several
#: open ones from 120 on.
KILOGRAMS = {60: 250, 61: 257, 63: 272, 64: 280, 65: 290, 66: 300, 67: 307, 68: 315, 69: 325, 70: 335, 111: 1090, 112: 1120,
             113: 1150, 114: 1180, 115: 1215, 116: 1250, 117: 1285, 118: 1320, 119: 1360, 120: 1400, 121: 1450, 122: 1500,
             123: 1550, 124: 1600, 125: 1650, 126: 1700}
#: Measuring rim widths in inches, as a tire retailer's public technical page prints them.
MEASURING_RIMS = {
    "P175/75R14": 5.0, "P195/75R15": 5.5, "P215/75R15": 6.0, "P235/75R15": 6.5, "P225/75R15": 6.0, "P225/70R15": 6.5,
    "P225/65R16": 6.5, "P225/60R15": 6.5, "P225/55R15": 7.0, "P225/50R15": 7.0, "P225/45R17": 7.5, "P225/40R18": 8.0,
}
#: Speed symbols in km/h, as the same dealer's guide prints them (Z is open ended); L to P and R from open tables.
SPEEDS = {"L": 120, "M": 130, "N": 140, "P": 150, "R": 170, "Q": 160, "S": 180, "T": 190, "U": 200, "H": 210, "V": 240, "W": 270, "Y": 300}


#: Pressure of full load in psi by load range, as a tire retailer's public page prints them (standard load of metric sizes 36, reinforced 42).
LOAD_RANGES = {"SL": 36, "XL": 42, "C": 50, "D": 65, "E": 80}


@pytest.mark.parametrize("letter", LOAD_RANGES)
def test_pressures_of_load_ranges_are_those_sold_in_bar_steps(letter: str) -> None:
    """The metric steps stand within 1.5 psi of the pounds."""
    assert load.REFERENCE_PRESSURES[letter] / 6894.757 == pytest.approx(LOAD_RANGES[letter], abs=1.5)


@pytest.mark.parametrize("index", POUNDS)
def test_loads_agree_with_a_public_table_in_pounds(index: int) -> None:
    assert load.load_of_index(index) / POUND == pytest.approx(POUNDS[index], abs=1.0)


@pytest.mark.parametrize("index", KILOGRAMS)
def test_loads_agree_with_a_second_public_table(index: int) -> None:
    assert load.load_of_index(index) == KILOGRAMS[index]


def test_loads_follow_the_preferred_numbers_of_the_standard() -> None:
    # ISO 4000-1 grades loads in steps of 10^(1/80) from 45 kg at index 0 (from memory); rounding stays within 1.8 %.
    assert sorted(load.LOAD_BY_INDEX) == list(range(60, 127))
    for index, kilograms in load.LOAD_BY_INDEX.items():
        assert kilograms == pytest.approx(45 * 10 ** (index / 80), rel=0.018)


@pytest.mark.parametrize("index", [0, 59, 127, 279])
def test_loads_outside_the_table_are_not_guessed(index: int) -> None:
    with pytest.raises(ValueError, match="not in the table"):
        load.load_of_index(index)


@pytest.mark.parametrize("symbol", SPEEDS)
def test_speed_symbols_agree_with_a_public_table(symbol: str) -> None:
    assert SPEED_SYMBOLS[symbol] == SPEEDS[symbol]


@pytest.mark.parametrize(("symbol", "speed", "share"), [
    ("V", 210, 1.0), ("V", 240, 0.91), ("W", 240, 1.0), ("W", 270, 0.85), ("Y", 270, 1.0), ("Y", 300, 0.85), ("H", 210, 1.0), ("V", 300, 0.91),
])
def test_load_falls_near_the_top_of_the_fast_symbols(symbol: str, speed: float, share: float) -> None:
    # Reimpell, Stoll & Betzler, The Automotive Chassis, load capacity at high speed (a public excerpt gives these ends).
    assert load.speed_factor(symbol, speed / 3.6) == pytest.approx(share)


@given(st.floats(100e3, 600e3), st.floats(200e3, 600e3))
def test_pressure_never_adds_load(pressure: float, reference: float) -> None:
    factor = load.pressure_factor(pressure, reference)
    assert 0 < factor <= 1
    # Lower than the square root of the US association's passenger formula (L ~ P^0.5, a public sample calculation): safe side.
    assert factor <= min(1, (pressure / reference) ** 0.5) + 1e-12


@pytest.mark.parametrize("size", MEASURING_RIMS)
def test_measuring_rims_agree_with_a_public_table(size: str) -> None:
    decoded = tire_size(size)
    assert decoded.section is not None and decoded.aspect is not None
    assert tire.measuring_rim_width(decoded.section, decoded.aspect) / INCH == pytest.approx(MEASURING_RIMS[size])


def test_rim_range_of_a_published_size() -> None:
    # 205/60R15 is approved for 5 1/2 to 7 1/2 in: makers' data sheets.
    assert [width / INCH for width in tire.rim_width_range(0.205, 0.60)] == pytest.approx([5.5, 7.5])


@given(st.floats(0.145, 0.345), st.sampled_from([0.30, 0.40, 0.45, 0.50, 0.55, 0.60, 0.65, 0.70, 0.75, 0.80]))
def test_rim_range_holds_the_measuring_rim_in_half_inches(section: float, aspect: float) -> None:
    low, high = tire.rim_width_range(section, aspect)
    middle = tire.measuring_rim_width(section, aspect)
    assert low < middle < high
    assert middle / (INCH / 2) == pytest.approx(round(middle / (INCH / 2)))


def test_section_follows_the_rim() -> None:
    # A tire dealer's and a tire maker's public technical pages both give 0.2 in (5 mm) for each 1/2 in of rim.
    assert tire.section_width_on_rim(0.235, 7.5 * INCH, 7.0 * INCH) - 0.235 == pytest.approx(0.2 * INCH)


@pytest.mark.parametrize(("size", "diameter_in"), [
    ("205/55R16", 24.9), ("225/45R17", 25.0), ("P235/60R15", 26.1), ("P215/75R15", 27.7), ("LT245/75R16", 30.5), ("26x9.00-15", 26.0),
])
def test_diameter_agrees_with_makers_data_sheets(size: str, diameter_in: float) -> None:
    # Overall diameters as makers' data sheets print them (from memory), to their last figure.
    diameter = tire_size(size).diameter
    assert diameter is not None and diameter / INCH == pytest.approx(diameter_in, abs=0.06)


def test_rolling_radius_is_the_european_rolling_circumference() -> None:
    # European Tyre and Rim Technical Organisation: rolling circumference of a radial = 3.05*D (from memory).
    assert 2 * pi * tire.rolling_radius(0.663) == pytest.approx(3.05 * 0.663, rel=3e-4)


def test_rolling_radius_agrees_with_a_printed_turns_per_mile() -> None:
    # Makers print about 20,850 / D turns in a mile (D in inches) for P-metric radials; common practice.
    diameter = tire_size("P235/60R15").diameter
    assert diameter is not None
    assert tire.rolling_radius_from_turns(20850 / (diameter / INCH)) == pytest.approx(tire.rolling_radius(diameter), rel=0.02)


@given(st.floats(0.1, 0.8))
def test_turns_in_a_mile_undo_the_radius(radius: float) -> None:
    assert tire.rolling_radius_from_turns(1609.344 / (2 * pi * radius)) == pytest.approx(radius)


@given(st.integers(3, 12), st.floats(0.05, 0.4))
def test_bolt_circle_agrees_with_points_on_a_circle(count: int, circle: float) -> None:
    # Judge: hole centers placed on the circle by their coordinates.
    step = radians(360 / count)
    spacing = ((circle / 2 * (cos(step) - 1)) ** 2 + (circle / 2 * sin(step)) ** 2) ** 0.5
    assert fit.bolt_circle(spacing, count) == pytest.approx(circle)


@given(st.floats(-0.05, 0.06), st.floats(0.1, 0.33))
def test_backspacing_undoes_offset_on_a_drawing(offset: float, rim_width: float) -> None:
    # Judge: edges of the rim placed on an axis; the flange stands 1/2 in outside the bead, the face `offset` outboard.
    inner_edge = -(rim_width / 2 + 0.5 * INCH)
    assert fit.offset_from_backspacing(offset - inner_edge, rim_width) == pytest.approx(offset)


@given(st.floats(0.15, 0.33), st.floats(-0.05, 0.05), st.floats(0.15, 0.33), st.floats(-0.05, 0.05))
def test_gaps_agree_with_sidewalls_placed_on_an_axis(section: float, offset: float, section0: float, offset0: float) -> None:
    # Judge: sidewalls as coordinates from the hub face, outboard positive; the centerline lies at -offset.
    inner = (-offset - section / 2) - (-offset0 - section0 / 2)
    outer = (-offset + section / 2) - (-offset0 + section0 / 2)
    found = fit.gap_changes(section, offset, section0, offset0)
    assert found == pytest.approx((inner, -outer), abs=1e-12)
    assert fit.track_change(offset, offset0) == pytest.approx(2 * ((-offset) - (-offset0)), abs=1e-12)


def test_stud_worked_example() -> None:
    projection = fit.stud_projection(1.25 * INCH, 0.25 * INCH, 0.5 * INCH)
    engagement = fit.thread_engagement(projection, 0.7 * INCH)
    assert (engagement * 1e3, engagement / (7 / 16 * INCH), engagement / (INCH / 20)) == pytest.approx((12.70, 1.143, 10), rel=1e-3)


@pytest.mark.parametrize(("call", "words"), [
    (lambda: tire.rolling_radius(0), "larger than 0"),
    (lambda: tire.rolling_radius_from_turns(0), "more than 0"),
    (lambda: tire.measuring_rim_width(0, 0.6), "larger than 0"),
    (lambda: load.pressure_factor(0, 1), "needs pressure"),
    (lambda: fit.bolt_circle(0.1, 2), "three holes"),
])
def test_meaningless_input_is_refused(call: object, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        call()  # type: ignore[operator]
