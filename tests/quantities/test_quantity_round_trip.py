"""What is printed exactly reads back as the same float, in every unit; what is read reads the same again."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.quantities import UNITS, exact, in_unit, read, show

EVERY_UNIT = [(dimension, unit) for dimension, units in UNITS.items() for unit in units]
# About 140 units, each with its own examples: few of each keep the run short on a busy machine.
FEW = settings(max_examples=20, deadline=None)
positive = st.floats(min_value=1e-12, max_value=1e12)
signed = st.one_of(positive, positive.map(lambda value: -value), st.just(0.0))


def _values(dimension: str) -> st.SearchStrategy[float]:
    """A wire has an area above zero; kelvin are not negative."""
    return positive if dimension in ("wire_size", "temperature") else signed


@pytest.mark.parametrize(("dimension", "unit"), EVERY_UNIT)
@FEW
@given(data=st.data())
def test_exact_text_reads_back(dimension: str, unit: str, data: st.DataObject) -> None:
    si = data.draw(_values(dimension))
    again = read(exact(si, dimension, unit), dimension).si
    # A scale whose zero is far from 0 K cannot be told closer than the rounding of that zero.
    assert math.isclose(again, si, rel_tol=1e-12, abs_tol=1e-13 if dimension == "temperature" else 0.0)


@pytest.mark.parametrize(("dimension", "unit"), EVERY_UNIT)
@FEW
@given(data=st.data())
def test_shown_text_reads_back_to_a_thousandth(dimension: str, unit: str, data: st.DataObject) -> None:
    si = data.draw(st.floats(min_value=1e-3, max_value=1e9))
    if abs(in_unit(si, dimension, unit)) < 1e-6 and unit != "AWG":
        return
    shown = show(si, dimension, unit)
    slack = 0.05 * UNITS[dimension][unit].factor * 1.0001 if dimension == "temperature" else 0.0
    assert math.isclose(read(shown, dimension).si, si, rel_tol=1.0001e-3, abs_tol=slack)
    assert "e" not in shown.split(" ")[0]


@given(
    top=st.integers(0, 63),
    whole=st.integers(0, 200),
    bottom=st.sampled_from([2, 4, 8, 16, 32, 64]),
    sign=st.sampled_from(["", "-"]),
)
def test_fraction_equals_its_decimal(whole: int, top: int, bottom: int, sign: str) -> None:
    top %= bottom
    value = whole + top / bottom
    assert read(f"{sign}{whole} {top}/{bottom} in", "length").si == read(f"{sign}{value:.6f} in", "length").si


@given(feet=st.integers(0, 30), inches=st.integers(0, 11), top=st.integers(0, 15))
def test_feet_and_inches_equal_inches(feet: int, inches: int, top: int) -> None:
    typed = read(f"{feet}'{inches} {top}/16\"", "length").si
    assert typed == read(f"{feet * 12 + inches + top / 16} in", "length").si


@given(st.decimals(min_value=-1000000, max_value=1000000, places=3))
def test_si_is_the_correctly_rounded_value(value: object) -> None:
    """Millimeters are exact thousandths: one rounding, as in Python's own reading of the shifted decimal."""
    assert read(f"{value} mm", "length").si == float(f"{value}e-3")
