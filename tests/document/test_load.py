"""Loading build documents: every error at once, at its pointer, with what would be right."""

from __future__ import annotations

import json
import sys
from typing import Any

import pytest

from service.document import DocumentError, load, parse
from service.document.load import MAX_PROBLEMS

GOOD: dict[str, Any] = {
    "format": "as-fitted/build/1",
    "car": {"make": "Example", "model": "One", "year": 1962},
    "build": {"use": "street"},
}


def problems(document: Any) -> dict[str, str]:
    with pytest.raises(DocumentError) as caught:
        load(document)
    return {item.pointer: item.detail for item in caught.value.problems}


def with_list(name: str, *records: Any) -> dict[str, Any]:
    return {**GOOD, name: list(records)}


def test_the_least_document() -> None:
    assert load(GOOD)["build"] == {"use": "street", "units": "us"}


def test_null_lists_are_empty() -> None:
    assert load({**GOOD, "parts": None, "absent": None})["car"]["year"] == 1962


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("{", "not JSON"),
        ('{"a": NaN}', "NaN"),
        ('{"a": 1, "a": 2}', "stands twice"),
        ("[" * 5000 + "]" * 5000, "nested deeper"),
        ('{"a": ' * 60 + "1" + "}" * 60, "nested deeper"),
        (b"\xff\xfe{}", "UTF-8"),
    ('{"a": "\\ud800"}', "half a character"),
    ('{"\\uDFFF": 1}', "half a character"),
    ],
)
def test_unreadable_text(text: str | bytes, says: str) -> None:
    with pytest.raises(DocumentError) as caught:
        parse(text)
    assert caught.value.unreadable
    assert says in caught.value.problems[0].detail


@pytest.mark.parametrize(
    ("text", "place", "says"),
    [
        ('{"length": 58 in"}', "line 1, column 15", 'for example "58 in"'),
        ('{"use":\n street}', "line 2, column 2", "double quotes"),
        ('{"length": "58 in}', "column 12", "no closing quote"),
        ('{"a": [1, 2, ]}', "column 12", "take it out"),
        ('{"a": 1,\n}', "line 1, column 8", "take it out"),
        ('{"a": \u201c58 in\u201d}', "column 7", "straight and double"),
        ("{'a': 1}", "column 2", "straight and double"),
        ('{"a": "1" "b": 2}', "column 11", "a comma is missing"),
        ('{"a" "1"}', "column 6", "a colon is wanted"),
        ('{"a": 1 // one\n}', "column 9", "no comments"),
        ('{"a": [1', "column 9", "is missing"),
        ('{"a": 1}}', "column 9", "ends before this"),
        (" ", "line 1", "nothing in it"),
    ],
)
def test_slips_of_the_pen_in_json(text: str, place: str, says: str) -> None:
    with pytest.raises(DocumentError) as caught:
        parse(text)
    assert place in caught.value.problems[0].detail
    assert says in caught.value.problems[0].detail


def test_ten_megabytes_of_nesting_end_quickly() -> None:
    with pytest.raises(DocumentError, match="nested deeper"):
        parse("[" * 10_000_000)


