"""What to ask for at the counter: the record's own words, what a fix changed, what not to be sold, bolts by thread and length."""

from __future__ import annotations

from typing import Any

from reports.sections.ordering import Order, Ordering
from tests.reports import sample
from tests.reports.test_sections import sections


def ordering(**changes: Any) -> Ordering:
    content = sections(sample.document(**changes), sample.ANSWER)["ordering"].content
    assert isinstance(content, Ordering)
    return content


def order(content: Ordering, key: str) -> Order:
    return next(order for counter in content.counters for order in (*counter.special, *counter.usual) if order.part.id == key)


CYLINDERS = [
    {"id": "p-old", "kind": "master_cylinder", "name": "First cylinder", "maker": "Ombrick", "part_number": "OB-19", "status": "removed", "system": "brakes",
     "specs": {"bore": "19 mm", "stroke": "30 mm"}},
    {"id": "p-new", "kind": "master_cylinder", "name": "Cylinder of the later pickup", "maker": "Ombrick", "part_number": "OB-22", "system": "brakes",
     "specs": {"bore": "22 mm", "stroke": "30 mm"}, "replaces": "p-old"},
]


def test_a_part_that_took_the_place_of_another_says_how_they_differ() -> None:
    found = order(ordering(parts=CYLINDERS), "p-new")
    assert found.ask == "Ombrick OB-22"
    assert found.not_this == "First cylinder (Ombrick OB-19), which it replaced: bore 22 mm, not 19 mm"


def test_the_same_part_renewed_is_not_warned_of() -> None:
    again = [CYLINDERS[0], {**CYLINDERS[0], "id": "p-new", "status": "fitted", "replaces": "p-old"}]
    assert order(ordering(parts=again), "p-new").not_this == ""


def test_a_removed_part_of_the_kind_and_place_is_known_without_being_named() -> None:
    new = {key: value for key, value in CYLINDERS[1].items() if key != "replaces"}
    assert "First cylinder" in order(ordering(parts=[CYLINDERS[0], new]), "p-new").not_this


def test_a_fix_that_brought_a_part_stands_with_it() -> None:
    fix = {**sample.DOCUMENT["fixes"][0], "parts_added": ["p-new"]}
    found = order(ordering(parts=CYLINDERS, fixes=[fix]), "p-new")
    assert found.changed == (("Center mount sagged", "Look at the shim first.", "fix-x-1"),)


def test_every_part_on_the_car_has_something_to_ask_for() -> None:
    parts = [{"id": "a", "kind": "other", "name": "Bracket of our own"}, {"id": "b", "kind": "tire", "specs": {"size": "205/60R15"}},
             {"id": "c", "kind": "tire", "position": "front", "part_number": "T-1"}]
    content = ordering(parts=parts)
    assert [order(content, key).ask for key in "abc"] == ["Bracket of our own; no number is recorded, take the old one along", "tire size 205/60R15", "T-1"]


def test_bolts_are_asked_for_by_count_thread_length_and_class() -> None:
    fastener = {**sample.DOCUMENT["fasteners"][0], "length": "35 mm", "extra_angle": "90 deg"}
    special = {"check": "fasteners.length_to_order", "position": "bar link", "title": "length", "verdict": "caution", "series": {"special": True}}
    content = sections(sample.document(fasteners=[fastener]), {**sample.ANSWER, "results": [special]})["ordering"].content
    (bolt,) = [bolt for counter in content.counters for bolt in counter.bolts]
    assert (bolt.joint, bolt.ask) == ("bar link", "2 × M10x1.5 × 35 mm, class 10.9")
    assert bolt.mind == "not a length, thread or class of every shelf: order ahead; tightened by angle: new bolts each time"


def test_what_the_papers_list_and_the_car_has_not() -> None:
    content = ordering(parts=CYLINDERS, absent=["anti_roll_bar@rear"])
    assert content.gone == (("First cylinder", "Cylinder of the later pickup"), ("anti-roll bar, rear", "nothing: deliberately not fitted"))
