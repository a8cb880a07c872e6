"""A name that nobody declared is answered with the one that was meant."""

from __future__ import annotations

import pytest

from service.document.address import AddressError, resolve
from service.vocabulary import KINDS, elsewhere, nearest
from service.vocabulary.spoken import ALSO_CALLED


def test_every_other_name_belongs_to_a_kind_and_is_none_itself() -> None:
    assert set(ALSO_CALLED) <= set(KINDS)
    assert not {name.replace(" ", "_") for names in ALSO_CALLED.values() for name in names} & set(KINDS)


@pytest.mark.parametrize(("said", "meant"), [
    ("sway_bar", "anti_roll_bar"), ("fan", "cooling_fan"), ("shock", "damper"), ("Gearbox", "transmission"), ("caliper", "brake_caliper"),
    ("rear_axle", "axle"), ("seatbelt", "seat_belt"), ("enigne", "engine"), ("pulley", ""),
])
def test_a_kind_said_otherwise(said: str, meant: str) -> None:
    assert nearest(said, KINDS).removeprefix("; did you mean ").rstrip("?").split(" or ")[0] == meant


@pytest.mark.parametrize(("subject", "field", "place"), [
    ("wheel_spacer", "thickness", "wheel.spacer_thickness"), ("brake_caliper", "piston_diameter", "brake.piston_diameter"), ("engine", "color", ""),
])
def test_a_field_that_stands_elsewhere(subject: str, field: str, place: str) -> None:
    assert elsewhere(subject, field) == place


def test_the_error_says_where() -> None:
    with pytest.raises(AddressError, match=r"wheel_spacer has no field 'thickness'; it stands at wheel\.spacer_thickness"):
        resolve("wheel_spacer.thickness")