@pytest.mark.parametrize(
    ("document", "pointer", "says"),
    [
        ([], "", "a build document is a JSON object"),
        ({**GOOD, "format": "other"}, "/format", "as-fitted/build/1"),
        ({**GOOD, "car": {**GOOD["car"], "year": "sixty-two"}}, "/car/year", "whole number"),
        ({**GOOD, "car": {**GOOD["car"], "year": "1962"}}, "/car/year", "without quotes"),
        ({**GOOD, "car": {**GOOD["car"], "year": float("inf")}}, "/car/year", "whole number"),
    ({**GOOD, "car": {**GOOD["car"], "year": 1884}}, "/car/year", "1885 to 2100"),
    ({**GOOD, "car": {**GOOD["car"], "make": "  "}}, "/car/make", "must not be empty"),
    ({**GOOD, "build": {"use": "racing"}}, "/build/use", "street"),
    ({**GOOD, "build": {"use": "street", "opened_on": "2026-W10-1"}}, "/build/opened_on", "2026-03-02"),
    ({**GOOD, "build": {"use": "street", "opened_on": "20260302T1030"}}, "/build/opened_on", "2026-03-02"),
    (with_list("measurements", {"id": "a", "fact": "car.mass", "value": "3000 lb", "supersedes": "a"}), "/measurements/0/supersedes", "itself"),
        ({**GOOD, "build": {"use": "street", "promised_on": "soon"}}, "/build/promised_on", "2026-03-02"),
        ({**GOOD, "measurments": []}, "/measurments", "did you mean measurements"),
        (with_list("parts", {"id": "a", "kind": "transmision"}), "/parts/0/kind", "did you mean transmission"),
        (with_list("parts", {"id": "a", "kind": "driveline"}), "/parts/0/kind", "area of the car"),
        (with_list("parts", {"id": "a", "kind": "other"}), "/parts/0/system", "names its system"),
        (with_list("parts", {"id": "a", "kind": "engine", "specs": {"boar": "4 in"}}), "/parts/0/specs/boar", "did you mean bore"),
        (with_list("parts", {"id": "a", "kind": "engine", "specs": {"bore": "4 lb"}}), "/parts/0/specs/bore", "use in, mm"),
        (with_list("parts", {"id": "a", "kind": "engine", "specs": {"bore": "4"}}), "/parts/0/specs/bore", "in, mm"),
        (with_list("parts", {"id": "a", "kind": "engine", "specs": {"bore": "4 m"}}), "/parts/0/specs/bore", "physically possible"),
        (with_list("parts", {"id": "a", "kind": "driveshaft", "specs": {"length": "20 ft"}}), "/parts/0/specs/length", "(0.164 ft to 13.12 ft)"),
        (with_list("parts", {"id": "a", "kind": "fuel_line"}), "/parts/0/position", "which fuel_line is it?"),
        (with_list("measurements", {"id": "a", "fact": "alignment.toe@front", "value": "1/8 in"}), "/measurements/0/value", "record it as alignment.toe_length"),
        ({key: value for key, value in GOOD.items() if key != "format"}, "/format", "as-fitted/build/1"),
        (with_list("parts", {"id": "a", "kind": "wheel", "position": "left"}), "/parts/0/position", "front_left"),
        (with_list("measurements", {"id": "a", "fact": "wheel.ofset@front_left", "value": "1 in"}), "/measurements/0/fact", "did you mean offset"),
        (with_list("measurements", {"id": "a", "fact": "wheel.offset", "value": "1 in"}), "/measurements/0/fact", "needs a position"),
        (with_list("measurements", {"id": "a", "fact": "engine", "value": "1 in"}), "/measurements/0/fact", "subject.field"),
        (with_list("measurements", {"id": "a", "fact": "tire.size@front", "value": "wide"}), "/measurements/0/value", "P235/60R15"),
        (with_list("measurements", {"id": "a", "fact": "hub.stud_thread@front", "value": "M99q"}), "/measurements/0/value", "M10x1.5"),
        (with_list("measurements", {"id": "a", "fact": "car.mass", "value": "1e999 lb"}), "/measurements/0/value", ""),
        (with_list("measurements", {"id": "a", "fact": "car.mass"}), "/measurements/0/value", "required"),
        (
            with_list("measurements", {"id": "a", "fact": "car.mass", "value": "3000 lb", "supersedes": "b"}),
            "/measurements/0/supersedes",
            "no measurements entry",
        ),
        (with_list("fasteners", {"id": "a", "joint": "x", "thread": "big"}), "/fasteners/0/thread", "M10x1.5"),
        (with_list("fasteners", {"id": "a", "joint": "x", "specified_torque": "60 N"}), "/fasteners/0/specified_torque", "N·m"),
        (with_list("fasteners", {"id": "a", "joint": "x", "recheck_after": "often"}), "/fasteners/0/recheck_after", ""),
        (with_list("tasks", {"id": "a", "title": "x", "estimate": "3"}), "/tasks/0/estimate", "h"),
        (with_list("drives", {"id": "a", "distance": "-3 mi"}), "/drives/0/distance", "negative"),
        ({**GOOD, "absent": ["brake_boster"]}, "/absent/0", "did you mean brake_booster"),
        (with_list("parts", 7), "/parts/0", "an object"),
        ({**GOOD, "parts": {}}, "/parts", "a list"),
        (with_list("photos", {"id": "p", "file": "photos/x.jpg", "of": ["nothing"]}), "/photos/0/of/0", "nothing"),
    ],
)
def test_one_error(document: Any, pointer: str, says: str) -> None:
    found = problems(document)
    assert list(found) == [pointer]
    assert says in found[pointer]


