"""Hostile bodies, headers and addresses to every writing call, from everyone there is: no mistake of the service, and nobody gets further than they may."""

from __future__ import annotations

import gzip
import io
import json
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.app import create_app
from service.settings import Settings
from service.web.needs import Role, needed
from tests.devices import client, token
from tests.kept import sqlite_url
from tests.web.test_access import ANYONE, CAR, calls

JSON = "application/json"
DEEP = 10_000
#: Bodies of JSON that no call is to stumble over, and what is wrong with each.
TEXTS = {
    "nothing": b"", "blank": b" ", "half": b'{"id": "x"', "deep lists": b"[" * DEEP + b"]" * DEEP, "deep objects": b'{"a":' * DEEP + b"1" + b"}" * DEEP,
    "deep and broken": b"[" * DEEP, "doubled key": b'{"id": "x", "id": "y"}', "not a number": b'{"year": NaN}', "infinite": b'{"days": Infinity}',
    "minus infinite": b'{"year": -Infinity}', "too large for a float": b'{"year": 1e999, "days": 1e999}', "lone surrogate": b'{"id": "\\ud800"}',
    "surrogate as a key": b'{"\\udfff": 1}', "surrogates the wrong way round": b'{"name": "\\udc00\\ud800"}', "gigantic integer": b'{"year": ' + b"9" * 5000 + b"}",
    "large integer": b'{"year": 170141183460469231731687303715884105728}', "null byte": b'{"id": "a\\u0000b", "notes": "\\u0000"}', "raw null byte": b'{"id": "a\x00b"}',
    "not UTF-8": b'{"id": "\xff\xfe"}', "UTF-16": '{"id": "x"}'.encode("utf-16"), "overlong UTF-8": b'{"id": "\xc0\xaf"}', "a list": b"[]", "null": b"null",
    "true": b"true", "a text": b'"x"', "a number": b"7", "prototype": b'{"__proto__": {"role": "owner"}, "constructor": {"prototype": 1}}',
    "more than is asked for": b'{"role": "owner", "id": "x", "car": "other", "revoked_at": null, "by": "x", "name": "x", "code": "x"}',
    "types": b'{"id": {}, "make": [], "model": 1, "year": "x", "fact": {"a": 1}, "specs": [], "of": 3, "car": {"id": []}, "document": [], "changes": 1, "days": "1"}',
    "template": b'{"id": "{{7*7}}", "notes": "{% for a in b %}${7*7}#{7*7}"}', "paths": b'{"id": "../../etc/passwd", "file": "/etc/passwd"}',
    "SQL": b'{"id": "x\'; DROP TABLE revision; --", "q": "\\" OR 1=1"}', "a megabyte of keys": b"{" + b",".join(b'"k%d":0' % at for at in range(60_000)) + b"}",
    "bidi": '{"id": "\u202eexe.gpj", "name": "\u202e\u2066x"}'.encode(), "compressed": gzip.compress(b'{"id": "x"}'),
}
TYPES = (JSON, "application/merge-patch+json", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "application/octet-stream",
         "application/json; charset=utf-7", "application/xml", "", "x" * 3000, "multipart/form-data; boundary=", f"multipart/form-data; boundary={'b' * 4000}")
ASKERS = ("nobody", "stranger", "revoked", "expired", "reader", "builder", "owner")
ROLES = {"reader": Role.READER, "builder": Role.BUILDER, "owner": Role.OWNER}


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    """A car with a build and a drive, guarded."""
    folder = tmp_path_factory.mktemp("data")
    app = create_app(Settings(data=folder, database=sqlite_url(folder)))
    owner = client(app, token(app, "owner", name="desk"))
    assert owner.post("/v1/cars", json={"id": "mine", **CAR}).status_code == 201
    assert owner.post("/v1/cars/mine/builds", json={"id": "b", "use": "street"}).status_code == 201
    assert owner.post("/v1/builds/b/drives", json={"id": "r"}).status_code == 201
    yield app
    app.extensions["asfitted"].database.close()


@pytest.fixture(scope="module")
def askers(app: Flask) -> dict[str, FlaskClient]:
    """A client of each kind."""
    tokens = {"nobody": None, "stranger": "x" * 43, "revoked": token(app, "owner", name="gone", revoked=True), "expired": token(app, "reader", car="mine", days=-1),
              "reader": token(app, "reader", name="a link", car="mine", days=1), "builder": token(app, "builder"), "owner": token(app, "owner", name="other desk")}
    return {name: client(app, bearer) for name, bearer in tokens.items()}


def writing(app: Flask) -> list[tuple[str, str, str]]:
    """Every call that changes something: view, method, address. The cookie is the browser's own affair, revoking would end the test's devices."""
    return [call for call in calls(app) if call[1] not in ("GET", "HEAD") and call[0] not in ("devices.delete_device", "shares.delete_share")]


