"""As-fitted facts: which record gives the value, and where each position reads from."""

from __future__ import annotations

from typing import Any

import pytest

from service.document import Facts, load
from service.document.changes import facts_with

HEAD: dict[str, Any] = {"format": "as-fitted/build/1", "car": {"make": "Example", "model": "One", "year": 1962}, "build": {"use": "street"}}


def facts(**lists: Any) -> Facts:
    return Facts(load({**HEAD, **lists}))


def part(id_: str, kind: str, status: str = "fitted", position: str | None = None, fitted_on: str | None = None, **specs: Any) -> dict[str, Any]:
    return {"id": id_, "kind": kind, "status": status, "position": position, "fitted_on": fitted_on, "specs": specs}


def measured(id_: str, fact: str, value: Any, taken_at: str | None = None, supersedes: str | None = None) -> dict[str, Any]:
    return {"id": id_, "fact": fact, "value": value, "taken_at": taken_at, "supersedes": supersedes}


def source(found: Facts, subject: str, field: str, position: str | None = None) -> str | None:
    fact = found.find(subject, field, position)
    return str(fact.source["id"]) if fact else None


def test_a_measurement_outranks_a_spec_and_a_part() -> None:
    found = facts(
        parts=[part("p", "axle", ratio=3.55)], specs=[{"id": "s", "fact": "axle.ratio", "value": 3.73}], measurements=[measured("m", "axle.ratio", 4.1)]
    )
    assert source(found, "axle", "ratio") == "m"


def test_a_spec_outranks_a_part() -> None:
    found = facts(parts=[part("p", "axle", ratio=3.55)], specs=[{"id": "s", "fact": "axle.ratio", "value": 3.73}])
    assert source(found, "axle", "ratio") == "s"


def test_the_newest_measurement_holds() -> None:
    found = facts(
        measurements=[
            measured("new", "axle.ratio", 4.1, "2026-05-02T08:00:00+02:00"),
            measured("old", "axle.ratio", 3.9, "2026-05-02T07:00:00+02:00"),
            measured("undated", "axle.ratio", 3.7),
        ]
    )
    assert source(found, "axle", "ratio") == "new"


def test_times_are_compared_across_offsets() -> None:
    found = facts(
        measurements=[measured("later", "axle.ratio", 4.1, "2026-05-02T08:00:00-05:00"), measured("earlier", "axle.ratio", 3.9, "2026-05-02T12:00:00+02:00")]
    )
    assert source(found, "axle", "ratio") == "later"


def test_ties_go_to_the_later_entry() -> None:
    found = facts(measurements=[measured("first", "axle.ratio", 4.1), measured("second", "axle.ratio", 3.9)])
    assert source(found, "axle", "ratio") == "second"


def test_superseded_measurements_do_not_count() -> None:
    found = facts(measurements=[measured("wrong", "axle.ratio", 4.1, "2026-06-01"), measured("right", "axle.ratio", 3.9, "2026-05-01", "wrong")])
    assert source(found, "axle", "ratio") == "right"


@pytest.mark.parametrize(("first", "second"), [("fitted", "received"), ("received", "ordered"), ("ordered", "wanted")])
def test_status_ranks_parts(first: str, second: str) -> None:
    found = facts(parts=[part("a", "axle", second, fitted_on="2026-06-01", ratio=3.55), part("b", "axle", first, ratio=4.1)])
    assert source(found, "axle", "ratio") == "b"


def test_removed_parts_never_count() -> None:
    found = facts(parts=[part("a", "axle", "removed", ratio=3.55)])
    assert source(found, "axle", "ratio") is None
    assert not found.on_car("axle")


def test_a_corner_reads_its_own_then_its_axle() -> None:
    found = facts(measurements=[measured("axle", "tire.pressure@front", "32 psi"), measured("corner", "tire.pressure@front_left", "30 psi")])
    assert source(found, "tire", "pressure", "front_left") == "corner"
    assert source(found, "tire", "pressure", "front_right") == "axle"
    assert source(found, "tire", "pressure", "rear_left") is None


def test_a_part_without_position_feeds_every_position_without_its_own() -> None:
    found = facts(parts=[part("four", "tire", size="P235/60R15"), part("spare", "tire", position="rear_left", size="P215/60R15")])
    assert source(found, "tire", "size", "front_left") == "four"
    assert source(found, "tire", "size", "rear_left") == "spare"
    assert found.on_car("tire", "front_right")


def test_a_labelled_position_is_literal() -> None:
    found = facts(parts=[part("helper", "spring", position="front:helper", rate="50 lb/in")])
    assert source(found, "spring", "rate", "front:helper") == "helper"
    assert source(found, "spring", "rate", "front") is None


def test_labels_compare_without_case_and_blanks() -> None:
    found = facts(measurements=[measured("m", "circuit.current@ Cooling Fan ", "22 A")])
    assert found.labels("circuit") == ["cooling fan"]


def test_absent_is_not_on_the_car() -> None:
    found = facts(parts=[part("b", "anti_roll_bar", position="front", diameter="1 in")], absent=["anti_roll_bar@rear", "brake_booster"])
    assert found.on_car("anti_roll_bar", "front")
    assert found.is_absent("anti_roll_bar", "rear")
    assert found.is_absent("brake_booster")


def test_fasteners_give_facts_at_their_joint() -> None:
    found = facts(fasteners=[{"id": "f", "joint": "Crank bolts", "thread": "M11x1.5", "class": "10.9"}])
    assert found.value("fastener.class@crank bolts") == "10.9"


def test_the_header_gives_facts() -> None:
    found = facts()
    assert found.value("build.use") == "street"
    assert found.value("car.year") == 1962


def test_changes_replace_and_remove() -> None:
    before = facts(parts=[part("p", "axle", ratio=3.55)], specs=[{"id": "s", "fact": "car.mass", "value": "3000 lb"}])
    after = before.with_changes({"axle.ratio": 4.1, "car.mass": None, "build.use": "track"})
    assert after.value("axle.ratio") == 4.1
    assert after.value("car.mass") is None
    assert after.value("build.use") == "track"
    assert before.value("axle.ratio") == 3.55
    assert before.value("build.use") == "street"
    emptied = facts_with(before.document, {"parts": []})
    assert emptied.value("axle.ratio") is None


def test_a_one_piece_driveshaft_is_no_front_shaft() -> None:
    found = facts(parts=[part("d", "driveshaft", length="50 in")])
    assert source(found, "driveshaft", "length") == "d"
    assert source(found, "driveshaft", "length", "front") is None
    assert not found.on_car("driveshaft", "front axle")
