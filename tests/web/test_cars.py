"""Cars and builds over HTTP."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

CAR = {"make": "Oskervik", "model": "Langtur", "year": 1966, "serial": "OL-1966-07731", "owner": {"name": "Signe Havnqvist"}}


def test_a_car_comes_back_and_changes(keeping: FlaskClient) -> None:
    made = keeping.post("/v1/cars", json=CAR)
    where = made.headers["Location"]
    assert made.status_code == 201
    assert keeping.get(where).json == {"id": made.json["id"], **CAR}
    assert keeping.patch(where, json={"color": "blue"}).status_code == 428
    changed = keeping.patch(where, json={"color": "blue", "owner": {"contact": "by letter"}}, headers={"If-Match": made.headers["ETag"]})
    assert changed.json["owner"] == {"name": "Signe Havnqvist", "contact": "by letter"}
    assert keeping.patch(where, json={"color": "red"}, headers={"If-Match": made.headers["ETag"]}).status_code == 412
    assert [item["pointer"] for item in keeping.patch(where, json={"year": "old"}, headers={"If-Match": "*"}).json["errors"]] == ["/year"]


def test_bad_cars_and_builds_say_what_is_wrong(keeping: FlaskClient) -> None:
    assert {item["pointer"] for item in keeping.post("/v1/cars", json={"year": 1, "wheels": 4}).json["errors"]} == {"/make", "/model", "/year", "/wheels"}
    assert keeping.post("/v1/cars", json=[]).status_code == 422
    assert keeping.post("/v1/cars", json={**CAR, "id": "a/b"}).status_code == 422
    car = keeping.post("/v1/cars", json=CAR).headers["Location"]
    answer = keeping.post(f"{car}/builds", json={"use": "flying", "absent": ["no_such_kind"]})
    assert {item["pointer"] for item in answer.json["errors"]} == {"/use", "/absent/0"}
    assert keeping.post("/v1/cars/none/builds", json={"use": "street"}).status_code == 404


def test_builds_of_a_car(keeping: FlaskClient) -> None:
    car = keeping.post("/v1/cars", json={"id": "c", **CAR}).headers["Location"]
    made = [keeping.post(f"{car}/builds", json={"use": use, "absent": ["anti_roll_bar@rear"]}) for use in ("street", "touring")]
    assert [build["use"] for build in keeping.get(f"{car}/builds").json] == ["street", "touring"]
    where = made[0].headers["Location"]
    found = keeping.get(where).json
    assert (found["car"], found["absent"]) == ("c", ["anti_roll_bar@rear"])
    changed = keeping.patch(where, json={"use": "track", "absent": None}, headers={"If-Match": made[0].headers["ETag"]})
    assert changed.json == {"car": "c", "id": found["id"], "use": "track"}
    assert keeping.patch(where, json={"car": "d"}, headers={"If-Match": "*"}).status_code == 422
    document = keeping.get(f"{where}/document").json
    assert (document["build"], document["car"]["id"], document["absent"]) == ({"id": found["id"], "use": "track"}, "c", [])


def test_sending_a_car_twice_makes_one(keeping: FlaskClient) -> None:
    assert [keeping.post("/v1/cars", json={"id": "c", **CAR}).status_code for _ in range(2)] == [201, 200]
    assert keeping.post("/v1/cars", json={"id": "c", **CAR, "year": 1967}).status_code == 409


@pytest.mark.parametrize(("query", "found"), [("langtur", True), ("OL-1966-077", True), ("ol196607731", True), ("signe 1966", True), ("LÅNGTUR", True),
                                             ("stookman", False), ("signe 1967", False), ("angtur", True), ("lantgur", True), ("signe havnkvist", True), ("lant", False), ("\" OR *", False), ("!!", False)])
def test_cars_are_found_by_words(keeping: FlaskClient, query: str, found: bool) -> None:
    keeping.post("/v1/cars", json={"id": "c", **CAR})
    keeping.post("/v1/cars", json={"id": "d", "make": "Tarnock", "model": "Pickup", "year": 1954})
    assert [car["id"] for car in keeping.get("/v1/cars", query_string={"q": query}).json] == (["c"] if found else [])


def test_found_cars_come_in_pages(keeping: FlaskClient) -> None:
    for number in range(3):
        keeping.post("/v1/cars", json={"id": f"c{number}", **CAR})
    first = keeping.get("/v1/cars?q=langtur&limit=2")
    second = keeping.get(first.headers["Link"].split(">")[0][1:])
    assert [car["id"] for car in [*first.json, *second.json]] == ["c2", "c1", "c0"]
    assert "Link" not in second.headers


def test_a_changed_car_is_found_by_its_new_words_only(keeping: FlaskClient) -> None:
    where = keeping.post("/v1/cars", json={"id": "c", **CAR}).headers["Location"]
    keeping.patch(where, json={"model": "Kortur"}, headers={"If-Match": "*"})
    assert (keeping.get("/v1/cars?q=langtur").json, len(keeping.get("/v1/cars?q=kortur").json)) == ([], 1)