def judged(view: str, asker: str, answer: Any, said: str) -> None:
    """Whether an answer is one that this asker may get."""
    where = (view, asker, said, answer.status_code, answer.get_data(as_text=True)[:300])
    assert answer.status_code < 500, where
    if view in ANYONE:
        return
    if asker not in ROLES:
        assert answer.status_code == 401, where
    elif ROLES[asker] < needed(view):
        assert answer.status_code in (403, 404), where
    if answer.status_code >= 400:
        assert answer.mimetype == "application/problem+json", where
        assert not any(word in answer.text for word in ("Traceback", "sqlite", "site-packages", ".py")), where


@pytest.mark.parametrize("asker", ASKERS)
def test_bodies(app: Flask, askers: dict[str, FlaskClient], asker: str) -> None:
    for view, method, address in writing(app):
        for name, body in TEXTS.items() if asker in ("builder", "owner") else list(TEXTS.items())[:6]:
            kind = JSON if method != "PATCH" or "uploads" in view else "application/merge-patch+json"
            judged(view, asker, askers[asker].open(address, method=method, data=body, content_type=kind, headers={"If-Match": "*"}), name)


def test_kinds_of_content(app: Flask, askers: dict[str, FlaskClient]) -> None:
    for view, method, address in writing(app):
        for kind in TYPES:
            for body in (b'{"id": "x"}', b"--b\r\n", b"\x00" * 100):
                judged(view, "owner", askers["owner"].open(address, method=method, data=body, content_type=kind, headers={"If-Match": '"1"'}), kind[:40])


@pytest.mark.parametrize("headers", [
    {"Idempotency-Key": "\x7f\x80'\"; --"}, {"Idempotency-Key": "k" * 256}, {"Idempotency-Key": ""}, {"Idempotency-Key": "../../x"}, {"Idempotency-Key": "ключ"},
    {"If-Match": "W/" + '"1"'}, {"If-Match": ","}, {"If-Match": '"' + "9" * 5000 + '"'}, {"If-Match": '"1", "2", *'}, {"If-Match": "\x00"},
    {"Upload-Offset": "-1", "Upload-Length": "-1"}, {"Upload-Offset": "9" * 4000, "Upload-Length": "٣"}, {"Upload-Offset": "1e3", "Upload-Length": "0x10"},
    {"Content-Length": "-5"}, {"Content-Length": "x"}, {"Content-Encoding": "gzip"}, {"Accept": "," * 5000}, {"Accept-Encoding": "gzip;q=x"}, {"Range": "bytes=-" + "9" * 400},
    {"If-None-Match": '"' * 999}, {"If-Modified-Since": "never"}, {"Cookie": "=;" * 3000}, {"Host": "elsewhere.example\\@x"}, {"Host": "[::1"}, {"Host": ""},
    {"Origin": "null"}, {"X-HTTP-Method-Override": "DELETE"}, {"X-Forwarded-For": "127.0.0.1", "X-Forwarded-Proto": "https"}, {"Sec-Fetch-Site": "x" * 3000},
], ids=lambda headers: "-".join(headers) + "-" + next(iter(headers.values()))[:9].encode("unicode_escape").decode())
def test_headers(app: Flask, askers: dict[str, FlaskClient], headers: dict[str, str]) -> None:
    latin = {name: value.encode().decode("latin-1") for name, value in headers.items()}
    for view, method, address in calls(app):
        if method == "HEAD" or view in ("devices.delete_device", "shares.delete_share"):
            continue
        body = b'{"id": "x"}' if method in ("POST", "PATCH") else None
        answer = askers["owner"].open(address, method=method, data=body, content_type=JSON, headers={"If-Match": "*", **latin})
        assert answer.status_code < 500, (view, answer.status_code, answer.get_data(as_text=True)[:300])


@pytest.mark.parametrize("id", [
    "%00", "a%0d%0aSet-Cookie:%20x=1", "%2e%2e%2f%2e%2e%2fetc%2fpasswd", "..%5c..%5cx", "%ff%fe", "%", "%zz", "%u0041", "a" * 9000, "'%20OR%20'1'='1", "%F0%9F%9A%97", "%e2%80%ae",
    "%7b%7b7*7%7d%7d", "<script>", "%3Cscript%3E", "-1", "9" * 300, "null", "__proto__", "a;b=c", "a?b", "%ed%a0%80", "%25%32%65", "*", "%20", "CON", "a%00.jpg",
])
def test_addresses(app: Flask, askers: dict[str, FlaskClient], id: str) -> None:
    for address in ("/v1/cars/{}", "/v1/builds/{}", "/v1/builds/b/drives/{}", "/v1/builds/{}/parts", "/v1/builds/b/{}", "/v1/photos/{}/small", "/v1/papers/{}/received",
                    "/v1/uploads/{}", "/v1/books/{}", "/v1/books/{}/site/{}", "/v1/devices/{}", "/v1/shares/{}", "/capture/{}", "/desk/{}", "/pages/{}", "/{}", "/v1/search?q={}",
                    "/v1/recall?part_number={}", "/v1/cars?cursor={}", "/v1/cars?limit={}", "/v1/cars/mine/history?cursor={}", "/v1/photos/x/small?build={}"):
        for method in ("GET", "PATCH", "DELETE"):
            answer = askers["owner"].open(address.format(id, id), method=method, data=b"{}" if method == "PATCH" else None, content_type=JSON, headers={"If-Match": "*"})
            assert answer.status_code < 500, (address, method, answer.status_code, answer.get_data(as_text=True)[:300])
            assert "Set-Cookie" not in answer.headers and "root:" not in answer.get_data(as_text=True)[:2000]
            assert answer.mimetype != "text/html" or ("<script>alert" not in answer.text and "{{" not in answer.text)


