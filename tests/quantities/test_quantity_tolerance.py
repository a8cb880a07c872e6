"""Tolerances: within the text, beside it, and what they mean."""

import pytest

from service.quantities import Quantity, QuantityError, read

READS = [
    # raw, tolerance beside it, dimension, SI value, SI tolerance, text shown
    ("52 3/4 in ± 0.1 in", None, "length", 1.33985, 0.00254, "52 3/4 in ± 0.1 in"),
    ("52 3/4 in +/- 0.1 in", None, "length", 1.33985, 0.00254, "52 3/4 in +/- 0.1 in"),
    ("52 3/4 in +/− 0.1", None, "length", 1.33985, 0.00254, "52 3/4 in +/− 0.1"),
    ("52 3/4 in +- 1/16", None, "length", 1.33985, 0.0015875, "52 3/4 in +- 1/16"),
    ("52 3/4 in ±2.54 mm", None, "length", 1.33985, 0.00254, "52 3/4 in ±2.54 mm"),
    ("5'10\" ± 1/4\"", None, "length", 1.778, 0.00635, "5'10\" ± 1/4\""),
    ("5'10\" ± 1/4", None, "length", 1.778, 0.00635, "5'10\" ± 1/4"),
    ("50 ± 0.5 mm", None, "length", 0.05, 0.0005, "50 ± 0.5 mm"),
    ("85 degC ± 2 degC", None, "temperature", 358.15, 2.0, "85 degC ± 2 degC"),
    ("85 degC ± 2", None, "temperature", 358.15, 2.0, "85 degC ± 2"),
    ("85 ± 2 °C", None, "temperature", 358.15, 2.0, "85 ± 2 °C"),
    ("185 °F ± 9 °F", None, "temperature", 358.15, 5.0, "185 °F ± 9 °F"),
    ("85 degC ± 9 degF", None, "temperature", 358.15, 5.0, "85 degC ± 9 degF"),
    ("85 degC ± 2 K", None, "temperature", 358.15, 2.0, "85 degC ± 2 K"),
    ("20 % ± 2 %", None, "dimensionless", 0.2, 0.02, "20 % ± 2 %"),
    ("20 % ± 2", None, "dimensionless", 0.2, 0.02, "20 % ± 2"),
    ("4.10 ± 0.05", None, "dimensionless", 4.1, 0.05, "4.10 ± 0.05"),
    ("0 in ± 0 in", None, "length", 0.0, 0.0, "0 in ± 0 in"),
    ("2.5 ± 0.1 mm2", None, "wire_size", 2.5e-6, 1e-7, "2.5 ± 0.1 mm2"),
    ("2/0 ± 0.1 mm2", None, "wire_size", 6.743088223591077e-05, 1e-7, "2/0 ± 0.1 mm2"),
    ("2.4 deg", "0.1 deg", "angle", 0.041887902047863905, 0.0017453292519943296, "2.4 deg ± 0.1 deg"),
    ("2.4 deg", "± 0.1 deg", "angle", 0.041887902047863905, 0.0017453292519943296, "2.4 deg ± 0.1 deg"),
    ("85 degC", {"value": 9, "unit": "degF"}, "temperature", 358.15, 5.0, "85 degC ± 9 degF"),
    ({"value": "1 1/8", "unit": "in"}, "0.1 in", "length", 0.028575, 0.00254, "1 1/8 in ± 0.1 in"),
    ({"value": "1 1/8", "unit": "in", "tolerance": "0.1 in"}, None, "length", 0.028575, 0.00254, "1 1/8 in ± 0.1 in"),
    ({"value": 50, "unit": "mm", "tolerance": {"value": 0.5, "unit": "mm"}}, None, "length", 0.05, 0.0005,
     "50 mm ± 0.5 mm"),
    ({"value": 50.0, "unit": "mm", "tolerance": None}, None, "length", 0.05, None, "50 mm"),
    (4.1, 0.05, "dimensionless", 4.1, 0.05, "4.1 ± 0.05"),
    ({"value": 0.75, "unit": "1"}, None, "dimensionless", 0.75, None, "0.75 1"),
    ({"value": 0.75}, None, "dimensionless", 0.75, None, "0.75"),
    (10, None, "dimensionless", 10.0, None, "10"),
]  # fmt: skip


@pytest.mark.parametrize(("raw", "beside", "dimension", "si", "tolerance", "text"), READS)
def test_value_and_tolerance(raw: object, beside: object, dimension: str, si: float, tolerance: float | None, text: str) -> None:
    quantity = read(raw, dimension, beside)
    assert quantity.si == pytest.approx(si, rel=1e-14)
    assert quantity.tolerance == (None if tolerance is None else pytest.approx(tolerance, rel=1e-14))
    assert quantity.text == text


@pytest.mark.parametrize(("raw", "beside", "dimension"), [row[:3] for row in READS])
def test_shown_text_reads_as_the_same_quantity(raw: object, beside: object, dimension: str) -> None:
    quantity = read(raw, dimension, beside)
    assert read(quantity.text, dimension) == quantity


def test_quantity_cannot_be_changed() -> None:
    quantity = Quantity(1.0, None, "1 m", "m")
    with pytest.raises(AttributeError):
        quantity.si = 2.0  # type: ignore[misc]


# raw, tolerance beside it, dimension, what the message must say
REFUSED = [
    ("52 in ± -0.1 in", None, "length", "negative"),
    ("52 in", "-0.1 in", "length", "negative"),
    ("52 in ± 0.1 in ± 0.2 in", None, "length", "more than one ±"),
    ("52 in ±", None, "length", "both sides of the ±"),
    ("± 0.1 in", None, "length", "both sides of the ±"),
    ("52 in ± 0.1 lb", None, "length", "unit of mass or force, not of length"),
    ("52 ± 0.1", None, "length", "needs a unit: in, mm"),
    ("52 in", "0.1", "length", "needs a unit: in, mm"),
    ("52 in", 0.1, "length", "needs a unit: in, mm"),
    ("52 in", "1 lb", "length", "not of length"),
    ("52 in", True, "length", "yes or no"),
    ("52 in ± 0.1 in", "0.1 in", "length", "stated twice"),
    ({"value": 52, "unit": "in", "tolerance": "0.1 in"}, "0.1 in", "length", "stated twice"),
    ("52 in", "0.1 in ± 0.01 in", "length", "cannot have a tolerance itself"),
    ("52 in", {"value": 1, "unit": "in", "tolerance": "1 in"}, "length", "cannot have a tolerance itself"),
    ("52 in ± 2 %", None, "length", "absolute"),
    ("4.10 ± 2 %", None, "dimensionless", "absolute"),
    ("4.10", "2 %", "dimensionless", "absolute"),
    ("14 AWG ± 1 AWG", None, "wire_size", "not evenly spaced"),
    ("14 AWG", "1 AWG", "wire_size", "not evenly spaced"),
    ("85 degC ± 2 psi", None, "temperature", "unit of pressure"),
    ("50 +0.1/-0.2 mm", None, "length", "more than one number"),
]  # fmt: skip


@pytest.mark.parametrize(("raw", "beside", "dimension", "says"), REFUSED)
def test_refused_tolerance_says_why(raw: object, beside: object, dimension: str, says: str) -> None:
    with pytest.raises(QuantityError) as refusal:
        read(raw, dimension, beside)
    assert says in str(refusal.value)
