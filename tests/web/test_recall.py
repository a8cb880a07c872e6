"""Recalls: which cars carry a part, and who owns them; JSON and CSV."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from flask.testing import FlaskClient

PART = {"kind": "anti_roll_bar", "position": "front", "maker": "Halverstoke", "part_number": "HS-1350/G"}


@pytest.fixture
def fleet(keeping: FlaskClient) -> FlaskClient:
    """Five cars with one such part each."""
    for number, (serial, fitted_on) in enumerate([("UJ-98", "2026-01-10"), ("UJ-099", "2026-02-10"), ("UJ-100", "2026-03-10"), (None, "2026-03-11"), ("UJ-101", None)]):
        keeping.post("/v1/cars", json={"id": f"c{number}", "make": "Tarnock", "model": "Stookman", "year": 1950 + number, "serial": f"TS-{number}",
                                       "owner": {"name": f"Owner {number}", "contact": f"+1 555 010{number}"}})
        keeping.post(f"/v1/cars/c{number}/builds", json={"id": f"b{number}", "title": "Driveline", "use": "towing"})
        part = {"id": "joint", **PART, "serial": serial, "fitted_on": fitted_on}
        assert keeping.post(f"/v1/builds/b{number}/parts", json={key: value for key, value in part.items() if value}).status_code == 201
    keeping.post("/v1/builds/b0/parts", json={"id": "other", "kind": "anti_roll_bar", "position": "rear", "maker": "Halverstoke", "part_number": "HS-1350/GX"})
    return keeping


def cars(fleet: FlaskClient, **query: Any) -> list[str]:
    answer = fleet.get("/v1/recall", query_string=query)
    assert answer.status_code == 200, answer.json
    return sorted(item["car"]["id"] for item in answer.json)


@pytest.mark.parametrize(("query", "expected"), [
    ({"part_number": "HS-1350/G"}, ["c0", "c1", "c2", "c3", "c4"]),
    ({"part_number": "hs1350g", "maker": "halverstoke"}, ["c0", "c1", "c2", "c3", "c4"]),
    ({"maker": "Halverstoke"}, ["c0", "c0", "c1", "c2", "c3", "c4"]),
    ({"part_number": "HS-1350/G", "maker": "Dorrenby"}, []),
    ({"part_number": "HS-1350"}, []),
    ({"part_number": "HS-1350/G", "serial_from": "UJ-99", "serial_to": "UJ-100"}, ["c1", "c2", "c3"]),
    ({"part_number": "HS-1350/G", "serial_from": "100"}, ["c2", "c3", "c4"]),
    ({"part_number": "HS-1350/G", "fitted_from": "2026-02-10", "fitted_to": "2026-03-10"}, ["c1", "c2", "c4"]),
    ({"part_number": "HS-1350/G", "fitted_to": "2026-01-31"}, ["c0", "c4"]),
    ({"part_number": "HS-1350/G", "status": "removed"}, []),
])
def test_the_parts_in_question(fleet: FlaskClient, query: dict[str, str], expected: list[str]) -> None:
    assert cars(fleet, **query) == expected


def test_each_says_who_owns_the_car_where_it_stands_and_what_is_not_known(fleet: FlaskClient) -> None:
    found = {item["car"]["id"]: item for item in fleet.get("/v1/recall?part_number=HS-1350/G&serial_from=UJ-99&fitted_from=2026-02-01").json}
    assert sorted((car, item["unknown"]) for car, item in found.items()) == [("c1", []), ("c2", []), ("c3", ["serial"]), ("c4", ["fitted_on"])]
    item = found["c1"]
    assert (item["owner"], item["address"], item["book"]) == ({"name": "Owner 1", "contact": "+1 555 0101"}, "/v1/builds/b1/parts/joint", "part-joint")
    assert (item["car"]["serial"], item["build"]["title"], item["part"]["serial"], item["later"]) == ("TS-1", "Driveline", "UJ-099", None)
    assert fleet.get(item["address"]).json["part_number"] == "HS-1350/G"


def test_a_part_taken_out_is_listed_when_asked_for(fleet: FlaskClient) -> None:
    fleet.patch("/v1/builds/b2/parts/joint", json={"status": "removed"}, headers={"If-Match": "*"})
    assert cars(fleet, part_number="HS-1350/G") == ["c0", "c1", "c3", "c4"]
    assert cars(fleet, part_number="HS-1350/G", status="any") == ["c0", "c1", "c2", "c3", "c4"]


def test_a_later_build_may_have_replaced_it(fleet: FlaskClient) -> None:
    fleet.post("/v1/cars/c0/builds", json={"id": "again", "use": "towing"})
    fleet.post("/v1/builds/again/parts", json={"id": "new", **PART, "maker": "Dorrenby", "part_number": "DB-44"})
    found = {item["car"]["id"]: item["later"] for item in fleet.get("/v1/recall?part_number=HS-1350/G").json}
    assert (found["c0"], found["c1"]) == ({"build": "again", "id": "new", "title": "anti roll bar, front: Dorrenby DB-44"}, None)


@pytest.mark.parametrize("how", [{"query_string": "part_number=HS-1350/G&format=csv"}, {"query_string": "part_number=HS-1350/G", "headers": {"Accept": "text/csv"}}])
def test_as_csv_it_comes_whole(fleet: FlaskClient, how: dict[str, Any]) -> None:
    answer = fleet.get("/v1/recall", **how)
    assert answer.mimetype == "text/csv"
    rows = list(csv.DictReader(io.StringIO(answer.get_data(as_text=True))))
    assert len(rows) == 5
    row = next(row for row in rows if row["car"] == "c1")
    assert {name: row[name] for name in ("owner", "contact", "car_serial", "serial", "fitted_on", "address", "book", "later_build")} == {
        "owner": "Owner 1", "contact": "+1 555 0101", "car_serial": "TS-1", "serial": "UJ-099", "fitted_on": "2026-02-10",
        "address": "/v1/builds/b1/parts/joint", "book": "part-joint", "later_build": ""}


def test_nothing_in_a_csv_is_a_formula(fleet: FlaskClient) -> None:
    fleet.patch("/v1/cars/c1", json={"owner": {"name": '=HYPERLINK("x")', "contact": "-1+cmd"}}, headers={"If-Match": "*"})
    answer = fleet.get("/v1/recall?part_number=HS-1350/G&serial_to=UJ-99&serial_from=UJ-99&format=csv").get_data(as_text=True)
    row = next(row for row in csv.DictReader(io.StringIO(answer)) if row["car"] == "c1")
    assert (row["owner"], row["contact"]) == ('\'=HYPERLINK("x")', "'-1+cmd")


def test_pages_join_up(fleet: FlaskClient) -> None:
    whole, pages, where = fleet.get("/v1/recall?maker=halverstoke").json, [], "/v1/recall?maker=halverstoke&limit=2"
    while where:
        page = fleet.get(where)
        pages += page.json
        where = page.headers["Link"].split(">")[0][1:] if "Link" in page.headers else ""
    assert pages == whole and len(whole) == 6


@pytest.mark.parametrize("query", ["", "serial_from=1", "part_number=--", "part_number=a&fitted_from=March", "part_number=a&fitted_to=2026-02-30",
                                   "part_number=a&status=lost", "part_number=a&format=xml"])
def test_what_cannot_be_recalled_is_refused(fleet: FlaskClient, query: str) -> None:
    assert fleet.get(f"/v1/recall?{query}").status_code == 400
