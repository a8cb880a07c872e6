"""Who may do what: every call, asked by everyone there is."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from flask import Flask
from PIL import Image
from werkzeug.routing import AnyConverter, BaseConverter, UUIDConverter

from service.web.needs import NEEDS, Role, needed
from tests.devices import client, token
from tests.kept import sqlite_url

CAR = {"make": "Tarnock", "model": "Stookman", "year": 1957}
#: What anyone may ask without a token: nothing of it is about a car.
ANYONE = {
    "health.get_health", "health.get_ready", "health.get_metrics", "reference.get_vocabulary", "reference.get_catalog", "reference.get_schema",
    "reference.get_openapi", "reference.get_openapi_page", "reference.get_vocabulary_page", "reference.get_catalog_page", "reference.get_reference_style",
    "devices.post_device", "pages.get_start", "pages.get_pair", "pages.get_share", "pages.get_file", "desk.get_desk_file",
    "capture.get_capture", "capture.get_capture_file",
}
#: What a customer with a link may ask, of the one car.
READER = {
    "cars.get_car", "cars.get_builds", "cars.get_build", "documents.get_document", "documents.get_build_checks", "attachments.get_file",
    "books.get_books", "books.get_book", "books.get_pdf", "books.get_packet", "books.get_site_root", "books.get_site_index", "books.get_site",
    "devices.get_me", "devices.post_cookie", "devices.delete_cookie",
}
OWNER = {
    "attachments.get_received", "devices.get_devices", "devices.post_code", "devices.delete_device", "shares.post_share", "shares.get_shares",
    "shares.delete_share", "desk.get_devices_page",
}
#: A call that got past the question who may ask: done, or wrong in another way.
ALLOWED = frozenset({200, 201, 202, 204, 304, 400, 404, 409, 410, 415, 422, 428})


def calls(app: Flask) -> Iterator[tuple[str, str, str]]:
    """Every call: its view, its method, its address on the car `mine`."""
    adapter = app.url_map.bind("localhost")
    for rule in app.url_map.iter_rules():
        arguments = {name: _value(name, rule._converters[name]) for name in rule.arguments}
        for method in sorted((rule.methods or set()) - {"OPTIONS"}):
            yield rule.endpoint, method, adapter.build(rule.endpoint, arguments, method=method)


def _value(name: str, converter: BaseConverter) -> Any:
    if isinstance(converter, AnyConverter):
        return min(converter.items)
    if isinstance(converter, UUIDConverter):
        return UUID(int=0)
    return {"car": "mine", "build": "b", "record": "r", "file": "pair.js"}.get(name, "none")


@pytest.fixture
def database_url(tmp_path: Path) -> str:
    """One kind of database: who may ask is judged before any is asked. Devices are tested on each kind."""
    return sqlite_url(tmp_path / "data")


@pytest.fixture
def app(guarded_app: Flask) -> Flask:
    """With two cars, each with a build and a drive."""
    owner = client(guarded_app, token(guarded_app, "owner", name="desk"))
    for car, build in (("mine", "b"), ("other", "c")):
        assert owner.post("/v1/cars", json={"id": car, **CAR}).status_code == 201
        assert owner.post(f"/v1/cars/{car}/builds", json={"id": build, "use": "street"}).status_code == 201
        assert owner.post(f"/v1/builds/{build}/drives", json={"id": "r"}).status_code == 201
    return guarded_app


def test_every_call_says_what_it_needs(app: Flask) -> None:
    views = {rule.endpoint for rule in app.url_map.iter_rules()}
    assert views - set(NEEDS) == set(), "these calls stand nowhere in service/web/needs.py and are for owners only until they do"
    assert {view for view in views if needed(view) is Role.ANYONE} == ANYONE
    assert {view for view in views if needed(view) is Role.READER} == READER
    assert {view for view in views if needed(view) is Role.OWNER} == OWNER


def test_the_description_says_what_needs_no_token(app: Flask) -> None:
    for rule in app.url_map.iter_rules():
        call = getattr(app.view_functions[rule.endpoint], "described", None)
        assert call is None or call.open == (needed(rule.endpoint) is Role.ANYONE), rule


def test_what_stands_nowhere_is_for_owners() -> None:
    assert needed("nobody.knows") is Role.OWNER


@pytest.mark.parametrize("asker", ["nobody", "stranger", "revoked", "expired"])
def test_nobody_unknown_is_answered(app: Flask, asker: str) -> None:
    bearer = {"nobody": None, "stranger": "x" * 43, "revoked": token(app, "owner", revoked=True),
              "expired": token(app, "reader", car="mine", days=-1)}[asker]
    asking = client(app, bearer)
    for view, method, address in calls(app):
        status = asking.open(address, method=method).status_code
        if view == "pages.get_start":
            assert status == 302, (method, status)
        else:
            assert (status in ALLOWED) if view in ANYONE else (status == 401), (view, method, status)


@pytest.mark.parametrize("role", ["reader", "builder", "owner"])
def test_each_role_may_do_what_it_may(app: Flask, role: str) -> None:
    asking = client(app, token(app, role, car="mine" if role == "reader" else None, days=1))
    for view, method, address in calls(app):
        status = asking.open(address, method=method).status_code
        allowed = needed(view) <= Role[role.upper()]
        assert status != 401, (view, method, status)
        assert (status == 403) == (not allowed), (view, method, status)


def test_a_reader_of_another_car_learns_nothing(app: Flask) -> None:
    asking = client(app, token(app, "reader", car="other", days=1))
    absent = {name: asking.get(f"/v1/{name}/none").get_json() for name in ("cars", "builds")}
    for view, method, address in calls(app):
        answer = asking.open(address, method=method)
        if view in READER and not view.startswith("devices."):
            assert answer.status_code == 404, (view, method)
            assert method == "HEAD" or answer.get_json() == absent["cars"] == absent["builds"], view
        elif view not in ANYONE | READER:
            assert answer.status_code == 403, (view, method)


def test_a_reader_reads_the_car(app: Flask) -> None:
    asking = client(app, token(app, "reader", car="mine", days=1))
    assert asking.get("/v1/cars/mine").get_json()["make"] == "Tarnock"
    assert [build["id"] for build in asking.get("/v1/cars/mine/builds").get_json()] == ["b"]
    assert asking.get("/v1/builds/b").get_json()["car"] == "mine"
    assert asking.get("/v1/builds/b/document").get_json()["drives"] == [{"id": "r"}]
    assert asking.get("/v1/builds/b/checks").get_json()["format"] == "as-fitted/answer/1"


@pytest.mark.parametrize(("name", "edition", "seen"), [("photos", None, True), ("papers", "owner", True), ("papers", "shop", False)])
def test_a_reader_sees_clean_pictures_of_the_car(app: Flask, name: str, edition: str | None, seen: bool) -> None:
    owner = client(app, token(app, "owner", name="camera"))
    drawn = BytesIO()
    Image.new("RGB", (40, 30), "white").save(drawn, "JPEG")
    form = {"file": (BytesIO(drawn.getvalue()), "a.jpg"), "id": "f", **({"title": "sheet", "kind": "other", "edition": edition} if edition else {})}
    assert owner.post(f"/v1/builds/b/{name}", data=form).status_code == 201
    mine, other = (client(app, token(app, "reader", car=car, days=1)) for car in ("mine", "other"))
    assert mine.get(f"/v1/{name}/f/small").status_code == (200 if seen else 404)
    assert mine.get(f"/v1/{name}/f/small?build=b").status_code == (200 if seen else 404)
    assert mine.get(f"/v1/{name}/f/small?build=c").status_code == 404
    assert mine.get(f"/v1/{name}/f/original").status_code == (200 if seen else 404)
    assert mine.get(f"/v1/{name}/f/received").status_code == 403
    assert [other.get(f"/v1/{name}/f/small{query}").status_code for query in ("", "?build=b", "?build=c")] == [404] * 3
    assert owner.get(f"/v1/{name}/f/received").status_code == 200


def test_every_writing_call_by_cookie_must_come_from_our_own_page(app: Flask) -> None:
    secret = token(app, "owner")
    browser = app.test_client()
    browser.set_cookie("asfitted", secret)
    for headers in ({}, {"Origin": "http://elsewhere.example"}, {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"},
                    {"Sec-Fetch-Site": "cross-site", "Origin": "http://localhost"}, {"Origin": "null"}, {"Origin": "http://localhost:81"}):
        for view, method, address in calls(app):
            if method not in ("GET", "HEAD") and view not in ANYONE:
                assert browser.open(address, method=method, headers=headers).status_code == 403, (view, headers)
    for headers in ({"Origin": "http://localhost"}, {"Sec-Fetch-Site": "same-origin"}):
        assert browser.post("/v1/cars", json=CAR, headers=headers).status_code == 201
    assert browser.get("/v1/cars", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200


@pytest.mark.parametrize("header", ["Basic b3duZXI6b3duZXI=", "Bearer", "Bearer ", "bearer x y", "token", "\x00", "Bearer ' OR 1=1 --"])
def test_odd_headers_are_no_tokens(app: Flask, header: str) -> None:
    assert app.test_client().get("/v1/cars", headers={"Authorization": header}).status_code == 401


def test_a_person_is_told_in_a_page(app: Flask) -> None:
    page = client(app).get("/desk/", headers={"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"})
    assert (page.status_code, page.mimetype, "WWW-Authenticate" in page.headers) == (401, "text/html", True)
    assert 'href="/pair"' in page.get_data(as_text=True) and "{{" not in page.get_data(as_text=True)
    assert "unsafe" not in page.headers["Content-Security-Policy"]
    for accept in ("*/*", "application/json", ""):
        assert client(app).get("/v1/cars", headers={"Accept": accept}).mimetype == "application/problem+json"


def test_a_header_goes_before_a_cookie(app: Flask) -> None:
    browser = app.test_client()
    browser.set_cookie("asfitted", token(app, "owner"))
    assert browser.get("/v1/devices").status_code == 200
    assert browser.get("/v1/devices", headers={"Authorization": "Bearer wrong"}).status_code == 401


def test_a_token_in_the_query_is_none(app: Flask) -> None:
    secret = token(app, "owner")
    for name in ("token", "access_token", "bearer"):
        assert app.test_client().get(f"/v1/cars?{name}={secret}").status_code == 401


def test_what_a_device_writes_bears_its_name(app: Flask) -> None:
    asking = client(app, token(app, "builder", name="bench tablet"))
    asking.post("/v1/builds/b/drives", json={"id": "d"})
    revision = asking.get("/v1/builds/b/drives/d/revisions").get_json()[0]
    assert (revision["by"], revision["device"]) == ("Oona", "bench tablet")


def test_two_devices_of_one_name_do_not_share_answers(app: Flask) -> None:
    first, second = (client(app, token(app, "builder", name="phone")) for _ in range(2))
    made = [asking.post("/v1/cars", json=CAR, headers={"Idempotency-Key": "k"}).get_json()["id"] for asking in (first, second, first)]
    assert made[0] == made[2] != made[1]


def test_answers_to_a_device_are_for_no_other_cache(app: Flask) -> None:
    answer = client(app, token(app, "builder")).get("/v1/cars/mine")
    assert answer.headers["Cache-Control"] == "private, no-cache"
    assert {"Authorization", "Cookie"} <= {item.strip() for item in answer.headers["Vary"].split(",")}


def test_being_seen_is_written_once_an_hour(app: Flask) -> None:
    database = app.extensions["asfitted"].database
    asking = client(app, token(app, "owner", name="phone"))
    asking.get("/v1/cars")
    seen = {device["name"]: device["last_seen"] for device in asking.get("/v1/devices").get_json()}
    assert seen["phone"].endswith(":00:00+00:00")
    writes: list[Any] = []
    writing = database.writing
    database.writing = lambda: writes.append(1) or writing()
    for _ in range(3):
        app.extensions["asfitted_devices"].forget()
        assert asking.get("/v1/cars").status_code == 200
    assert writes == []


def test_headers(app: Flask) -> None:
    plain, secure = (app.test_client().get("/pair", base_url=f"{scheme}://shop.local") for scheme in ("http", "https"))
    policy = plain.headers["Content-Security-Policy"]
    assert "unsafe" not in policy and "default-src 'self'" in policy and "frame-ancestors 'none'" in policy
    assert "Strict-Transport-Security" not in plain.headers
    assert secure.headers["Strict-Transport-Security"] == "max-age=31536000; includeSubDomains"
    # No page of another origin reads anything here.
    assert not any(name.startswith("Access-Control-") for name, _ in (*plain.headers, *secure.headers))
    assert "Strict-Transport-Security" not in app.test_client().get("/pair", base_url="https://localhost:8067").headers
    assert plain.headers["X-Content-Type-Options"] == "nosniff"
    assert app.test_client().get("/v1/cars").headers["Cache-Control"] == "no-store"