def test_all_errors_in_one_answer() -> None:
    found = problems(
        {
            **GOOD,
            "car": {"make": "Example", "year": "old"},
            "parts": [{"id": "a", "kind": "enginee", "colour": "red"}, {"id": "a", "kind": "axle", "specs": {"ratio": "3.55 in", "raito": 3}}],
            "measurements": [{"id": "m", "fact": "car.mass", "value": "10 ft"}],
        }
    )
    assert set(found) == {
        "/car/model",
        "/car/year",
        "/parts/0/kind",
        "/parts/0/colour",
        "/parts/1/id",
        "/parts/1/specs/ratio",
        "/parts/1/specs/raito",
        "/measurements/0/value",
    }


def test_two_parts_in_one_place() -> None:
    parts = [{"id": "a", "kind": "spring", "position": "front"}, {"id": "b", "kind": "spring", "position": "Front "}]
    assert "front:helper" in problems(with_list("parts", *parts))["/parts/1/position"]
    load(with_list("parts", parts[0], {**parts[1], "status": "removed"}))
    load(with_list("parts", parts[0], {**parts[1], "position": "front:helper"}))


def test_two_fasteners_at_one_joint() -> None:
    assert "revision" in problems(with_list("fasteners", {"id": "a", "joint": "Crank bolts"}, {"id": "b", "joint": " crank bolts"}))["/fasteners/1/joint"]


def test_a_record_without_id_is_given_one() -> None:
    assert load(with_list("specs", {"fact": "car.mass", "value": "3000 lb"}))["specs"][0]["id"] == "specs-1"


def test_what_was_typed_is_kept() -> None:
    document = with_list(
        "parts",
        {"id": "a", "kind": "anti_roll_bar", "position": "front", "specs": {"diameter": "1 1/4 in", "wall": {"value": 4, "unit": "mm", "tolerance": "0.2 mm"}}},
    )
    assert load(json.loads(json.dumps(document)))["parts"][0]["specs"] == document["parts"][0]["specs"]


