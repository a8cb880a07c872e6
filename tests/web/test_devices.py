"""Pairing, listing and revoking devices; links by which customers read."""

from __future__ import annotations

import datetime as dt
import logging
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import text

from service.storage import pairing
from tests.devices import client, code, token

CAR = {"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957}
WHO = {"by": "Oona", "name": "bench tablet"}


@pytest.fixture
def app(guarded_app: Flask) -> Flask:
    return guarded_app


@pytest.fixture
def owner(app: Flask) -> FlaskClient:
    return client(app, token(app, "owner", name="desk"))


def try_code(app: Flask, given: str, address: str = "127.0.0.1", **more: Any) -> Any:
    return app.test_client().post("/v1/devices", json={**WHO, "code": given, **more}, environ_base={"REMOTE_ADDR": address})


def test_a_code_pairs_one_device_once(app: Flask) -> None:
    given = code(app, "builder")
    paired = try_code(app, given)
    assert paired.status_code == 201
    assert (paired.get_json()["role"], paired.get_json()["name"], len(paired.get_json()["token"])) == ("builder", "bench tablet", 43)
    assert client(app, paired.get_json()["token"]).post("/v1/cars", json=CAR).status_code == 201
    assert try_code(app, given).status_code == 403


@pytest.mark.parametrize("typed", [str.lower, lambda code: code.replace("-", ""), lambda code: code.replace("-", " "),
                                   lambda code: code.replace("0", "o").replace("1", "l")])
def test_a_code_may_be_typed_as_it_is_read(app: Flask, typed: Any) -> None:
    assert try_code(app, typed(code(app))).status_code == 201


def test_a_code_that_is_too_old_pairs_nothing(app: Flask) -> None:
    given = code(app)
    with app.extensions["asfitted"].database.writing() as connection:
        connection.execute(text("UPDATE pairing_code SET expires_at = :at"), {"at": (dt.datetime.now(dt.UTC) - dt.timedelta(seconds=1)).isoformat()})
    assert try_code(app, given).status_code == 403


def test_pairing_says_everything_that_is_wrong(app: Flask) -> None:
    answer = app.test_client().post("/v1/devices", json={"by": " ", "name": "a\nb", "keep": "memory", "role": "owner"})
    assert answer.status_code == 422
    assert {item["pointer"] for item in answer.get_json()["errors"]} == {"/by", "/name", "/keep", "/role", "/code"}


def test_what_anyone_may_send_is_small(app: Flask) -> None:
    refused = app.test_client().post("/v1/devices", json={"code": "x" * 9000})
    assert refused.status_code == 413 and "8 KB" in refused.json["detail"]


def test_wrong_codes_are_limited_by_address(app: Flask) -> None:
    for _ in range(5):
        assert try_code(app, "WRONG-WRONG", "192.168.1.7").status_code == 403
    refused = try_code(app, code(app), "192.168.1.7")
    assert refused.status_code == 429
    assert 1 <= int(refused.headers["Retry-After"]) <= 600
    assert try_code(app, code(app), "192.168.1.8").status_code == 201


def test_wrong_codes_are_limited_for_a_whole_network_of_ipv6(app: Flask) -> None:
    for number in range(5):
        try_code(app, "WRONG-WRONG", f"fd00:1:2:3::{number}")
    assert try_code(app, code(app), "fd00:1:2:3:ffff::1").status_code == 429
    assert try_code(app, code(app), "fd00:1:2:4::1").status_code == 201
    assert try_code(app, code(app), "::ffff:10.0.0.1").status_code == 201


def test_wrong_codes_are_limited_for_all_together(app: Flask, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pairing, "_MOST_FROM_ALL", 8)
    statuses = [try_code(app, "WRONG-WRONG", f"10.0.0.{number}").status_code for number in range(10)]
    assert statuses == [403] * 8 + [429] * 2


def test_the_limit_is_kept_by_the_database_and_ends(app: Flask) -> None:
    for _ in range(5):
        try_code(app, "WRONG-WRONG")
    database = app.extensions["asfitted"].database
    with database.reading() as connection:
        assert connection.execute(text("SELECT count(*) FROM wrong_code")).scalar() == 5
    earlier = (dt.datetime.now(dt.UTC) - dt.timedelta(minutes=11)).isoformat(timespec="microseconds")
    with database.writing() as connection:
        connection.execute(text("UPDATE wrong_code SET at = :at"), {"at": earlier})
    assert try_code(app, code(app)).status_code == 201
    assert try_code(app, "WRONG-WRONG").status_code == 403
    with database.reading() as connection:
        assert connection.execute(text("SELECT count(*) FROM wrong_code")).scalar() == 1


def test_names_are_used_once(app: Flask, owner: FlaskClient) -> None:
    for _ in range(3):
        try_code(app, code(app))
    assert [device["name"] for device in owner.get("/v1/devices").get_json()] == ["desk", "bench tablet", "bench tablet 2", "bench tablet 3"]


def test_tokens_and_codes_are_kept_as_digests_only(app: Flask) -> None:
    given = code(app)
    waiting = code(app)
    secret = try_code(app, given).get_json()["token"]
    with app.extensions["asfitted"].database.reading() as connection:
        kept = " ".join(str(connection.execute(text(f"SELECT * FROM {table}")).all()) for table in ("device", "pairing_code", "answer", "revision"))  # noqa: S608
    for hidden in (secret, given, waiting, waiting.replace("-", "")):
        assert hidden not in kept


def test_revoked_at_once(app: Flask, owner: FlaskClient) -> None:
    paired = try_code(app, code(app)).get_json()
    phone = client(app, paired["token"])
    assert phone.get("/v1/cars").status_code == 200
    assert owner.delete(f"/v1/devices/{paired['id']}").status_code == 204
    refused = phone.get("/v1/cars")
    assert (refused.status_code, refused.headers["WWW-Authenticate"]) == (401, 'Bearer realm="As Fitted", error=invalid_token')
    assert "revoked" in refused.get_json()["detail"]
    listed = {device["id"]: device for device in owner.get("/v1/devices").get_json()}[paired["id"]]
    assert listed["revoked_at"] and listed["revoked_by"] == "Oona"
    assert owner.delete("/v1/devices/none").status_code == 404


def test_the_last_owner_stays(app: Flask, owner: FlaskClient) -> None:
    me = owner.get("/v1/devices/me").get_json()["id"]
    assert owner.delete(f"/v1/devices/{me}").status_code == 409
    other = try_code(app, code(app, "owner")).get_json()
    assert owner.delete(f"/v1/devices/{me}").status_code == 204
    assert client(app, other["token"]).get("/v1/devices").status_code == 200


def test_an_owner_makes_codes(app: Flask, owner: FlaskClient) -> None:
    made = owner.post("/v1/devices/codes", json={}).get_json()
    assert made["role"] == "builder"
    assert made["link"] == f"http://localhost/pair#{made['code']}"
    assert made["qr"].startswith("<svg") and "style=" not in made["qr"]
    assert try_code(app, made["code"]).get_json()["paired_by"] == "Oona"
    assert owner.post("/v1/devices/codes", json={"role": "reader"}).status_code == 422


def test_a_link_handed_out_names_what_others_reach(app: Flask, owner: FlaskClient) -> None:
    app.config["ASFITTED_ADDRESS"] = "https://192.168.7.7:8067"
    assert owner.post("/v1/devices/codes", json={}).get_json()["link"].startswith("https://192.168.7.7:8067/pair#")
    asked = owner.post("/v1/devices/codes", json={}, base_url="https://shop.local:8067").get_json()["link"]
    assert asked.startswith("https://shop.local:8067/pair#")


def test_a_browser_keeps_its_token_where_no_script_reads_it(app: Flask) -> None:
    browser = app.test_client()
    ours = {"Sec-Fetch-Site": "same-origin"}
    paired = browser.post("/v1/devices", json={**WHO, "code": code(app), "keep": "cookie"}, headers=ours)
    cookie = paired.headers["Set-Cookie"]
    assert "token" not in paired.get_json()
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= set(cookie.split("; "))
    assert "Secure" not in cookie and cookie.startswith("asfitted=")
    assert browser.get("/v1/cars").status_code == 200
    assert browser.delete("/v1/devices/me/cookie", headers=ours).status_code == 204
    assert browser.get("/v1/cars").status_code == 401


def test_over_tls_the_cookie_is_for_this_host_alone(app: Flask) -> None:
    paired = app.test_client().post("/v1/devices", json={**WHO, "code": code(app), "keep": "cookie"}, base_url="https://shop.local:8067")
    cookie = paired.headers["Set-Cookie"]
    assert cookie.startswith("__Host-asfitted=") and "Secure" in cookie and "Domain" not in cookie


@pytest.mark.parametrize("headers", [{"Origin": "http://elsewhere.example"}, {"Sec-Fetch-Site": "cross-site"}])
def test_another_site_pairs_nobody(app: Flask, headers: dict[str, str]) -> None:
    given = code(app)
    assert app.test_client().post("/v1/devices", json={**WHO, "code": given}, headers=headers).status_code == 403
    assert try_code(app, given).status_code == 201


def share(owner: FlaskClient, **more: Any) -> Any:
    owner.post("/v1/cars", json=CAR)
    return owner.post("/v1/shares", json={"car": "c", "name": "Signe", **more})


def test_a_link_reads_one_car_until_it_is_revoked(app: Flask, owner: FlaskClient) -> None:
    made = share(owner).get_json()
    assert made["link"] == f"http://localhost/share#{made['token']}"
    days = dt.datetime.fromisoformat(made["expires_at"]) - dt.datetime.now(dt.UTC)
    assert dt.timedelta(days=89) < days <= dt.timedelta(days=90)
    reader = client(app, made["token"])
    assert reader.get("/v1/cars/c").status_code == 200
    assert [item["name"] for item in owner.get("/v1/shares?car=c").get_json()] == ["Signe"]
    assert owner.get("/v1/shares?car=d").get_json() == []
    assert "Signe" not in str(owner.get("/v1/devices").get_json())
    assert owner.delete(f"/v1/devices/{made['id']}").status_code == 404
    assert owner.delete(f"/v1/shares/{made['id']}").status_code == 204
    assert reader.get("/v1/cars/c").status_code == 401


def test_a_link_to_no_car_or_for_ever_is_refused(owner: FlaskClient) -> None:
    assert [item["pointer"] for item in share(owner, car="none").get_json()["errors"]] == ["/car"]
    assert [item["pointer"] for item in share(owner, days=4000).get_json()["errors"]] == ["/days"]


def test_a_browser_opens_a_link(app: Flask, owner: FlaskClient) -> None:
    made = share(owner, days=1).get_json()
    browser = app.test_client()
    opened = browser.post("/v1/devices/me/cookie", headers={"Authorization": f"Bearer {made['token']}", "Sec-Fetch-Site": "same-origin"})
    assert (opened.status_code, opened.get_json()["car"]) == (200, "c")
    assert int(opened.headers["Set-Cookie"].split("Max-Age=")[1].split(";")[0]) <= 86400
    assert browser.get("/v1/cars/c").status_code == 200
    assert browser.get("/v1/cars").status_code == 403


def test_a_link_takes_no_paired_browsers_place(app: Flask, owner: FlaskClient) -> None:
    made = share(owner).get_json()
    browser = app.test_client()
    browser.set_cookie("asfitted", token(app, "builder"))
    opened = browser.post("/v1/devices/me/cookie", headers={"Authorization": f"Bearer {made['token']}"})
    assert opened.status_code == 409 and "Set-Cookie" not in opened.headers


def test_the_owners_view_holds_nothing_of_the_shops_own(app: Flask, owner: FlaskClient) -> None:
    made = share(owner).get_json()
    owner.post("/v1/cars/c/builds", json={"id": "b", "use": "street", "notes": "Shop: INTERNAL"})
    owner.post("/v1/builds/b/parts", json={"id": "p", "kind": "seat", "supplier": "INTERNAL", "notes": "Shop: INTERNAL", "part_number": "S-1"})
    reader = client(app, made["token"])
    for address in ("/v1/builds/b", "/v1/cars/c/builds", "/v1/builds/b/document", "/v1/builds/b/checks"):
        assert "INTERNAL" not in reader.get(address).get_data(as_text=True), address
    assert "INTERNAL" in owner.get("/v1/builds/b/document").get_data(as_text=True)
    assert reader.get("/v1/builds/b/document").get_json()["parts"] == [{"id": "p", "kind": "seat", "notes": "", "part_number": "S-1"}]


def test_secrets_stand_in_no_log_and_no_address(app: Flask, owner: FlaskClient, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    given = code(app)
    answers = [try_code(app, given), try_code(app, given), share(owner)]
    secrets = [given, answers[0].get_json()["token"], answers[2].get_json()["token"]]
    answers += [client(app, secrets[1]).get("/v1/cars"), client(app, secrets[2]).get("/v1/cars/c"), client(app, secrets[1][:-1]).get("/v1/cars")]
    told = caplog.text + " ".join(f"{answer.headers.get('Location')} {answer.headers.get('Link')} {answer.request.url}" for answer in answers)
    assert not [secret for secret in secrets if secret in told]


def test_open_to_this_machine_only(keeping: FlaskClient) -> None:
    assert keeping.get("/v1/cars").status_code == 200
    assert keeping.get("/v1/devices/me").get_json()["role"] == "owner"
    for base in ("http://127.0.0.1:8067", "http://[::1]:8067", "http://localhost"):
        assert keeping.get("/v1/cars", base_url=base).status_code == 200
    assert keeping.get("/v1/cars", base_url="http://shop.example").status_code == 403
    assert keeping.get("/v1/cars", environ_base={"REMOTE_ADDR": "192.168.1.7"}).status_code == 403
    assert keeping.post("/v1/cars", json=CAR, headers={"Sec-Fetch-Site": "cross-site"}).status_code == 403
    assert keeping.post("/v1/cars", json=CAR, headers={"Origin": "http://elsewhere.example"}).status_code == 403


def test_the_pages_hold_no_inline_script_or_style(app: Flask) -> None:
    for page in ("/pair", "/share"):
        answer = app.test_client().get(page)
        assert (answer.status_code, answer.mimetype) == (200, "text/html")
        html = answer.get_data(as_text=True)
        assert " style=" not in html and "<style" not in html and " onclick=" not in html
        for name in ("page.css", page.strip("/") + ".js"):
            assert f"/pair/{name}" in html
            assert app.test_client().get(f"/pair/{name}").status_code == 200
    assert app.test_client().get("/pair/other.js").status_code == 404
