"""A car's history over HTTP."""

from __future__ import annotations

import hashlib
import json

from flask.testing import FlaskClient

from service.storage import chain

CAR = {"id": "c", "make": "Oskervik", "model": "Langtur", "year": 1966}


def lived(keeping: FlaskClient) -> None:
    """Put a car through a build, a part, a change and a retraction."""
    keeping.post("/v1/cars", json=CAR)
    keeping.post("/v1/cars/c/builds", json={"id": "b", "title": "Cooling and driveline", "use": "touring"})
    part = keeping.post("/v1/builds/b/parts", json={"id": "p", "kind": "battery", "maker": "Volthus", "part_number": "VH-70"})
    keeping.patch("/v1/builds/b/parts/p", json={"notes": "on the left"}, headers={"If-Match": part.headers["ETag"]})
    keeping.post("/v1/builds/b/drives", json={"id": "d"})
    keeping.delete("/v1/builds/b/drives/d?reason=wrong%20car", headers={"If-Match": "*"})


def test_builds_and_events_come_oldest_first_with_their_hashes(keeping: FlaskClient) -> None:
    lived(keeping)
    found = keeping.get("/v1/cars/c/history").json
    assert [(item["event"], item["action"], item["what"], item["title"]) for item in found] == [
        (1, "created", "cars/c", "1966 Oskervik Langtur"), (2, "created", "builds/b", "Cooling and driveline"),
        (3, "created", "builds/b/parts/p", "battery: Volthus VH-70"), (4, "changed", "builds/b/parts/p", "battery: Volthus VH-70"),
        (5, "created", "builds/b/drives/d", "d"), (6, "retracted", "builds/b/drives/d", "d")]
    assert found[5]["reason"] == "wrong car"
    events = [chain.read(item) for item in found]
    assert list(chain.breaks(events, [item["hash"] for item in found], head=found[-1]["hash"])) == []


def test_the_lines_are_verified_by_nothing_but_their_sums(keeping: FlaskClient) -> None:
    lived(keeping)
    answer = keeping.get("/v1/cars/c/history?format=lines")
    assert answer.content_type == "application/jsonl"
    lines = answer.data.splitlines(keepends=True)
    assert [json.loads(line)["previous"] for line in lines[1:]] == [hashlib.sha256(line).hexdigest() for line in lines[:-1]]
    record = keeping.get("/v1/builds/b/parts/p").data
    assert json.loads(lines[3])["record"] == hashlib.sha256(record + b"\n").hexdigest()


def test_history_comes_in_pages(keeping: FlaskClient) -> None:
    lived(keeping)
    whole = keeping.get("/v1/cars/c/history").json
    first = keeping.get("/v1/cars/c/history?limit=4")
    rest = keeping.get(first.headers["Link"].split(">")[0][1:])
    assert [*first.json, *rest.json] == whole
    assert "Link" not in rest.headers


def test_what_is_no_history_is_refused(keeping: FlaskClient) -> None:
    assert keeping.get("/v1/cars/none/history").status_code == 404
    lived(keeping)
    assert keeping.get("/v1/cars/c/history?format=xml").status_code == 400
    assert keeping.get("/v1/cars/c/history?cursor=x").status_code == 400
