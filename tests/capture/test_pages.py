"""The shell and what it asks for, without a browser."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from PIL import Image

from service.app import create_app
from service.settings import ROOT, Settings
from tests.capture.shop import BUILD, document
from tests.kept import sqlite_url

FOLDER = ROOT / "templates" / "capture"
SHELL = sorted(file.relative_to(FOLDER).as_posix() for file in FOLDER.rglob("*") if file.is_file())


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FlaskClient]:
    folder = tmp_path_factory.mktemp("data")
    app = create_app(Settings(data=folder, database=sqlite_url(folder), open=True))
    made = app.test_client()
    assert made.post("/v1/documents", json=document()).status_code == 201
    yield made
    app.extensions["asfitted"].database.close()


@pytest.mark.parametrize("file", ["", *SHELL])
def test_every_file_is_served_and_may_do_little(client: FlaskClient, file: str) -> None:
    answer = client.get(f"/capture/{file}")
    assert answer.status_code == 200
    policy = answer.headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'; script-src 'self'; style-src 'self';")
    assert "unsafe" not in policy
    assert client.get(f"/capture/{file}", headers={"If-None-Match": answer.headers["ETag"]}).status_code == 304


def test_nothing_else_is_served(client: FlaskClient) -> None:
    assert client.get("/capture/nothing.js").status_code == 404
    assert client.get("/capture/../desk/desk.js").status_code == 404
    assert client.get("/capture/builds/nothing").status_code == 404


def test_the_page_asks_for_its_first_modules_at_once_and_the_phone_keeps_all(client: FlaskClient) -> None:
    """A module that is found only by another's import would cost one more way to the shop and back."""
    page = client.get("/capture/").get_data(as_text=True)
    worker = client.get("/capture/worker.js").get_data(as_text=True)
    kept = json.loads(re.search(r"FILES = (\[.*\]);", worker)[1])  # type: ignore[index]
    for module in (name for name in SHELL if name.endswith(".js") and name != "worker.js"):
        assert f"/capture/{module}" in kept, module
    for module in first_modules("main.js"):
        assert f'"/capture/{module}"' in page, module
    assert {"/capture/", "/capture/capture.css", "/v1/vocabulary"} <= set(kept)
    assert re.search(r'NAME = "as-fitted-capture [0-9a-f]{16}"', worker)


def first_modules(name: str) -> set[str]:
    """A module and all that it imports before it runs."""
    found = {name}
    for other in re.findall(r'^import .* from "\./(.+)";$', (FOLDER / name).read_text(), re.MULTILINE):
        found |= first_modules(other)
    return found


def test_it_can_be_installed(client: FlaskClient) -> None:
    manifest = json.loads(client.get("/capture/capture.webmanifest").data)
    assert manifest["start_url"] == manifest["scope"] == "/capture/"
    for icon in manifest["icons"]:
        data = client.get(icon["src"]).data
        if icon["type"] == "image/png":
            assert "x".join(map(str, Image.open(io.BytesIO(data)).size)) == icon["sizes"]


def test_the_builds_in_the_shop(client: FlaskClient) -> None:
    assert client.get("/capture/builds").get_json() == [{"build": BUILD, "car": "1954 Tarnock Stookman", "title": "Farm pickup become a tow rig", "units": "us"}]


def test_a_build_as_the_phone_needs_it(client: FlaskClient) -> None:
    answer = client.get(f"/v1/builds/{BUILD}/checks").get_json()
    found = client.get(f"/capture/builds/{BUILD}").get_json()
    assert [item["fact"] for item in found["next"]] == [item["fact"] for item in answer["measure_next"]]
    assert len(found["findings"]) == len(answer["results"])
    assert found["facts"] == {item["fact"]: item["printed"] for item in answer["facts"]}
    waiting = found["next"][0]
    named = {item["title"] for item in answer["results"] if waiting["fact"] in (*item["missing"], *item.get("lacking", ()))}
    assert set(waiting["waits"]) == named
    assert {item["joint"] for item in found["joints"]} == {item["joint"] for item in document()["fasteners"]}


def test_the_vendored_library_has_its_license() -> None:
    assert "ISC License" in Path(FOLDER / "vendor" / "idb-LICENSE.txt").read_text()
    assert (FOLDER / "vendor" / "idb.js").read_text().startswith("// idb 8.")
