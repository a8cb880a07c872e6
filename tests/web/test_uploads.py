"""Files that come in pieces over HTTP."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.storage.uploads import Elsewhere, Uploads
from tests.pictures.made import picture


@pytest.fixture
def build(keeping: FlaskClient) -> str:
    """The address of a build."""
    keeping.post("/v1/cars", json={"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957})
    keeping.post("/v1/cars/c/builds", json={"id": "b", "use": "street"})
    return "/v1/builds/b"


def test_an_upload_in_pieces(keeping: FlaskClient, build: str, tmp_path: Path) -> None:
    content = picture()
    begun = keeping.post("/v1/uploads", headers={"Upload-Length": str(len(content))})
    where, half = begun.headers["Location"], len(content) // 2
    upload = where.rsplit("/", 1)[1]
    assert keeping.patch(where, data=content[:half], headers={"Upload-Offset": "0"}).headers["Upload-Offset"] == str(half)
    lost = keeping.patch(where, data=content[:half], headers={"Upload-Offset": "0"})
    assert (lost.status_code, lost.headers["Upload-Offset"]) == (409, str(half))
    assert keeping.head(where).headers["Upload-Offset"] == keeping.get(where).headers["Upload-Offset"] == str(half)
    assert keeping.post(f"{build}/photos", data={"upload": upload}).status_code == 409
    assert keeping.patch(where, data=content[half:] + b"x", headers={"Upload-Offset": str(half)}).status_code == 413
    assert keeping.patch(where, data=content[half:], headers={"Upload-Offset": str(half)}).status_code == 204
    made = keeping.post(f"{build}/photos", data={"upload": upload, "caption": "in pieces", "id": "p"})
    assert (made.status_code, keeping.get(f"/v1/photos/{made.json['id']}/received").data) == (201, content)
    assert keeping.head(where).status_code == 404
    assert list((tmp_path / "data" / "uploads").iterdir()) == []
    again = keeping.post(f"{build}/photos", data={"upload": upload, "caption": "in pieces", "id": "p"})
    assert (again.status_code, again.json) == (200, made.json)
    assert keeping.post(f"{build}/photos", data={"upload": upload}).status_code == 422


@pytest.mark.parametrize("headers", [{}, {"Upload-Length": "-1"}, {"Upload-Length": "x"}, {"Upload-Length": "0"}, {"Upload-Length": str(2**40)}])
def test_bad_uploads(keeping: FlaskClient, headers: dict[str, str]) -> None:
    assert keeping.post("/v1/uploads", headers=headers).status_code in (400, 413)
    assert keeping.patch("/v1/uploads/6f1c6a0e-0000-4000-8000-000000000000", data=b"x", headers={"Upload-Offset": "0"}).status_code == 404


def test_a_begin_is_retried_under_its_key(keeping: FlaskClient) -> None:
    first, again = (keeping.post("/v1/uploads", headers={"Upload-Length": "9", "Idempotency-Key": "k"}) for _ in range(2))
    assert (first.status_code, again.status_code) == (201, 201)
    assert all(first.headers[name] == again.headers[name] for name in ("Location", "Upload-Offset", "Upload-Length"))
    assert keeping.post("/v1/uploads", headers={"Upload-Length": "8", "Idempotency-Key": "k"}).status_code == 422


@pytest.mark.parametrize("upload", ["../records.sqlite3", "nothing", "/etc/hostname", ".", "x\n"])
def test_what_is_no_upload_is_refused(keeping: FlaskClient, build: str, upload: str) -> None:
    answer = keeping.post(f"{build}/photos", data={"upload": upload})
    assert (answer.status_code, answer.json["errors"][0]["pointer"]) == (422, "/upload")


def test_an_upload_is_given_up(keeping: FlaskClient) -> None:
    where = keeping.post("/v1/uploads", headers={"Upload-Length": "9"}).headers["Location"]
    assert keeping.delete(where).status_code == 204
    assert keeping.get(where).status_code == keeping.delete(where).status_code == 404


def test_pieces_sent_twice_at_once_are_added_once(keeping_app: Flask) -> None:
    content = os.urandom(400_000)
    where = keeping_app.test_client().post("/v1/uploads", headers={"Upload-Length": str(len(content))}).headers["Location"]

    def send(_: int) -> int:
        return keeping_app.test_client().patch(where, data=content, headers={"Upload-Offset": "0"}).status_code

    with ThreadPoolExecutor(4) as pool:
        answers = sorted(pool.map(send, range(4)))
    assert answers == [204, 409, 409, 409]
    uploads = keeping_app.extensions["asfitted"].uploads
    assert uploads.path(where.rsplit("/", 1)[1]).read_bytes() == content


def test_what_came_before_a_connection_dropped_stays(tmp_path: Path) -> None:
    uploads = Uploads(tmp_path)
    upload = uploads.begin(10)

    def dropping() -> Iterator[bytes]:
        yield b"abc"
        raise ConnectionError

    with pytest.raises(ConnectionError):
        uploads.add(upload, 0, dropping())
    # As another process finds it after a restart.
    again = Uploads(tmp_path)
    assert again.far(upload) == (3, 10)
    with pytest.raises(Elsewhere):
        again.add(upload, 0, [b"abcdefghij"])
    assert again.add(upload, 3, [b"defg", b"hij"]) == 10
    assert again.path(upload).read_bytes() == b"abcdefghij"


def test_abandoned_uploads_are_cleared(tmp_path: Path) -> None:
    uploads = Uploads(tmp_path)
    old, alive, new = uploads.begin(10), uploads.begin(10), uploads.begin(10)
    long_ago = time.time() - 8 * 86400
    for name in (old, f"{old}.length", f"{alive}.length"):
        os.utime(tmp_path / name, (long_ago, long_ago))
    assert uploads.drop_abandoned() == 2
    assert {path.name for path in tmp_path.iterdir()} == {alive, f"{alive}.length", new, f"{new}.length"}
