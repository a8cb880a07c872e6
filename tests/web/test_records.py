"""The records of a build over HTTP: judged as in a document, changed only by who knows the current state, never forgotten."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.document import DocumentError, load

MEASUREMENT = {"fact": "driveline.shaft_slope", "value": "2.4 deg", "tolerance": "0.1 deg", "instrument": "digital level"}
#: One record of each list, as a shop would send it.
RECORDS: dict[str, dict[str, Any]] = {
    "parts": {"kind": "driveshaft", "name": "Tube shaft", "specs": {"length": "52 3/4 in ± 0.1 in"}},
    "specs": {"fact": "car.mass", "value": "3900 lb", "basis": "estimate"},
    "measurements": MEASUREMENT,
    "fixes": {"title": "Shudder at 40 mph", "problem": "Shakes", "status": "open", "safety": True},
    "fasteners": {"joint": "rear U-joint straps", "thread": "M8x1.25", "class": "10.9", "count": 4},
    "tasks": {"title": "Hang the exhaust", "estimate": "3 h"},
    "drives": {"at": "2026-03-02", "distance": "12 mi", "observations": "quiet"},
    "signoffs": {"item": "brakes", "by": "Oona", "statement": "held on the ramp"},
}


@pytest.fixture
def build(keeping: FlaskClient) -> str:
    """The address of an empty build."""
    car = keeping.post("/v1/cars", json={"make": "Tarnock", "model": "Stookman", "year": 1957}).json["id"]
    return "/v1/builds/" + keeping.post(f"/v1/cars/{car}/builds", json={"use": "street"}).json["id"]


@pytest.mark.parametrize("name", RECORDS)
def test_a_record_comes_back_as_it_was_typed(keeping: FlaskClient, build: str, name: str) -> None:
    made = keeping.post(f"{build}/{name}", json=RECORDS[name])
    assert made.status_code == 201
    assert {key: value for key, value in made.json.items() if key != "id"} == RECORDS[name]
    found = keeping.get(made.headers["Location"])
    assert (found.json, found.headers["ETag"]) == (made.json, made.headers["ETag"])
    assert keeping.get(f"{build}/{name}").json == [made.json]
    assert keeping.get(f"{build}/document").json[name] == [made.json]


def test_a_client_may_choose_the_id_and_send_again(keeping: FlaskClient, build: str) -> None:
    record = {"id": "0f6d4f7e-7d6c-4f8e-9c61-2f0e5f7a9f11", **MEASUREMENT}
    assert keeping.post(f"{build}/measurements", json=record).status_code == 201
    again = keeping.post(f"{build}/measurements", json=record)
    assert (again.status_code, again.json) == (200, record)
    assert keeping.post(f"{build}/measurements", json={**record, "value": "3 deg"}).status_code == 409
    assert keeping.post(f"{build}/specs", json={"id": record["id"], "fact": "car.mass", "value": "3900 lb"}).status_code == 409
    assert len(keeping.get(f"{build}/measurements").json) == 1


@pytest.mark.parametrize(("name", "record", "pointers"), [
    ("parts", {"kind": "driveshaft", "specs": {"lenght": "52 in", "wall": "3 kg"}, "colour": "x"}, {"/specs/lenght", "/specs/wall", "/colour"}),
    ("parts", {}, {"/kind"}),
    ("measurements", {"fact": "driveline.shaft_slop", "value": "2 deg"}, {"/fact"}),
    ("measurements", {**MEASUREMENT, "supersedes": "nothing", "photos": ["none"]}, {"/supersedes", "/photos/0"}),
    ("fasteners", {"joint": "a", "thread": "M10by1.5"}, {"/thread"}),
    ("tasks", {"title": "x", "estimate": "3 kg"}, {"/estimate"}),
    ("drives", {"distance": "-3 mi"}, {"/distance"}),
    ("measurements", {**MEASUREMENT, "id": "a/b"}, {"/id"}),
    ("measurements", {**MEASUREMENT, "id": 7}, {"/id"}),
    ("measurements", [], {""}),
    ("measurements", "2.4 deg", {""}),
])
def test_a_bad_record_is_refused_with_all_its_errors(keeping: FlaskClient, build: str, name: str, record: Any, pointers: set[str]) -> None:
    answer = keeping.post(f"{build}/{name}", json=record)
    assert (answer.status_code, answer.content_type) == (422, "application/problem+json")
    assert {item["pointer"] for item in answer.json["errors"]} == pointers
    assert keeping.get(f"{build}/{name}").json == []


@pytest.mark.parametrize("name", RECORDS)
def test_a_record_is_judged_as_in_a_document(keeping: FlaskClient, build: str, name: str) -> None:
    for key in [*RECORDS[name], "photos", "nothing"]:
        record = {"id": "x", **RECORDS[name], key: {"a": [1]}}
        document = {"format": "as-fitted/build/1", "car": {"make": "A", "model": "B", "year": 1960}, "build": {"use": "street"}, name: [record]}
        with pytest.raises(DocumentError) as told:
            load(document)
        answer = keeping.post(f"{build}/{name}", json=record)
        wanted = {(item.pointer.removeprefix(f"/{name}/0"), item.detail) for item in told.value.problems}
        assert {(item["pointer"], item["detail"]) for item in answer.json["errors"]} == wanted


def test_two_parts_in_one_place_are_refused(keeping: FlaskClient, build: str) -> None:
    keeping.post(f"{build}/parts", json={"id": "one", "kind": "driveshaft"})
    answer = keeping.post(f"{build}/parts", json={"kind": "driveshaft"})
    assert [item["pointer"] for item in answer.json["errors"]] == ["/position"]
    assert "/parts/one is the other" in answer.json["errors"][0]["detail"]
    assert keeping.post(f"{build}/parts", json={"kind": "driveshaft", "status": "removed"}).status_code == 201


def test_a_joint_is_tightened_again_by_a_revision(keeping: FlaskClient, build: str) -> None:
    keeping.post(f"{build}/fasteners", json={"joint": "Flange"})
    assert [item["pointer"] for item in keeping.post(f"{build}/fasteners", json={"joint": " flange "}).json["errors"]] == ["/joint"]


def test_a_patch_merges_and_needs_the_current_state(keeping: FlaskClient, build: str) -> None:
    made = keeping.post(f"{build}/parts", json={"id": "p", **RECORDS["parts"]})
    where, first = made.headers["Location"], made.headers["ETag"]
    patch = {"specs": {"wall": "0.083 in"}, "name": None}
    assert keeping.patch(where, json=patch).status_code == 428
    changed = keeping.patch(where, json=patch, headers={"If-Match": first}, content_type="application/merge-patch+json")
    assert (changed.status_code, changed.json) == (200, {"id": "p", "kind": "driveshaft", "specs": {"length": "52 3/4 in ± 0.1 in", "wall": "0.083 in"}})
    assert keeping.patch(where, json=patch, headers={"If-Match": first}).status_code == 412
    assert keeping.patch(where, json={"specs": {"wall": "3 kg"}}, headers={"If-Match": changed.headers["ETag"]}).status_code == 422
    assert keeping.patch(where, json={"id": "q"}, headers={"If-Match": changed.headers["ETag"]}).status_code == 422
    assert keeping.patch(where, json={"status": "removed"}, headers={"If-Match": "*"}).status_code == 200
    assert keeping.get(where).json["status"] == "removed"


def test_a_retraction_keeps_what_was_there(keeping: FlaskClient, build: str) -> None:
    made = keeping.post(f"{build}/measurements", json={"id": "m", **MEASUREMENT})
    where = made.headers["Location"]
    assert keeping.delete(where).status_code == 428
    assert keeping.delete(f"{where}?reason=wrong+car", headers={"If-Match": made.headers["ETag"]}).status_code == 204
    assert keeping.get(where).status_code == 410
    assert keeping.delete(where, headers={"If-Match": "*"}).status_code == 410
    assert keeping.get(f"{build}/measurements").json == []
    assert keeping.get(f"{build}/document").json["measurements"] == []
    found = keeping.get(f"{where}/revisions").json
    assert [(item["revision"], item["action"], item["reason"]) for item in found] == [(1, "created", None), (2, "retracted", "wrong car")]
    assert found[1]["record"] == made.json
    assert keeping.post(f"{build}/measurements", json={"id": "m", **MEASUREMENT}).status_code == 409


def test_what_others_name_is_not_retracted(keeping: FlaskClient, build: str) -> None:
    made = keeping.post(f"{build}/measurements", json={"id": "before", **MEASUREMENT})
    keeping.post(f"{build}/fixes", json={"id": "f", "title": "Shims", "before": ["before"]})
    answer = keeping.delete(made.headers["Location"], headers={"If-Match": "*"})
    assert answer.status_code == 409
    assert "fixes/f" in answer.json["detail"]


@pytest.mark.parametrize("path", ["/parts/none", "/parts/none/revisions", "/nothing", "/nothing/x"])
def test_what_is_not_there_is_a_problem(keeping: FlaskClient, build: str, path: str) -> None:
    answer = keeping.get(build + path)
    assert (answer.status_code, answer.content_type) == (404, "application/problem+json")


def test_a_record_is_found_only_in_its_list_and_build(keeping: FlaskClient, build: str) -> None:
    keeping.post(f"{build}/measurements", json={"id": "m", **MEASUREMENT})
    assert keeping.get(f"{build}/parts/m").status_code == 404
    assert keeping.get("/v1/builds/none/measurements").status_code == 404
    assert keeping.post("/v1/builds/none/measurements", json=MEASUREMENT).status_code == 404


def test_a_retry_is_given_the_first_answer(keeping: FlaskClient, build: str) -> None:
    key = {"Idempotency-Key": "5d1c"}
    first = keeping.post(f"{build}/measurements", json=MEASUREMENT, headers=key)
    again = keeping.post(f"{build}/measurements", json=MEASUREMENT, headers=key)
    assert (again.status_code, again.json) == (201, first.json)
    assert all(again.headers[name] == first.headers[name] for name in ("Location", "ETag"))
    assert keeping.post(f"{build}/measurements", json={**MEASUREMENT, "value": "3 deg"}, headers=key).status_code == 422
    assert len(keeping.get(f"{build}/measurements").json) == 1
    wanted = {"If-Match": first.headers["ETag"], "Idempotency-Key": "9"}
    changed = [keeping.patch(first.headers["Location"], json={"value": "3 deg"}, headers=wanted) for _ in range(2)]
    assert [answer.status_code for answer in changed] == [200, 200]
    assert keeping.get(first.headers["Location"]).headers["ETag"] == changed[0].headers["ETag"]
    assert keeping.post(f"{build}/measurements", json=MEASUREMENT, headers={"Idempotency-Key": "x" * 256}).status_code == 400


def test_a_refused_request_may_be_mended_under_its_key(keeping: FlaskClient, build: str) -> None:
    key = {"Idempotency-Key": "5d1c"}
    assert keeping.post(f"{build}/measurements", json={"fact": "x"}, headers=key).status_code == 422
    assert keeping.post(f"{build}/measurements", json=MEASUREMENT, headers=key).status_code == 201


def test_pages_of_a_list(keeping: FlaskClient, build: str) -> None:
    ids = [keeping.post(f"{build}/drives", json={"observations": str(number)}).json["id"] for number in range(5)]
    seen, where = [], f"{build}/drives?limit=2"
    while where:
        answer = keeping.get(where)
        seen.extend(item["id"] for item in answer.json)
        link = answer.headers.get("Link")
        where = link[1:link.index(">")] if link else ""
        assert link is None or link.endswith('; rel="next"')
    assert seen == ids


@pytest.mark.parametrize("query", ["limit=0", "limit=x", "limit=1001", "limit=-1", "cursor=zz", "cursor=WzFd", "cursor=%00", "cursor=WzEsMl0"])
def test_bad_pages_are_refused(keeping: FlaskClient, build: str, query: str) -> None:
    assert keeping.get(f"{build}/drives?{query}").status_code == 400


def test_reads_are_conditional(keeping: FlaskClient, build: str) -> None:
    where = keeping.post(f"{build}/drives", json={}).headers["Location"]
    for path in (where, f"{build}/drives", f"{build}/document", f"{build}/checks", build):
        tag = keeping.get(path).headers["ETag"]
        assert keeping.get(path, headers={"If-None-Match": tag}).status_code == 304


@pytest.mark.parametrize("name", ["photos", "measurements", None])
@pytest.mark.parametrize("patch", [False, None, 7, "x", []])
def test_a_patch_that_is_no_object_is_told(keeping: FlaskClient, name: str | None, patch: Any) -> None:
    document = {"format": "as-fitted/build/1", "car": {"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957}, "build": {"id": "b", "use": "street"},
                "measurements": [{"id": "m", "fact": "car.mass", "value": "3900 lb"}], "photos": [{"id": "p", "file": "photos/p.jpg"}]}
    assert keeping.post("/v1/documents", json=document).status_code == 201
    where = {"photos": "/v1/builds/b/photos/p", "measurements": "/v1/builds/b/measurements/m", None: "/v1/cars/c"}[name]
    answer = keeping.patch(where, data=json.dumps(patch), content_type="application/merge-patch+json", headers={"If-Match": "*"})
    assert answer.status_code == 422
    assert "an object" in answer.get_json()["errors"][0]["detail"]
