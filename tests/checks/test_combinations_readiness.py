"""What a shop really has on the last days of a build: what is found about signatures, bolts, dates and records, and how it is said."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from service.checks.answer import answer
from service.checks.readiness.items import ITEMS
from service.checks.readiness.safety_items import CORE
from service.document import load

BUILDS = Path(__file__).parents[2] / "fixtures" / "builds"
HEAD = {"format": "as-fitted/build/1", "car": {"make": "Example", "model": "One", "year": 1962, "serial": "1 204 388"}}
SIGNED = [{"item": item, "by": "Ilse", "role": "mechanic", "at": "2026-06-10"} for item in ITEMS]
LEFT_ALONE = [{"item": f"accept:{check}", "by": "Ilse", "role": "mechanic", "at": "2026-06-10", "statement": "not touched in this job"} for check in CORE]
DRIVEN = [{"at": "2026-06-11", "distance": "14 mi"}]
STEPS = [{"id": "exhaust", "title": "exhaust hung", "estimate": "6 h"}, {"id": "wiring", "title": "trailer wiring", "estimate": "5 h"},
         {"id": "start", "title": "first start", "estimate": "2 h", "after": ["exhaust", "wiring"]},
         {"id": "road", "title": "road test", "estimate": "3 h", "after": ["start"]}]
FRIDAY = {"use": "street", "promised_on": "2026-06-12"}
YOKE = {"joint": "Pinion yoke", "system": "driveline", "thread": "7/16-14", "class": "8", "specified_torque": "60 lb-ft", "applied_torque": "60 lb-ft",
        "tool": "beam wrench", "by": "Joren", "at": "2026-05-20", "recheck_after": "500 mi"}


def whole(build: dict[str, Any] | None = None, car: dict[str, Any] | None = None, **lists: Any) -> dict[str, Any]:
    document = {**HEAD, "build": {"use": "street", **(build or {})}, "signoffs": SIGNED + LEFT_ALONE, "drives": DRIVEN, **lists}
    return answer(load({**document, "car": {**HEAD["car"], **(car or {})}}))  # type: ignore[dict-item]


def finding(found: dict[str, Any], check: str, position: str | None = None) -> dict[str, Any]:
    return next(item for item in found["results"] if (item["check"], item["position"]) == (check, position))


@pytest.mark.parametrize(("as_of", "crew", "verdict", "says"), [
    ("2026-06-08", 1, "pass", "2.9 days of work, 5 left; the amount of work decides, not the order of the steps."),
    ("2026-06-10", 1, "caution", "2.9 days of work, 3 left"),
    ("2026-06-11", 1, "fail", "2.9 days of work, 2 left; the amount of work decides"),
    ("2026-06-11", 2, "caution", "2.0 days of work, 2 left; the chain that decides is exhaust hung, then first start, then road test; more hands do not shorten it."),
    ("2026-06-12", 3, "fail", "2.0 days of work, 1 left; the chain that decides is exhaust hung, then first start, then road test; more hands do not shorten it."),
])
def test_a_car_that_must_leave_on_friday(as_of: str, crew: int, verdict: str, says: str) -> None:
    specs = [{"fact": "schedule.as_of", "value": as_of}, {"fact": "schedule.crew", "value": crew}]
    found = finding(whole(FRIDAY, tasks=STEPS, specs=specs), "schedule.critical_path")
    assert found["verdict"] == verdict
    assert says in found["summary"]


def test_a_second_pair_of_hands_is_offered_where_it_helps() -> None:
    """16 h of work alone, 11 h in a chain: two people need 2 days of 5.6 h and 85 % of 3 are 2.55."""
    specs = [{"fact": "schedule.as_of", "value": "2026-06-10"}]
    remedies = finding(whole(FRIDAY, tasks=STEPS, specs=specs), "schedule.critical_path")["remedies"]
    assert {"fact": "schedule.crew", "at_least": "2", "note": "no help when the longest chain decides"} in remedies


def test_friday_with_a_muffler_still_on_order() -> None:
    steps = [{**STEPS[0], "needs_parts": ["muffler"]}, *STEPS[1:]]
    parts = [{"id": "muffler", "kind": "muffler", "name": "Muffler, oval", "status": "ordered"}]
    found = whole(FRIDAY, tasks=steps, parts=parts, specs=[{"fact": "schedule.as_of", "value": "2026-06-11"}, {"fact": "schedule.crew", "value": 2}])
    assert finding(found, "readiness.parts")["summary"] == "1 of 2 steps that come next waits for parts: Muffler, oval."
    at_risk = finding(found, "schedule.at_risk")
    assert at_risk["verdict"] == "caution"
    assert at_risk["summary"] == "Watch exhaust hung, first start, road test: no more than 0.2 h to spare."


@pytest.mark.parametrize(("driven", "rechecked", "verdict", "ready"), [
    ("380 mi", None, "pass", True), ("430 mi", None, "caution", True), ("520 mi", None, "fail", False), ("520 mi", "2026-06-12", "pass", True),
])
def test_a_fastener_not_rechecked(driven: str, rechecked: str | None, verdict: str, ready: bool) -> None:
    fasteners = [{**YOKE, **({"rechecked_at": rechecked} if rechecked else {})}]
    found = whole(fasteners=fasteners, drives=[{"at": "2026-06-11", "distance": driven}])
    assert finding(found, "fasteners.recheck_due", "pinion yoke")["verdict"] == verdict
    assert found["ready"]["for_road"] is ready
    reasons = [] if ready else ["failed: Which bolts must be looked at again (pinion yoke)"]
    assert found["ready"]["because"] == reasons


def test_an_accepted_finding_is_no_reason_and_stays_unknown() -> None:
    facts = [{"fact": "circuit.current@fuel pump", "value": "9 A"}, {"fact": "circuit.wire_size@fuel pump", "value": "12 AWG"}]
    before = whole(measurements=facts)
    assert before["ready"]["because"] == ["not known: Does the fuse protect the wire and carry the load (fuel pump)"]
    accepted = {"item": "accept:electrical.fuse@Fuel Pump", "by": "Ilse", "role": "lead", "at": "2026-06-11", "statement": "Link wire of the maker, no rating on it."}
    after = whole(measurements=facts, signoffs=[*SIGNED, *LEFT_ALONE, accepted])
    assert after["ready"] == {"for_road": True, "because": []}
    assert finding(after, "electrical.fuse", "fuel pump")["verdict"] == "unknown"
    assert after["counts"] == {**before["counts"], "fail": before["counts"]["fail"] - 1, "pass": before["counts"]["pass"] + 1}
    said = finding(after, "readiness.safety_items")["summary"]
    assert "Ilse accepted “Does the fuse protect the wire and carry the load (fuel pump)”: Link wire of the maker, no rating on it." in said


def test_what_is_accepted_and_then_fails_is_a_reason_again() -> None:
    facts = [{"fact": "circuit.current@fuel pump", "value": "9 A"}, {"fact": "circuit.wire_size@fuel pump", "value": "12 AWG"},
             {"fact": "circuit.insulation_class@fuel pump", "value": "105 degC"}, {"fact": "circuit.temperature@fuel pump", "value": "40 degC"},
             {"fact": "circuit.fuse_rating@fuel pump", "value": "60 A"}]
    accepted = {"item": "accept:electrical.fuse@fuel pump", "by": "Ilse", "statement": "No rating on it."}
    found = whole(measurements=facts, signoffs=[*SIGNED, *LEFT_ALONE, accepted])
    assert found["ready"]["because"] == ["failed: Does the fuse protect the wire and carry the load (fuel pump)"]
    assert "it fails, and a fail cannot be accepted" in finding(found, "readiness.safety_items")["summary"]


def test_a_missing_role_signature() -> None:
    signoffs = [{**entry, "role": " "} if entry["item"] == "lights" else entry for entry in SIGNED]
    found = whole(signoffs=signoffs + LEFT_ALONE)
    assert found["ready"] == {"for_road": False, "because": ["lights: not signed as it must be, without role"]}


@pytest.mark.parametrize(("car", "verdict", "says"), [
    ({"year": 1962, "serial": None}, "caution", "No number is recorded: photograph the plate."),
    ({"year": 1962, "serial": " "}, "caution", "No number is recorded: photograph the plate."),
    ({"year": 1980, "vin": "1G4AH59H45G118341"}, "pass", "numbers of this kind carry no check digit"),
    ({"year": 1984, "serial": None}, "unknown", "Still wanted: vehicle identification number (car)."),
    ({"year": 1984, "vin": "SZ-4410", "serial": None}, "caution", "6 characters: a frame number or a state-assigned number? Say which."),
])
def test_a_car_without_a_serial(car: dict[str, Any], verdict: str, says: str) -> None:
    found = finding(whole(car=car), "identity.vin")
    assert found["verdict"] == verdict
    assert says in found["summary"]


@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_year_reads_as_a_year(units: str) -> None:
    found = finding(whole({"units": units}, {"year": 2005, "vin": "1G4AH59H45G118341"}), "identity.vin")
    assert found["values"]["year_from_code"] | {"low": 0, "high": 0} == {
        "title": "year by its code", "value": 2005, "unit": "1", "printed": "2005", "si": 2005, "low": 0, "high": 0}


def test_a_brake_job_after_the_signature() -> None:
    """The last hose fitted the evening before delivery: brakes and fluid levels are to be signed again, nothing else is."""
    parts = [{"kind": "brake_hose", "name": "Front hose, left", "status": "fitted", "fitted_on": "2026-06-11"}]
    because = whole(parts=parts)["ready"]["because"]
    assert because == ["brakes: signed, but afterwards “Front hose, left” was fitted; sign again",
                       "fluid levels: signed, but afterwards “Front hose, left” was fitted; sign again"]


def test_wheels_off_again_for_the_recheck() -> None:
    """Retightened nuts are work on the wheels: who signed before signs again."""
    nuts = {"joint": "wheel nuts", "system": "wheels", "thread": "1/2-20", "class": "5", "specified_torque": "80 lb-ft", "applied_torque": "80 lb-ft",
            "tool": "click wrench", "by": "Joren", "at": "2026-06-11"}
    because = whole(fasteners=[nuts])["ready"]["because"]
    assert [reason.partition(":")[0] for reason in because] == ["tires and wheels", "wheel nut torque"]


def test_the_plain_run_judges_as_the_full_one() -> None:
    """A bolt off the shelf blocks the next step whether or not drawings are made."""
    document = load({**HEAD, "build": {"use": "street"},
                     "specs": [{"fact": f"joint.{name}@pump", "value": value} for name, value in
                               (("grip", "45 mm"), ("washers", "2 mm"), ("engagement", "17 mm"), ("hole_depth", "21.5 mm"))],
                     "fasteners": [{"joint": "pump", "system": "engine", "thread": "M8"}],
                     "tasks": [{"id": "a", "title": "pump", "system": "engine", "needs_parts": ["p"]}],
                     "parts": [{"id": "p", "kind": "water_pump", "status": "received"}]})
    plain, full = ({(item["check"], item["position"]): item["verdict"] for item in answer(document, full=full)["results"]} for full in (False, True))
    assert plain == full
    assert full["readiness.parts", None] == "fail"


def test_the_holes_are_named_by_check_and_place() -> None:
    facts = [{"fact": f"tire.date_code@{corner}", "value": "1024"} for corner in ("front_left", "front_right")]
    table = finding(whole(specs=facts), "records.completeness")["table"]
    assert table["rows"][0] == ["safety checks that rest on no measurement", "Age from the date code (front left, front right)"]


def test_a_delivered_truck_has_few_holes() -> None:
    """Nine tenths of what is counted in the demo's delivered build is recorded: its torques and checked specs are measurements."""
    document = load(json.loads((BUILDS / "tarnock-stookman-tow-rig.json").read_text(encoding="utf-8")))
    assert finding(answer(document), "records.completeness")["values"]["completeness"]["si"] > 0.9