def test_the_document_of_the_format_with_every_key() -> None:
    """Every list and key that the format names, filled in, is taken as it stands."""
    document = {
        "format": "as-fitted/build/1",
        "car": {"id": "c", "make": "Example", "model": "One", "year": 1961, "body": "pickup", "serial": "17", "vin": None, "color": "green",
                "owner": {"name": "An owner", "contact": "by the gate"}},
        "build": {"id": "b", "title": "A tow rig", "use": "street", "units": "us", "opened_on": "2026-03-02", "promised_on": "2026-06-12",
                  "delivered_on": None, "notes": "none"},
        "parts": [{"id": "p", "kind": "anti_roll_bar", "position": "front", "name": "bar", "maker": "the shop", "system": None, "part_number": "1", "serial": "2",
                   "supplier": "the shop", "quantity": 1, "status": "fitted",
                   "specs": {"diameter": "1 1/4 in", "wall": {"value": 4, "unit": "mm", "tolerance": "0.2 mm"}},
                   "fitted_on": "2026-04-01", "fitted_by": "A. Fitter", "replaces": "the thin one", "order_as": "a bar", "notes": "", "photos": ["h"]}],
        "specs": [{"id": "s", "fact": "car.mass", "value": "3900 lb", "basis": "estimate"}],
        "measurements": [{"id": "m", "fact": "driveline.shaft_slope", "value": "2.4 deg", "tolerance": "0.1 deg", "instrument": "digital level",
                          "condition": "at ride height", "taken_at": "2026-05-01T10:00:00-05:00", "taken_by": "A. Fitter", "supersedes": None, "notes": "", "photos": []}],
        "fixes": [{"id": "f", "system": "driveline", "title": "shake", "found_at": "2026-05-01", "problem": "a shake", "cause": "an angle", "remedy": "a shim",
                   "status": "open", "safety": True, "resolved_at": None, "parts_added": ["p"], "before": ["m"], "after": ["m"], "next_mechanic": "look", "photos": []}],
        "fasteners": [{"id": "j", "joint": "flange", "system": "driveline", "thread": "M10x1.5", "class": "10.9", "count": 6, "length": "35 mm", "lubricant": "dry",
                       "specified_torque": "60 N*m", "applied_torque": "60 N*m", "extra_angle": None, "tool": "wrench", "by": "A. Fitter", "at": "2026-05-01",
                       "recheck_after": "500 mi", "rechecked_at": None}],
        "tasks": [{"id": "t", "title": "angle", "system": "driveline", "after": [], "needs_parts": ["p"], "estimate": "3 h", "done_at": None, "by": "A. Fitter"}],
        "drives": [{"id": "d", "at": "2026-05-02", "distance": "12 mi", "by": "A. Fitter", "observations": "none"}],
        "signoffs": [{"id": "g", "item": "brakes", "by": "A. Fitter", "role": "builder", "at": "2026-05-03", "statement": "they hold"}],
        "photos": [{"id": "h", "file": "photos/a.jpg", "sha256": "0", "caption": "the bar", "taken_at": "2026-04-01", "of": ["p"]}],
        "absent": ["brake_booster", "anti_roll_bar@rear"],
        "papers": [{"id": "q", "file": "papers/a.pdf", "sha256": "0", "title": "a run", "kind": "power run", "edition": "owner", "of": ["f"]}],
    }
    loaded = load(document)
    assert loaded["fasteners"][0]["class"] == "10.9"
    assert {key: loaded[key] for key in ("specs", "measurements", "absent")} == {key: document[key] for key in ("specs", "measurements", "absent")}


def test_a_character_spelled_as_two_escapes_is_kept() -> None:
    assert parse('{"a": "\\ud83d\\udd27"}') == {"a": "\U0001f527"}


def test_no_object_has_more_keys_than_any_needs() -> None:
    with pytest.raises(DocumentError, match="5001 keys"):
        parse(json.dumps({f"k{number}": 0 for number in range(5001)}))
    with pytest.raises(DocumentError, match="'k7' stands twice"):
        parse("{" + ",".join(f'"k{number}":0' for number in range(4999)) + ',"k7":1}')


def test_advice_is_made_for_as_many_errors_as_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten thousand strange keys cost no more than five hundred: advice on each costs far more than sending it."""
    asked: list[str] = []
    loading = sys.modules["service.document.load"]
    monkeypatch.setattr(loading, "nearest", lambda word, _known: str(asked.append(word) or ""))
    strange = {f"k{number}": 0 for number in range(100)}
    with pytest.raises(DocumentError) as told:
        load({**GOOD, "drives": [strange] * 100})
    assert len(told.value.problems) == len(asked) == MAX_PROBLEMS
