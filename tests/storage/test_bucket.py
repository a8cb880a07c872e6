"""Photographs and papers in an S3 bucket, on a server that speaks S3 on this machine (moto)."""

from __future__ import annotations

import hashlib
import io
import logging
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import boto3
import pytest
from flask.testing import FlaskClient
from moto.server import ThreadedMotoServer

from service.app import create_app
from service.settings import Settings
from service.storage.files import Away, Folder
from service.storage.orphans import collect
from tests.kept import sqlite_url
from tests.pictures.made import picture


@pytest.fixture(scope="module")
def bucket() -> Iterator[ThreadedMotoServer]:
    """A server with the bucket `shop`, and the environment that names it."""
    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    host, port = server.get_host_and_port()
    named = {"AWS_ACCESS_KEY_ID": "shop", "AWS_SECRET_ACCESS_KEY": "shop", "AWS_REGION": "us-east-1", "AWS_ENDPOINT_URL": f"http://{host}:{port}",
             "AWS_ALLOW_HTTP": "true"}
    with pytest.MonkeyPatch.context() as patch:
        for name, value in named.items():
            patch.setenv(name, value)
        boto3.client("s3", endpoint_url=named["AWS_ENDPOINT_URL"], region_name="us-east-1").create_bucket(Bucket="shop")
        yield server
        server.stop()


def keys() -> set[str]:
    found = boto3.client("s3").list_objects_v2(Bucket="shop").get("Contents", [])
    return {item["Key"] for item in found}


@pytest.fixture
def client(bucket: ThreadedMotoServer, tmp_path: Path) -> Iterator[FlaskClient]:
    """A client of an application that keeps its records here and its files in the bucket."""
    app = create_app(Settings(data=tmp_path, database=sqlite_url(tmp_path), files=f"s3://shop/{tmp_path.name}", open=True))
    client = app.test_client()
    client.post("/v1/cars", json={"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957})
    client.post("/v1/cars/c/builds", json={"id": "b", "use": "street"})
    yield client
    app.extensions["asfitted"].database.close()


def send(client: FlaskClient, content: bytes, **said: str) -> tuple[int, str]:
    answer = client.post("/v1/builds/b/photos", data={"file": (io.BytesIO(content), "x"), **said})
    return answer.status_code, answer.json.get("id", "")


def test_a_photograph_is_kept_in_the_bucket_once_and_comes_back(client: FlaskClient, tmp_path: Path) -> None:
    content = picture()
    sha256 = hashlib.sha256(content).hexdigest()
    status, id = send(client, content)
    assert (status, send(client, content, caption="again")[0]) == (201, 201)
    assert {key for key in keys() if key.startswith(tmp_path.name)} == {f"{tmp_path.name}/{size}/{sha256[:2]}/{sha256}"
                                                                         for size in ("original", "large", "medium", "small")}
    assert client.get(f"/v1/photos/{id}/received").data == content
    assert client.get(f"/v1/photos/{id}/small").data[:2] == b"\xff\xd8"


def test_what_no_record_names_is_collected_there_too(client: FlaskClient, tmp_path: Path) -> None:
    _, id = send(client, picture())
    store = client.application.extensions["asfitted"]
    store.files.keep("0" * 64, io.BytesIO(b"left behind"), {"small": b"\xff\xd8\xff\xd9"})
    assert collect(store) == 0
    assert collect(store, timedelta(hours=-1)) == 1
    assert list(store.files.originals(datetime.now(UTC) + timedelta(hours=1))) == [hashlib.sha256(picture()).hexdigest()]
    assert client.get(f"/v1/photos/{id}/received").data == picture()


def test_a_bucket_that_does_not_answer_is_told(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    send(client, picture(), id="p")
    monkeypatch.setenv("AWS_ENDPOINT_URL", "http://127.0.0.1:9")
    store = client.application.extensions["asfitted"]
    store.files = Folder("s3://shop/away")
    with pytest.raises(Away):
        store.files.original("0" * 64)
    answer = client.post("/v1/builds/b/photos", data={"file": (io.BytesIO(picture(size=(640, 480))), "x")})
    assert (answer.status_code, answer.content_type, answer.headers["Retry-After"]) == (503, "application/problem+json", "30")
    assert len(client.get("/v1/builds/b/photos").json) == 1
