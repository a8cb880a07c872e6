"""Figures as people read them: rounding, thousands, both systems, fractions of an inch."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.quantities import (
    DIMENSIONS,
    UNITS,
    both,
    both_typed,
    gauge_area,
    in_unit,
    preferred,
    read,
    round_fraction,
    show,
    show_fraction,
)

INCH = 0.0254

SHOWN = [
    # si, dimension, unit, plain, typeset
    (537.2, "rotational_speed", "rpm", "5,130 rpm", "5,130\u202frpm"),
    (3.42 * INCH, "length", "in", "3.42 in", "3.42\u202fin"),
    (3.42 * INCH, "length", "mm", "86.9 mm", "86.9\u202fmm"),
    (58 * INCH, "length", "mm", "1,473 mm", "1,473\u202fmm"),
    (0.0, "length", "in", "0 in", "0\u202fin"),
    (-0.0, "length", "in", "0 in", "0\u202fin"),
    (1e-15, "length", "mm", "0 mm", "0\u202fmm"),
    (-1e-15, "length", "mm", "0 mm", "0\u202fmm"),
    (0.00025, "length", "mm", "0.25 mm", "0.25\u202fmm"),
    (0.005126, "length", "mm", "5.13 mm", "5.13\u202fmm"),
    (0.004994, "length", "mm", "4.994 mm", "4.994\u202fmm"),
    (9.9996, "length", "m", "10 m", "10\u202fm"),
    (math.radians(-2.5), "angle", "deg", "-2.5 deg", "\u22122.5°"),
    (353.15, "temperature", "degC", "80 degC", "80\u202f°C"),
    (353.15, "temperature", "degF", "176 degF", "176\u202f°F"),
    (233.15, "temperature", "degC", "-40 degC", "\u221240\u202f°C"),
    (366.483, "temperature", "degF", "200 degF", "200\u202f°F"),
    (310.123, "temperature", "degC", "37 degC", "37\u202f°C"),
    (5.0, "temperature_difference", "degF", "9 degF", "9\u202f°F"),
    (640.0, "torque", "N·m", "640 N·m", "640\u202fN·m"),
    (637.2344697, "torque", "lb·ft", "470 lb·ft", "470\u202flb·ft"),
    (0.005, "resistance", "mohm", "5 mohm", "5\u202fmΩ"),
    (0.3, "dimensionless", "%", "30 %", "30%"),
    (4.1, "dimensionless", "1", "4.1", "4.1"),
    (1040.0, "density", "kg/m3", "1,040 kg/m3", "1,040\u202fkg/m³"),
    (0.2234, "volume_flow", "m3/s", "0.2234 m3/s", "0.2234\u202fm³/s"),
    (350 * INCH**3, "volume", "cu in", "350 cu in", "350\u202fcu\u202fin"),
    (0.95 * 9.80665, "acceleration", "g0", "0.95 g0", "0.95\u202fg"),
    (8.448297053357792e-08, "specific_consumption", "lb/(hp*h)", "0.5 lb/(hp*h)", "0.5\u202flb/(hp·h)"),
    (5.6e9, "pressure", "Pa", "5,600,000,000 Pa", "5,600,000,000\u202fPa"),
    (200e9, "pressure", "GPa", "200 GPa", "200\u202fGPa"),
    (3687.4, "mass", "kg", "3,687 kg", "3,687\u202fkg"),
    (8687.4, "mass", "kg", "8,687 kg", "8,687\u202fkg"),
    (gauge_area(14), "wire_size", "AWG", "14 AWG", "14\u202fAWG"),
    (gauge_area(-1), "wire_size", "AWG", "2/0 AWG", "2/0\u202fAWG"),
    (2.5e-6, "wire_size", "AWG", "2.5 mm2", "2.5\u202fmm²"),
    (gauge_area(14), "wire_size", "mm2", "2.081 mm2", "2.081\u202fmm²"),
]  # fmt: skip

BOTH = [
    # si, dimension, like, US shop, metric shop
    (3.42 * INCH, "length", "mm", "3.42 in (86.9 mm)", "86.9 mm (3.42 in)"),
    (1.5, "length", "m", "4.921 ft (1.5 m)", "1.5 m (4.921 ft)"),
    (537.2, "rotational_speed", "rpm", "5,130 rpm", "5,130 rpm"),
    (637.2344697, "torque", None, "470 lb·ft (637 N·m)", "637 N·m (470 lb·ft)"),
    (353.15, "temperature", None, "176 degF (80 degC)", "80 degC (176 degF)"),
    (31.2928, "speed", "m/s", "70 mph (31.29 m/s)", "31.29 m/s (70 mph)"),
    (6.4e-5, "volume", "cc", "64 cc", "64 cc"),
    (gauge_area(14), "wire_size", None, "14 AWG (2.081 mm2)", "2.081 mm2 (14 AWG)"),
    (2.5e-6, "wire_size", None, "2.5 mm2", "2.5 mm2"),
    (0.3, "dimensionless", "%", "30 %", "30 %"),
]

TYPED = [
    # text, dimension, US shop, metric shop
    ("1 1/8 in", "length", "1 1/8 in (28.58 mm)", "28.58 mm (1 1/8 in)"),
    ("52 3/4 in ± 0.1 in", "length", "52 3/4 in ± 0.1 in (1,340 mm)", "1,340 mm (52 3/4 in ± 0.1 in)"),
    ("35 mm", "length", "1.378 in (35 mm)", "35 mm (1.378 in)"),
    ("470 lb-ft", "torque", "470 lb-ft (637 N·m)", "637 N·m (470 lb-ft)"),
    ("5130 rpm", "rotational_speed", "5130 rpm", "5130 rpm"),
    ("4.10:1", "dimensionless", "4.10:1", "4.10:1"),
    ("#14", "wire_size", "#14 (2.081 mm2)", "2.081 mm2 (#14)"),
    ("2.5 mm²", "wire_size", "2.5 mm²", "2.5 mm²"),
]

PREFERRED = [
    # dimension, like, US, metric
    ("length", None, "in", "mm"),
    ("length", "mm", "in", "mm"),
    ("length", "cm", "in", "cm"),
    ("length", "m", "ft", "m"),
    ("length", "ft", "ft", "m"),
    ("length", "km", "mi", "km"),
    ("torque", "N*m", "lb·ft", "N·m"),
    ("stiffness", "N/mm", "lb/in", "N/mm"),
    ("pressure", "kPa", "psi", "kPa"),
    ("pressure", "GPa", "ksi", "GPa"),
    ("pressure", "inHg", "inHg", "kPa"),
    ("volume_flow", "L/min", "gpm", "L/min"),
    ("volume_flow", "m3/s", "cfm", "m3/s"),
    ("volume_flow", "cfm", "cfm", "L/s"),
    ("volume_flow", "L/h", "gph", "L/h"),
    ("temperature", None, "degF", "degC"),
    ("temperature_difference", None, "degF", "K"),
    ("mass", "kg", "lb", "kg"),
    ("mass", "g", "oz", "g"),
    ("power", None, "hp", "kW"),
    ("power", "W", "W", "W"),
    ("speed", "m/s", "mph", "m/s"),
    ("speed", None, "mph", "km/h"),
    ("speed", "ft/min", "ft/min", "m/s"),
    ("roll_stiffness", "N·m/deg", "lb·ft/deg", "N·m/deg"),
    ("thermal_conductance", "kW/K", "kW/K", "kW/K"),
    ("acceleration", None, "g0", "g0"),
    ("volume", "L", "gal", "L"),
    ("volume", "cu in", "cu in", "L"),
    ("wire_size", None, "AWG", "mm2"),
    ("voltage", "V", "V", "V"),
]


@pytest.mark.parametrize(("si", "dimension", "unit", "plain", "typeset"), SHOWN)
def test_figure_for_people(si: float, dimension: str, unit: str, plain: str, typeset: str) -> None:
    assert show(si, dimension, unit) == plain
    assert show(si, dimension, unit, typeset=True) == typeset


@pytest.mark.parametrize(("si", "dimension", "unit"), [row[:3] for row in SHOWN])
def test_typeset_figure_reads_as_the_plain_one(si: float, dimension: str, unit: str) -> None:
    typeset = show(si, dimension, unit, typeset=True)
    assert read(typeset, dimension).si == read(show(si, dimension, unit), dimension).si


@pytest.mark.parametrize(("si", "dimension", "like", "us", "metric"), BOTH)
def test_both_systems(si: float, dimension: str, like: str | None, us: str, metric: str) -> None:
    assert (both(si, dimension, "us", like), both(si, dimension, "metric", like)) == (us, metric)


@pytest.mark.parametrize(("text", "dimension", "us", "metric"), TYPED)
def test_typed_text_keeps_its_fractions(text: str, dimension: str, us: str, metric: str) -> None:
    quantity = read(text, dimension)
    assert (both_typed(quantity, dimension, "us"), both_typed(quantity, dimension, "metric")) == (us, metric)


@pytest.mark.parametrize(("dimension", "like", "us", "metric"), PREFERRED)
def test_preferred_unit(dimension: str, like: str | None, us: str, metric: str) -> None:
    assert (preferred(dimension, "us", like), preferred(dimension, "metric", like)) == (us, metric)


@pytest.mark.parametrize("dimension", DIMENSIONS)
@pytest.mark.parametrize("system", ["us", "metric"])
def test_preferred_unit_belongs_to_the_system(dimension: str, system: str) -> None:
    for like in (None, *UNITS[dimension]):
        chosen = UNITS[dimension][preferred(dimension, system, like)]  # type: ignore[arg-type]
        assert chosen.system in (system, "both")


@pytest.mark.parametrize(
    ("inches", "denominator", "text"),
    [
        (1.21875, 32, "1 7/32 in"),
        (1.22, 32, "1 7/32 in"),
        (1.22, 16, "1 1/4 in"),
        (3.5, 16, "3 1/2 in"),
        (3.0, 64, "3 in"),
        (0.5, 64, "1/2 in"),
        (0.0, 16, "0 in"),
        (0.01, 16, "0 in"),
        (-0.01, 16, "0 in"),
        (-1.21875, 32, "-1 7/32 in"),
        (0.999, 16, "1 in"),
    ],
)
def test_fraction_of_an_inch(inches: float, denominator: int, text: str) -> None:
    assert show_fraction(inches * INCH, denominator) == text
    assert read(text, "length").si == pytest.approx(round_fraction(inches * INCH, denominator, "nearest"), rel=1e-14)


@pytest.mark.parametrize(
    ("inches", "direction", "rounded"),
    [
        (3.42, "up", 3.4375),
        (3.42, "down", 3.375),
        (3.42, "nearest", 3.4375),
        (3.4375, "up", 3.4375),
        (3.4375, "down", 3.4375),
        (-3.42, "up", -3.375),
        (-3.42, "down", -3.4375),
        (0.0, "up", 0.0),
    ],
)
def test_rounding_to_a_fraction(inches: float, direction: str, rounded: float) -> None:
    assert round_fraction(inches * INCH, 16, direction) == pytest.approx(rounded * INCH, rel=1e-14)  # type: ignore[arg-type]


@given(st.floats(min_value=-10, max_value=10), st.sampled_from([16, 32, 64]))
def test_safe_side_rounding_brackets_the_length(si: float, denominator: int) -> None:
    low, high = round_fraction(si, denominator, "down"), round_fraction(si, denominator, "up")
    slack = 1e-8 * INCH
    assert low <= si + slack
    assert si - slack <= high
    assert high - low <= INCH / denominator + slack


def test_a_fraction_needs_a_denominator() -> None:
    with pytest.raises(ValueError, match="at least 1"):
        show_fraction(1.0, 0)


@pytest.mark.parametrize(
    ("si", "dimension", "unit", "figure"),
    [
        (INCH, "length", "in", 1.0),
        (255.3722222222222, "temperature", "degF", 0.0),
        (math.pi, "angle", "deg", 180.0),
        (gauge_area(-3), "wire_size", "AWG", -3.0),
    ],
)
def test_figure_in_a_unit(si: float, dimension: str, unit: str, figure: float) -> None:
    assert in_unit(si, dimension, unit) == pytest.approx(figure, abs=1e-12)


@pytest.mark.parametrize("si", [math.nan, math.inf])
def test_only_finite_values_are_printed(si: float) -> None:
    with pytest.raises((ValueError, OverflowError)):
        show(si, "length", "in")
