"""Photographs and papers over HTTP."""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image, ImageOps
from werkzeug.test import TestResponse

from service.app import create_app
from service.settings import DEMO_BUILDS, Settings
from tests.kept import sqlite_url
from tests.pictures.made import OWNER, bomb, pdf, picture


@pytest.fixture
def build(keeping: FlaskClient) -> str:
    """The address of a build with one part."""
    keeping.post("/v1/cars", json={"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957})
    keeping.post("/v1/cars/c/builds", json={"id": "b", "use": "street"})
    keeping.post("/v1/builds/b/parts", json={"id": "shaft", "kind": "driveshaft"})
    return "/v1/builds/b"


def send(client: FlaskClient, where: str, content: bytes, name: str = "x.bin", headers: Any = None, **said: Any) -> TestResponse:
    return client.post(where, data={"file": (io.BytesIO(content), name), **said}, headers=headers)


def upright(content: bytes) -> Image.Image:
    return ImageOps.exif_transpose(Image.open(io.BytesIO(content)))


def files(tmp_path: Path) -> list[Path]:
    return [path for path in (tmp_path / "data" / "files").rglob("*") if path.is_file()]


def test_a_photograph_is_kept_byte_for_byte_and_shown_clean(keeping: FlaskClient, build: str) -> None:
    content = picture(orientation=6)
    made = send(keeping, f"{build}/photos", content, caption="The shaft", of="shaft")
    sha256 = hashlib.sha256(content).hexdigest()
    assert made.status_code == 201
    assert made.json == {"id": made.json["id"], "file": f"photos/{sha256}.jpg", "sha256": sha256, "caption": "The shaft", "of": ["shaft"],
                         "taken_at": "2026-03-02T14:30:00-06:00"}
    received = keeping.get(f"/v1/photos/{made.json['id']}/received")
    assert (received.data, received.content_type) == (content, "image/jpeg")
    assert received.headers["Content-Disposition"] == f'attachment; filename="{sha256[:12]}.jpg"'
    original = keeping.get(f"/v1/photos/{made.json['id']}/original")
    assert OWNER.encode() not in original.data
    assert upright(original.data).tobytes() == upright(content).tobytes()
    for size, long in (("large", 1200), ("medium", 600), ("small", 320)):
        answer = keeping.get(f"/v1/photos/{made.json['id']}/{size}")
        assert (answer.status_code, answer.content_type) == (200, "image/jpeg")
        assert OWNER.encode() not in answer.data
        image = Image.open(io.BytesIO(answer.data))
        assert max(image.size) == long and image.height > image.width
        assert keeping.get(f"/v1/photos/{made.json['id']}/{size}", headers={"If-None-Match": answer.headers["ETag"]}).status_code == 304
    assert keeping.get(f"{build}/photos").json == [made.json]
    assert keeping.get(f"{build}/document").json["photos"] == [made.json]


def test_the_same_photograph_twice_is_one(keeping: FlaskClient, build: str, tmp_path: Path) -> None:
    first, again = (send(keeping, f"{build}/photos", picture()) for _ in range(2))
    assert (first.status_code, again.status_code, again.json) == (201, 200, first.json)
    other = send(keeping, f"{build}/photos", picture(), caption="seen twice")
    assert (other.status_code, other.json["sha256"]) == (201, first.json["sha256"])
    assert send(keeping, f"{build}/photos", picture(), id="another").status_code == 201
    assert send(keeping, f"{build}/photos", picture(), id="another").status_code == 200
    assert len(files(tmp_path)) == 4
    assert keeping.get("/v1/photos/another/small").status_code == 200


def test_the_same_photograph_twice_at_once_is_one(keeping_app: Flask, keeping: FlaskClient, build: str) -> None:
    with ThreadPoolExecutor(4) as pool:
        answers = list(pool.map(lambda _: send(keeping_app.test_client(), f"{build}/photos", picture()).status_code, range(4)))
    assert sorted(answers) == [200, 200, 200, 201]
    assert len(keeping.get(f"{build}/photos").json) == 1


@pytest.mark.parametrize(("said", "words"), [({"caption": "another"}, "something else"), ({}, "another file")])
def test_an_id_stays_with_what_it_is_of(keeping: FlaskClient, build: str, said: dict[str, str], words: str) -> None:
    send(keeping, f"{build}/photos", picture(), id="p", caption="first")
    answer = send(keeping, f"{build}/photos", picture() if said else picture(size=(640, 480)), id="p", **said)
    assert (answer.status_code, words in answer.json["detail"]) == (409, True)
    keeping.delete(f"{build}/photos/p", headers={"If-Match": "*"})
    assert "retracted" in send(keeping, f"{build}/photos", picture(), id="p").json["detail"]


def test_a_retry_under_a_key_is_one(keeping: FlaskClient, build: str) -> None:
    answers = [send(keeping, f"{build}/photos", picture(), caption="a", headers={"Idempotency-Key": "k"}) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [201, 201]
    assert send(keeping, f"{build}/photos", picture(), caption="b", headers={"Idempotency-Key": "k"}).status_code == 422
    assert len(keeping.get(f"{build}/photos").json) == 1


@pytest.mark.parametrize(("content", "said", "status"), [
    (b"<html>not a picture</html>", {}, 422), (pdf(), {}, 422), (b"GIF89a" + b"\0" * 100, {}, 422), (b"", {}, 422), (bomb(), {}, 422), (picture()[:3000], {}, 422),
    (picture(), {"of": "nothing"}, 422), (picture(), {"colour": "red"}, 422), (picture(), {"taken_at": "yesterday"}, 422), (picture(), {"id": "a/b"}, 422),
    (picture(), {"id": "shaft"}, 409), (picture(), {"of": "[1, 2]"}, 422),
], ids=["html", "pdf", "gif", "empty", "bomb", "cut", "of nothing", "unknown field", "no time", "bad id", "taken id", "of numbers"])
def test_what_is_refused(keeping: FlaskClient, build: str, content: bytes, said: dict[str, str], status: int) -> None:
    answer = send(keeping, f"{build}/photos", content, "photo.jpg", **said)
    assert (answer.status_code, answer.content_type) == (status, "application/problem+json")
    assert keeping.get(f"{build}/photos").json == []


def test_a_file_is_wanted_and_not_too_large(keeping: FlaskClient, build: str) -> None:
    assert keeping.post(f"{build}/photos", data={"caption": "x"}).status_code == 422
    assert keeping.post(f"{build}/photos", json={"caption": "x"}).status_code == 422
    two = keeping.post(f"{build}/photos", data={"file": [(io.BytesIO(picture()), "x"), (io.BytesIO(picture(size=(64, 48))), "y")]})
    assert (two.status_code, two.json["errors"][0]["detail"]) == (422, "one file at a time: each is a record of its own")
    assert keeping.post(f"{build}/photos", data={"photo": (io.BytesIO(picture()), "x")}).json["errors"][0]["pointer"] == "/photo"
    assert keeping.get(f"{build}/photos").json == []
    large = send(keeping, f"{build}/photos", picture() + b"\0" * (41 * 2**20))
    assert (large.status_code, large.json["detail"]) == (413, "up to 40 MB are taken in here")
    assert send(keeping, "/v1/builds/none/photos", picture()).status_code == 404


def test_a_paper_shows_its_first_page(keeping: FlaskClient, build: str) -> None:
    made = send(keeping, f"{build}/papers", pdf(), title="Power run", kind="power run", edition="owner", of=json.dumps(["shaft"]))
    assert (made.status_code, made.json["kind"], made.json["file"].endswith(".pdf")) == (201, "power run", True)
    page = keeping.get(f"/v1/papers/{made.json['id']}/medium")
    assert page.content_type == "image/jpeg"
    received = keeping.get(f"/v1/papers/{made.json['id']}/received")
    assert (received.data, received.content_type) == (pdf(), "application/pdf")
    original = keeping.get(f"/v1/papers/{made.json['id']}/original")
    assert (original.data[:5], original.content_type, OWNER.encode() in original.data) == (b"%PDF-", "application/pdf", False)
    assert send(keeping, f"{build}/papers", pdf(), kind="poem", id="p2").status_code == 422


def test_what_is_said_can_change_and_the_file_cannot(keeping: FlaskClient, build: str) -> None:
    where = send(keeping, f"{build}/photos", picture()).headers["Location"]
    changed = keeping.patch(where, json={"caption": "better"}, headers={"If-Match": '"1"'})
    assert changed.json["caption"] == "better"
    assert keeping.patch(where, json={"sha256": "0" * 64}, headers={"If-Match": '"2"'}).status_code == 422
    assert keeping.delete(f"{where}?reason=blurred", headers={"If-Match": '"2"'}).status_code == 204
    assert keeping.get(f"/v1/photos/{changed.json['id']}/large").status_code == 410
    assert keeping.get(f"{where}/revisions").json[-1]["reason"] == "blurred"


def test_a_document_and_its_photographs_come_in_one_after_the_other(keeping: FlaskClient) -> None:
    path = next(iter(sorted(DEMO_BUILDS.glob("oskervik-langtur-touring-wagon.json"))))
    document = json.loads(path.read_text(encoding="utf-8"))
    build = keeping.post("/v1/documents", json=document).headers["Location"]
    photo = document["photos"][0]
    where = f"/v1/photos/{photo['id']}/large?build={document['build']['id']}"
    assert keeping.get(where).status_code == 404
    content = (path.parents[1] / photo["file"]).read_bytes()
    assert send(keeping, f"{build}/photos", content, id=photo["id"]).status_code == 200
    assert keeping.get(where).status_code == 200
    assert keeping.get(f"{build}/document").json == document


def test_an_id_in_two_builds_asks_which(keeping: FlaskClient, build: str) -> None:
    keeping.post("/v1/cars/c/builds", json={"id": "b2", "use": "street"})
    send(keeping, f"{build}/photos", picture(), id="p")
    assert keeping.get("/v1/photos/p/small").status_code == 200
    send(keeping, "/v1/builds/b2/photos", picture(size=(640, 480)), id="p")
    assert keeping.get("/v1/photos/p/small").status_code == 409
    assert Image.open(io.BytesIO(keeping.get("/v1/photos/p/large?build=b2").data)).size == (640, 480)


def test_sizes_that_were_lost_are_made_again(keeping: FlaskClient, build: str, tmp_path: Path) -> None:
    id = send(keeping, f"{build}/photos", picture()).json["id"]
    before = keeping.get(f"/v1/photos/{id}/small").data
    for path in files(tmp_path):
        if "original" not in path.parts:
            path.unlink()
    assert keeping.get(f"/v1/photos/{id}/small").data == before


def test_a_file_that_was_lost_is_told_and_mended_by_sending_it_again(keeping: FlaskClient, build: str, tmp_path: Path) -> None:
    id = send(keeping, f"{build}/photos", picture()).json["id"]
    for path in files(tmp_path):
        path.unlink()
    for size in ("original", "received", "small"):
        answer = keeping.get(f"/v1/photos/{id}/{size}")
        assert (answer.status_code, "send it again" in answer.json["detail"]) == (404, True)
    assert send(keeping, f"{build}/photos", picture(), id=id).status_code == 200
    assert keeping.get(f"/v1/photos/{id}/received").data == picture()
    assert keeping.get(f"/v1/photos/{id}/small").status_code == 200


def test_a_build_with_its_files_moves_to_another_service_and_is_equal(keeping: FlaskClient, build: str, tmp_path: Path) -> None:
    photo = send(keeping, f"{build}/photos", picture("HEIF"), caption="The shaft", of="shaft").json
    paper = send(keeping, f"{build}/papers", pdf(), title="Power run", kind="power run", edition="owner").json
    document = keeping.get(f"{build}/document").json
    with opened_store(tmp_path / "other") as other:
        assert other.post("/v1/documents", json=document).status_code == 201
        for name, record in (("photos", photo), ("papers", paper)):
            received = keeping.get(f"/v1/{name}/{record['id']}/received").data
            assert hashlib.sha256(received).hexdigest() == record["sha256"]
            # Known by its hash alone: no id is said.
            assert send(other, f"{build}/{name}", received).json["id"] == record["id"]
            assert other.get(f"/v1/{name}/{record['id']}/small").data == keeping.get(f"/v1/{name}/{record['id']}/small").data
        assert other.get(f"{build}/document").json == document
        assert other.post("/v1/documents", json=document).status_code == 200


@contextmanager
def opened_store(folder: Path) -> Iterator[FlaskClient]:
    """A client of another service."""
    app = create_app(Settings(data=folder, database=sqlite_url(folder), open=True))
    yield app.test_client()
    app.extensions["asfitted"].database.close()


@pytest.mark.parametrize("disposition", ["form-data", 'form-data; filename="x.jpg"'])
def test_a_part_without_a_name_is_told(keeping: FlaskClient, build: str, disposition: str) -> None:
    body = f"--edge\r\nContent-Disposition: {disposition}\r\n\r\nx\r\n--edge\r\nContent-Disposition: form-data; name=\"caption\"\r\n\r\ny\r\n--edge--\r\n"
    answer = keeping.post(f"{build}/photos", data=body.encode(), content_type="multipart/form-data; boundary=edge", headers={"Idempotency-Key": "k"})
    assert answer.status_code == 400
    assert "no name" in answer.get_json()["detail"]
