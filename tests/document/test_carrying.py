"""A build that continues another: what comes along, as what, and what stays behind."""

from __future__ import annotations

from typing import Any

import pytest

from service.checks.answer import answer
from service.document import DocumentError, Facts, carrying, load
from tests.document.visits import FIRST, second


def test_what_is_on_the_car_comes_along_and_names_where_it_stood() -> None:
    found = carrying.records(load(FIRST))
    assert [part["id"] for part in found["parts"]] == ["tires", "shaft", "engine", "gearbox"], "what was not fitted stays behind"
    assert all(part["came_from"] == f"builds/first/parts/{part['id']}" for part in found["parts"])
    assert "photos" not in found["parts"][0]
    assert [entry["came_from"] for entry in found["fasteners"]] == ["builds/first/fasteners/flange"]
    assert [fix["id"] for fix in found["fixes"]] == ["leak"]
    assert {key: found["fixes"][0].get(key) for key in ("before", "parts_added", "came_from")} == {
        "before": None, "parts_added": ["shaft"], "came_from": "builds/first/fixes/leak"}


def test_a_reading_comes_along_as_what_it_was_then() -> None:
    specs = {spec["id"]: spec for spec in carrying.records(load(FIRST))["specs"]}
    assert specs["m-length"]["value"] == "57 7/8 in ± 1/16 in"
    assert specs["m-length"]["basis"] == "as fitted at “Made sound”, measured 2018-06-12, tape, at ride height"
    assert specs["m-length"]["at"] == "2018-06-12"
    assert specs["m-length"]["came_from"] == "builds/first/measurements/m-length"
    assert specs["s-mass"] == {"id": "s-mass", "fact": "car.mass", "value": "2,900 lb", "basis": "estimate", "came_from": "builds/first/specs/s-mass"}
    assert set(specs) == {"m-length", "m-pressure-2", "s-mass"}, "what no longer held stays behind"


def test_a_new_build_is_a_valid_document_with_the_same_facts() -> None:
    before, after = Facts(load(FIRST)), Facts(load(second()))
    own = {fact.address: fact.value for fact in before if fact.subject not in ("build", "fuel_pump")}
    assert {fact.address: fact.value for fact in after if fact.subject != "build"} == own, "all but what was never fitted"


def test_every_check_runs_on_it_and_says_what_was_not_measured_since() -> None:
    found = answer(load(second()))
    result = next(item for item in found["results"] if item["check"] == "driveline.critical_speed")
    assert result["verdict"] in ("pass", "caution", "fail")
    [taken] = [item for item in result["assumed"] if item.get("fact") == "driveshaft.length"]
    assert taken["why"] == "measured 2018-06-12 at an earlier visit; not measured since"


def test_a_new_reading_stands_before_it() -> None:
    found = answer(load(second(measurements=[{"fact": "driveshaft.length", "value": "57 3/4 in", "taken_at": "2026-10-06"}])))
    result = next(item for item in found["results"] if item["check"] == "driveline.critical_speed")
    assert [item for item in result["assumed"] if item.get("fact") == "driveshaft.length"] == []
    assert next(item for item in result["inputs"] if item["fact"] == "driveshaft.length")["value"] == "57 3/4 in"


@pytest.mark.parametrize(("fitted", "length"), [
    ([{"kind": "driveshaft", "specs": {"length": "60 in"}, "status": "fitted"}], 60),
    ([{"kind": "driveshaft", "specs": {"length": "60 in"}, "status": "ordered"}], 60),
    ([], None),
])
def test_it_goes_with_the_part_it_was_taken_of(fitted: list[dict[str, Any]], length: Any) -> None:
    document = second()
    for part in document["parts"]:
        if part["id"] == "shaft":
            part["status"] = "removed"
    document["parts"] += fitted
    assert Facts(load(document)).value("driveshaft.length") == (None if length is None else pytest.approx(length * 0.0254))


def test_a_part_that_waits_changes_nothing_while_the_old_one_is_in() -> None:
    document = second()
    document["parts"].append({"kind": "driveshaft", "specs": {"length": "60 in"}, "status": "ordered"})
    assert Facts(load(document)).value("driveshaft.length") == pytest.approx(57.875 * 0.0254)


def test_the_visit_is_told_of() -> None:
    [visit] = carrying.records(load(FIRST))["visits"]
    assert {key: visit[key] for key in ("build", "title", "use", "opened_on", "delivered_on", "distance", "fixes")} == {
        "build": "first", "title": "Made sound", "use": "touring", "opened_on": "2018-02-12", "delivered_on": "2018-06-20", "distance": "50 mi",
        "fixes": ["Hose rubbed through", "Radio hums"]}
    assert {"fact": "tire.pressure@front", "value": "26 psi", "at": "2018-06-01"} in visit["facts"], "replaced readings too"
    corners = [f"tire.date_code@{corner}" for corner in ("front_left", "front_right", "rear_left", "rear_right")]
    assert [item for item in visit["facts"] if item["value"] == "1018"] == [{"fact": corner, "value": "1018", "at": "2018-06-20"} for corner in corners]
    assert next(item for item in visit["facts"] if item["fact"] == "driveshaft.length")["at"] == "2018-06-12"


def test_a_third_visit_knows_both_before_and_where_each_record_first_stood() -> None:
    third = carrying.records(load(second()))
    assert [visit["build"] for visit in third["visits"]] == ["first", "second"]
    assert next(spec for spec in third["specs"] if spec["id"] == "m-length")["came_from"] == "builds/first/measurements/m-length"
    assert next(spec for spec in third["specs"] if spec["id"] == "m-length")["basis"].startswith("as fitted at “Made sound”")


def test_bad_readings_of_a_visit_are_told_where_they_stand() -> None:
    visit = {"facts": [{"fact": "tire.pressure@front", "value": "30 mm", "at": "2018-06-19"}, {"fact": "tire.presure", "value": "30 psi", "at": "2018-06-19"},
                       {"fact": "tire.pressure@rear", "value": "30 psi"}], "distance": "3 kg"}
    with pytest.raises(DocumentError) as caught:
        load({**FIRST, "visits": [visit]})
    assert {problem.pointer for problem in caught.value.problems} == {
        "/visits/0/facts/0/value", "/visits/0/facts/1/fact", "/visits/0/facts/2/at", "/visits/0/distance"}