def part(name: str, content: bytes, file: str | None = None) -> bytes:
    named = f'; filename="{file}"' if file is not None else ""
    return f'--b\r\nContent-Disposition: form-data; name="{name}"{named}\r\n\r\n'.encode() + content + b"\r\n"


FORMS = {
    "ten thousand fields": b"".join(part(f"f{at}", b"x") for at in range(10_000)) + b"--b--\r\n",
    "ten thousand files": b"".join(part("file", b"x", f"{at}.jpg") for at in range(10_000)) + b"--b--\r\n",
    "no end": part("file", b"x" * 1000, "a.jpg"), "no beginning": b"x" * 1000, "only an end": b"--b--\r\n", "a field of a megabyte": part("caption", b"x" * 2**20) + b"--b--\r\n",
    "a head that never ends": b'--b\r\nContent-Disposition: form-data; name="' + b"x" * 200_000, "ten thousand heads": b"--b\r\n" + b"X-A: b\r\n" * 10_000 + b"\r\n--b--\r\n",
    "a path for a name": part("file", b"x", "../../../etc/cron.d/x") + b"--b--\r\n", "null bytes": part("id\x00", b"\x00") + b"--b--\r\n",
    "no such encoding": b'--b\r\nContent-Disposition: form-data; name="caption"\r\nContent-Type: text/plain; charset=zip\r\n\r\nx\r\n--b--\r\n',
    "a form in a form": part("file", b'--b\r\nContent-Disposition: form-data; name="id"\r\n\r\nx\r\n', "a.jpg") + b"--b--\r\n",
}


@pytest.mark.parametrize("name", FORMS)
def test_forms(app: Flask, askers: dict[str, FlaskClient], name: str) -> None:
    for list_name in ("photos", "papers"):
        for asker in ("nobody", "reader", "builder"):
            answer = askers[asker].post(f"/v1/builds/b/{list_name}", data=FORMS[name], content_type="multipart/form-data; boundary=b")
            judged("attachments.post_attachment", asker, answer, name)
            assert answer.status_code in (400, 401, 403, 413, 422), (name, answer.status_code, answer.text[:300])
    assert askers["owner"].get("/v1/builds/b/photos").json == askers["owner"].get("/v1/builds/b/papers").json == []


FILES = {
    "a page": b"<!doctype html><script>alert(1)</script>", "a drawing with a script": b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
    "an outside entity": b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY y SYSTEM "file:///etc/passwd">]><svg>&y;</svg>', "an archive": b"PK\x03\x04" + b"\x00" * 100,
    "a bomb in gzip": gzip.compress(b"\x00" * 2**24), "a program": b"\x7fELF" + b"\x00" * 200, "a page that begins as a picture": b"\xff\xd8\xff\xe0<script>alert(1)</script>",
    "a page that begins as a picture too": b"GIF89a/*<script>*/=1", "nothing": b"", "a paper without pages": b"%PDF-1.7\n1 0 obj<</Type/Catalog>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF",
    "a paper of endless pages": b"%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[2 0 R]/Count 99999999>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF",
    "a huge page": b"%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"
                   b"3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 99999999 99999999]>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF",
}


@pytest.mark.parametrize("name", FILES)
def test_files(app: Flask, askers: dict[str, FlaskClient], name: str) -> None:
    """A file is told by its content: what is none of the kinds that are taken is refused whatever its name and kind say."""
    for list_name, said, kind in (("photos", {}, "a.jpg"), ("papers", {"title": "x", "kind": "other"}, "a.pdf")):
        answer = askers["builder"].post(f"/v1/builds/b/{list_name}", data={"file": (io.BytesIO(FILES[name]), kind, "image/jpeg"), **said})
        if list_name == "papers" and name == "a huge page" and answer.status_code == 201:
            shown = askers["builder"].get(f"/v1/papers/{answer.json['id']}/small")
            assert (shown.status_code, shown.mimetype) == (200, "image/jpeg")
            tag = answer.headers["ETag"]
            assert askers["owner"].delete(f"/v1/builds/b/papers/{answer.json['id']}", headers={"If-Match": tag}).status_code == 204
            continue
        assert answer.status_code == 422, (list_name, answer.status_code, answer.text[:300])
        assert json.loads(answer.data)["errors"][0]["pointer"] == "/file"
