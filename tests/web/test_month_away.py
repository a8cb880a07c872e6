"""A phone that was away for a month: what it sends again makes no double, what changed meanwhile is not overwritten unseen."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import text

from service.storage import answers
from service.storage.store import open_store
from tests.devices import client, token
from tests.pictures.made import picture

RECORD = {"id": "m", "fact": "car.mass", "value": "3900 lb"}
WHERE = "/v1/builds/b/measurements"


@pytest.fixture
def desk(guarded_app: Flask) -> FlaskClient:
    desk = client(guarded_app, token(guarded_app, "owner", name="desk"))
    assert desk.post("/v1/cars", json={"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957}).status_code == 201
    assert desk.post("/v1/cars/c/builds", json={"id": "b", "use": "street"}).status_code == 201
    return desk


def pass_days(app: Flask, days: int) -> None:
    """As if everything had been answered so many days earlier, one answer today, and the service started today."""
    store = app.extensions["asfitted"]
    then = (dt.datetime.now(dt.UTC) - dt.timedelta(days=days)).isoformat(timespec="microseconds")
    with store.database.writing() as connection:
        connection.execute(text("UPDATE answer SET at = :at"), {"at": then})
        answers.keep(connection, "desk", "today", answers.Given("", 200, {}, ""))
    open_store(store.folder, store.database.url.render_as_string(hide_password=False)).database.close()


def count(app: Flask) -> int:
    with app.extensions["asfitted"].database.reading() as connection:
        return int(connection.execute(text("SELECT count(*) FROM revision WHERE id = 'm'")).scalar() or 0)


@pytest.mark.parametrize(("days", "status"), [(31, 201), (61, 200)])
def test_a_record_sent_again_is_one(guarded_app: Flask, desk: FlaskClient, days: int, status: int) -> None:
    phone, key = client(guarded_app, token(guarded_app, "builder")), {"Idempotency-Key": "k"}
    first = phone.post(WHERE, json=RECORD, headers=key)
    pass_days(guarded_app, days)
    again = phone.post(WHERE, json=RECORD, headers=key)
    assert (first.status_code, again.status_code, again.json, count(guarded_app)) == (201, status, first.json, 1)


def test_revoked_meanwhile_and_paired_again(guarded_app: Flask, desk: FlaskClient) -> None:
    phone, key = client(guarded_app, token(guarded_app, "builder")), {"Idempotency-Key": "k"}
    made = phone.post(WHERE, json=RECORD, headers=key).json
    phones = [device["id"] for device in desk.get("/v1/devices").json if device["name"] == "phone"]
    assert desk.delete(f"/v1/devices/{phones[0]}").status_code == 204
    pass_days(guarded_app, 31)
    assert phone.post(WHERE, json=RECORD, headers=key).status_code == 401
    # Paired again it is another device, to which that key was answered nothing; the record's id makes it one all the same.
    paired = client(guarded_app, token(guarded_app, "builder"))
    again = paired.post(WHERE, json=RECORD, headers=key)
    assert (again.status_code, again.json, count(guarded_app)) == (200, made, 1)


def test_a_record_that_was_changed_or_retracted_meanwhile_is_not_overwritten(guarded_app: Flask, desk: FlaskClient) -> None:
    phone = client(guarded_app, token(guarded_app, "builder"))
    tag = phone.post(WHERE, json=RECORD).headers["ETag"]
    assert desk.patch(f"{WHERE}/m", json={"notes": "on the other scales"}, headers={"If-Match": tag}).status_code == 200
    pass_days(guarded_app, 61)
    differs = phone.post(WHERE, json=RECORD)
    assert differs.status_code == 409 and "m" in differs.json["detail"]
    assert phone.patch(f"{WHERE}/m", json={"value": "3950 lb"}, headers={"If-Match": tag}).status_code == 412
    now = phone.get(f"{WHERE}/m")
    assert now.json["notes"] == "on the other scales"
    assert phone.patch(f"{WHERE}/m", json={"value": "3950 lb"}, headers={"If-Match": now.headers["ETag"]}).json == {**now.json, "value": "3950 lb"}
    assert desk.delete(f"{WHERE}/m", headers={"If-Match": '"3"'}).status_code == 204
    assert phone.post(WHERE, json=RECORD).status_code in (409, 410)
    assert phone.patch(f"{WHERE}/m", json={"value": "1 lb"}, headers={"If-Match": '"3"'}).status_code == 410


def test_two_tabs_that_change_one_record(guarded_app: Flask, desk: FlaskClient) -> None:
    desk.post(WHERE, json=RECORD)
    first, second = (desk.get(f"{WHERE}/m").headers["ETag"] for _ in range(2))
    assert desk.patch(f"{WHERE}/m", json={"notes": "first"}, headers={"If-Match": first}).status_code == 200
    refused = desk.patch(f"{WHERE}/m", json={"notes": "second"}, headers={"If-Match": second})
    assert refused.status_code == 412 and "changed" in refused.json["detail"]
    assert desk.delete(f"{WHERE}/m", headers={"If-Match": second}).status_code == 412
    assert desk.get(f"{WHERE}/m").json["notes"] == "first"


def test_a_photograph_whose_pieces_were_forgotten_is_begun_again(guarded_app: Flask, desk: FlaskClient) -> None:
    phone, content = client(guarded_app, token(guarded_app, "builder")), picture()

    def begun(piece: bytes) -> str:
        where: str = phone.post("/v1/uploads", headers={"Upload-Length": str(len(content))}).headers["Location"]
        assert phone.patch(where, data=piece, headers={"Upload-Offset": "0"}).status_code == 204
        return where

    half, whole = begun(content[:100]), begun(content)
    said: dict[str, Any] = {"id": "p", "upload": whole.rsplit("/", 1)[1], "caption": "ratio tag"}
    guarded_app.extensions["asfitted"].uploads.drop_abandoned(days=-1)
    assert phone.head(half).status_code == 404
    forgotten = phone.post("/v1/builds/b/photos", data=said)
    assert forgotten.status_code == 422 and "no such upload" in forgotten.json["errors"][0]["detail"]
    made = phone.post("/v1/builds/b/photos", data={**said, "upload": begun(content).rsplit("/", 1)[1]})
    assert made.status_code == 201
    # Only its answer was lost: the pieces are gone because they were taken in.
    assert phone.post("/v1/builds/b/photos", data={**said, "upload": whole.rsplit("/", 1)[1]}).status_code == 200
    assert len(phone.get("/v1/builds/b/photos").json) == 1
