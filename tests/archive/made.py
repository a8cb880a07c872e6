"""A small car with a past: two builds, changes, a retraction, a photograph, a paper."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from flask.testing import FlaskClient

from service.app import create_app
from service.settings import Settings
from service.storage.store import Store
from tests.pictures.made import pdf, picture

CAR = "c"


@contextmanager
def kept(folder: Path, database: str | None = None) -> Iterator[tuple[FlaskClient, Store]]:
    """A service with its store, closed afterwards."""
    app = create_app(Settings(data=folder, database=database, open=True))
    try:
        yield app.test_client(), app.extensions["asfitted"]
    finally:
        app.extensions["asfitted"].database.close()


def live(client: FlaskClient) -> None:
    """Write the car's past."""
    assert client.post("/v1/cars", json={"id": CAR, "make": "Tarnock", "model": "Stookman", "year": 1957, "owner": {"name": "Ilse Tröge"}}).status_code == 201
    for build, use in (("b1", "street"), ("b2", "touring")):
        assert client.post(f"/v1/cars/{CAR}/builds", json={"id": build, "use": use}).status_code == 201
        client.post(f"/v1/builds/{build}/parts", json={"id": "shaft", "kind": "driveshaft", "specs": {"length": "58 in"}})
        made = client.post(f"/v1/builds/{build}/measurements", json={"id": "m", "fact": "driveshaft.length", "value": "57 7/8 in"})
        client.patch(made.headers["Location"], json={"notes": "read twice"}, headers={"If-Match": made.headers["ETag"]})
        made = client.post(f"/v1/builds/{build}/fixes", json={"id": "f", "title": "Shaft rubs the tunnel", "system": "driveline"})
        client.delete(made.headers["Location"] + "?reason=another+car", headers={"If-Match": made.headers["ETag"]})
    sent = client.post("/v1/builds/b1/photos", data={"id": "p", "file": (io.BytesIO(picture(size=(400, 300))), "x.jpg"), "caption": "The shaft", "of": "shaft"})
    assert sent.status_code == 201, sent.json
    assert client.post("/v1/builds/b1/papers", data={"id": "w", "file": (io.BytesIO(pdf()), "w.pdf"), "title": "Weights"}).status_code == 201
