"""The vocabulary as the reference lists it: no subject, field, position, dimension, range or choice may get lost.

`fields.csv` was written from the reference's tables, not from the code. An empty cell is something that the reference
leaves open. `suspension.*_x` and the like are one line each.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from service.vocabulary import KINDS
from service.vocabulary.core import Field, Positions, Range

ROWS = list(csv.DictReader(Path(__file__).with_name("fields.csv").open(encoding="utf-8")))
CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
#: Positions at which a field of each sort must be accepted, and some at which it must not. None is no position.
PLACES: dict[str, tuple[tuple[str | None, ...], tuple[str | None, ...]]] = {
    "none": ((None,), ()),
    "axles": (("front", "rear", "front:helper"), (None, "front_left", "middle")),
    "corners": ((*CORNERS, "front", "rear"), (None, "left")),
    "label": (("cooling fan", "anything"), (None,)),
    "holes": (("upper", "lower"), (None, "front")),
    "shafts": ((None, "front", "rear", "front axle"), ("middle",)),
    "lines": ((None, "front axle"), ("front_left",)),
    "joints": (("front", "center", "rear"), (None, "front_left")),
}


def field(row: dict[str, str]) -> tuple[Field, Positions]:
    subject, _, name = row["fact"].partition(".")
    assert subject in KINDS, f"no subject {subject}"
    kind = KINDS[subject]
    assert name in kind.by_name, f"{subject} has no field {name}"
    return kind.by_name[name], kind.positions_of(kind.by_name[name])


def named(row: dict[str, str]) -> str:
    return row["fact"]


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_a_field_of_the_reference(row: dict[str, str]) -> None:
    found, positions = field(row)
    assert found.dimension == row["dimension"]
    assert list(found.choices) == row["choices"].split()
    if row["choosable"]:
        assert found.choosable is (row["choosable"] == "yes")
    good, bad = PLACES[row["positions"]]
    assert [place for place in good if not positions.accepts(place)] == []
    assert [place for place in bad if positions.accepts(place)] == []


@pytest.mark.parametrize("which", ["usual", "hard"])
@pytest.mark.parametrize("row", [row for row in ROWS if row["usual"] or row["hard"]], ids=named)
def test_the_ranges_of_the_reference(row: dict[str, str], which: str) -> None:
    found, _ = field(row)
    if not row[which]:
        return
    wanted = Range.of(row[which], "dimensionless" if found.dimension in ("integer", "ratios") else found.dimension)
    given = found.usual_range if which == "usual" else found.hard_range
    assert given is not None
    assert (given.low, given.high) == pytest.approx((wanted.low, wanted.high))


@pytest.mark.parametrize("fact", ["starter.positive_size", "starter.negative_size", "circuit.wire_size@lamp"])
def test_wire_from_40_awg_to_500_square_millimeters(fact: str) -> None:
    subject, _, name = fact.partition("@")[0].partition(".")
    found = KINDS[subject].by_name[name]
    assert found.read("40 AWG").value < found.read("4/0 AWG").value < found.read("500 mm2").value
    with pytest.raises(ValueError, match="physically possible"):
        found.read("501 mm2")


def test_every_field_stands_in_the_reference() -> None:
    """A field that is added here is added to the list as well, so that the two cannot drift apart."""
    listed = {row["fact"] for row in ROWS}
    declared = {f"{kind.name}.{item.name}" for kind in KINDS.values() for item in kind.fields}
    assert declared - listed == set()


@pytest.mark.parametrize("name", ["seat", "seat_belt", "lamp", "hose", "belt", "panel", "glass", "gauge", "condenser"])
def test_kinds_without_fields_can_be_listed(name: str) -> None:
    assert not KINDS[name].fields
    assert not KINDS[name].area
