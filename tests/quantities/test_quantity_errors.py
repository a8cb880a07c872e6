"""What is refused, and what the message says about it: what is wrong, and which units fit."""

import pytest

from service.quantities import DIMENSIONS, QuantityError, in_unit, read, show, units_of

# raw, dimension, fragments of the message
REFUSED = [
    ("", "length", ["nothing was entered", '"12.5 in"']),
    ("   ", "mass", ["nothing was entered", '"12.5 lb"']),
    (None, "length", ["nothing", '"12.5 in"']),
    (True, "length", ["yes or no"]),
    (False, "dimensionless", ["yes or no", "0.75"]),
    ([58, "in"], "length", ["a list"]),
    ({}, "length", ["the value", "nothing"]),
    ({"value": True, "unit": "in"}, "length", ["the value", "yes or no"]),
    ({"value": None, "unit": "in"}, "length", ["the value", "nothing"]),
    ({"value": [1], "unit": "in"}, "length", ["the value", "a list"]),
    ({"value": 58, "unit": 7}, "length", ["the unit", "in, mm, cm"]),
    ({"value": 58, "unit": None}, "length", ["the unit", "nothing"]),
    ({"value": 58}, "length", ['"58" needs a unit', "in, mm, cm"]),
    ({"value": 58, "units": "in"}, "length", ["value, unit and tolerance", '"units"']),
    ({"value": "58 in", "unit": "in"}, "length", ["in in"]),
    ({"value": float("nan"), "unit": "in"}, "length", ["finite"]),
    ({"value": float("-inf"), "unit": "in"}, "length", ["finite"]),
    ({"value": 10**400, "unit": "in"}, "length", ["finite number of reasonable size"]),
    (float("nan"), "dimensionless", ["finite"]),
    (float("inf"), "dimensionless", ["finite"]),
    (58, "length", ['"58" needs a unit', "in, mm, cm, m, ft, mi, km"]),
    ("58", "length", ['"58" needs a unit', "in, mm, cm, m, ft, mi, km"]),
    ("1 1/8", "torque", ["needs a unit", "lb·ft, N·m"]),
    ("14", "wire_size", ["needs a unit", "AWG or mm2"]),
    ("nan in", "length", ["not a finite number"]),
    ("NaN", "length", ["not a finite number"]),
    ("-inf mm", "length", ["not a finite number"]),
    ("Infinity", "dimensionless", ["not a finite number"]),
    ("∞ m", "length", ["not a finite number"]),
    ("in", "length", ["does not begin with a number"]),
    ("about 58 in", "length", ["does not begin with a number", '"12.5 in"']),
    ("-", "length", ["does not begin with a number"]),
    (".", "length", ["does not begin with a number"]),
    ("1,25 mm", "length", ["comma", "point", "1.25"]),
    ("1,2500 mm", "length", ["comma"]),
    ("0,125 in", "length", ["comma"]),
    ("12,34,567 kg", "mass", ["comma"]),
    ("1.250,5 mm", "length", ["comma"]),
    ("2,5°", "angle", ["comma"]),
    ("5 lb 3 oz", "mass", ["more than one number or unit"]),
    ("9-10 mm", "length", ["more than one number or unit"]),
    ("1 000 mm", "length", ["more than one number or unit"]),
    ("1.5.2 mm", "length", ["more than one number or unit"]),
    ("1.5 1/8 in", "length", ["more than one number or unit"]),
    ("5 mm 10 in", "length", ["more than one number or unit"]),
    ("58 in mm", "length", ['"in mm" is not a unit of length']),
    ("35 mm ET", "length", ['"mm ET" is not a unit of length', "in, mm, cm"]),
    ("58 furlongs", "length", ['"furlongs" is not a unit of length', "in, mm, cm"]),
    ("58 psi", "length", ['"psi" is a unit of pressure, not of length', "in, mm, cm"]),
    ("470 lb", "torque", ['"lb" is a unit of mass or force, not of torque', "lb·ft, N·m, lb·in"]),
    ("470 lb·in", "stiffness", ["a unit of torque, not of stiffness", "lb/in"]),
    ("14 AWG", "length", ['"AWG" is a unit of wire size, not of length']),
    ("14 in", "wire_size", ['"in" is a unit of length, not of wire size', "AWG or mm2"]),
    ("85°", "temperature", ["a unit of angle, not of temperature", "degF, degC or K"]),
    ("12 MV", "voltage", ["10^9", "V, mV or kV"]),
    ("8 mpa", "pressure", ["10^9", "MPa"]),
    ("1/0 in", "length", ["divides by zero"]),
    ("1 1/0 in", "length", ["divides by zero"]),
    ("1 9/8 in", "length", ["not below one"]),
    ("1 8/8 in", "length", ["not below one"]),
    ("5'14\"", "length", ["less than 12 inches"]),
    ("5'12\"", "length", ["less than 12 inches"]),
    ("5.5' 10\"", "length", ["whole feet"]),
    ("1/2' 3\"", "length", ["whole feet"]),
    ("5' ten\"", "length", ["not a unit of length"]),
    ("5'10 mm", "length", ["inches", "5'10 1/2\""]),
    ("1e400 m", "length", ["exponent"]),
    ("1e-400 m", "length", ["exponent"]),
    ("1e99999999999999999999 m", "length", ["exponent"]),
    ("99999999e300 mi", "length", ["too large"]),
    ("9999999999e300 degC", "temperature", ["too large"]),
    ("1:2", "dimensionless", ["not a unit of pure numbers"]),
    ("5 %", "length", ["a unit of pure numbers, not of length"]),
    ("0x10 in", "length", ["more than one number or unit"]),
    ("1_000 mm", "length", ["more than one number or unit"]),
    ("٣ in", "length", ["does not begin with a number"]),
    ("5 (in", "length", ["not a unit of length"]),
    ("5 in -", "length", ["not a unit of length"]),
    ("x" * 10_000, "length", ["10000 characters long"]),
    ("1" * 10_000 + " in", "length", ["characters long"]),
]  # fmt: skip


@pytest.mark.parametrize(("raw", "dimension", "says"), REFUSED, ids=lambda value: repr(value)[:40])
def test_refusal_says_why(raw: object, dimension: str, says: list[str]) -> None:
    with pytest.raises(QuantityError) as refusal:
        read(raw, dimension)
    message = str(refusal.value)
    assert [part for part in says if part not in message] == []
    assert len(message) < 250
    assert message.isprintable()


@pytest.mark.parametrize("dimension", [name for name in DIMENSIONS if name != "dimensionless"])
def test_bare_number_names_every_unit_that_fits(dimension: str) -> None:
    with pytest.raises(QuantityError) as refusal:
        read(58, dimension)
    assert [unit for unit in units_of(dimension) if unit not in str(refusal.value)] == []


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_example_offered_is_itself_read(dimension: str) -> None:
    with pytest.raises(QuantityError) as refusal:
        read("", dimension)
    example = str(refusal.value).removeprefix("nothing was entered; a quantity is text such as ")
    assert read(example.strip('"'), dimension).text == example.strip('"')


def test_an_error_is_a_value_error() -> None:
    assert issubclass(QuantityError, ValueError)


def test_unknown_dimension_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(KeyError):
        read("58 in", "lenght")


@pytest.mark.parametrize("call", [in_unit, show])
def test_printing_in_a_foreign_unit_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(QuantityError, match="not a unit of length"):
        call(1.0, "length", "psi")
