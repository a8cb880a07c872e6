"""Health, figures and logs: what they say, to whom, and what they never say."""

from __future__ import annotations

import json
import logging
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from prometheus_client.parser import text_string_to_metric_families

from service.app import create_app
from service.logs import JsonLines

SECRETS = ("Hollis Quade", "quade@example.org", "s3cret-token", "green-apple")


def figures(client: FlaskClient) -> dict[str, Any]:
    """The figures as Prometheus' own reader reads them: name and labels -> value."""
    families = text_string_to_metric_families(client.get("/metrics").get_data(as_text=True))
    return {sample.name + "".join(f" {value}" for _, value in sorted(sample.labels.items())): sample.value for family in families for sample in family.samples}


def test_requests_are_counted_by_their_route(keeping: FlaskClient) -> None:
    keeping.get("/v1/cars/none")
    keeping.get("/v1/cars/other")
    keeping.get("/nowhere")
    found = figures(keeping)
    assert found["asfitted_requests_total GET /v1/cars/<car> 404"] == 2
    assert found["asfitted_requests_total none none 404"] == 1
    assert found["asfitted_request_seconds_count GET /v1/cars/<car>"] == 2
    assert found["asfitted_requests_under_way"] == 1
    assert found["asfitted_books queued"] == 0 and found["asfitted_disk_free_bytes"] > 0
    assert figures(keeping)["asfitted_requests_total GET /metrics 200"] == 1


def test_figures_are_for_this_machine(keeping: FlaskClient) -> None:
    refused = keeping.get("/metrics", environ_base={"REMOTE_ADDR": "192.0.2.7"})
    assert refused.status_code == 403 and "asfitted_" not in refused.text


@pytest.mark.parametrize("header", ["Forwarded", "X-Forwarded-For", "X-Real-IP", "Via"])
def test_what_is_passed_on_is_not_from_this_machine(keeping: FlaskClient, header: str) -> None:
    for address in ("/metrics", "/v1/cars"):
        assert keeping.get(address).status_code == 200
        assert keeping.get(address, headers={header: "127.0.0.1"}).status_code == 403


def test_ready_says_what_is_not(keeping_app: Flask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    client = keeping_app.test_client()
    assert client.get("/healthz").json == {"status": "ok"}
    assert client.get("/readyz").json == {"status": "ready"}
    store, press = keeping_app.extensions["asfitted"], keeping_app.extensions["asfitted_press"]

    def gone() -> None:
        raise OSError("no answer")

    for thing, name, says in ((store.database, "answers", "database"), (press.queue.storage, "queue_size", "queue")):
        with monkeypatch.context() as patch:
            patch.setattr(thing, name, gone)
            refused = client.get("/readyz")
            assert refused.status_code == 503 and says in refused.json["detail"] and refused.headers["Retry-After"] == "5"
            assert client.get("/healthz").status_code == 200
    with monkeypatch.context() as patch:
        patch.setattr(store, "folder", tmp_path / "gone")
        assert "data folder" in client.get("/readyz").json["detail"]


def test_without_a_folder_it_is_ready_too() -> None:
    client = create_app().test_client()
    assert client.get("/readyz").status_code == 200
    assert client.get("/metrics").status_code == 200


def lines_of(caplog: pytest.LogCaptureFixture) -> list[dict[str, Any]]:
    return [json.loads(JsonLines().format(record)) for record in caplog.records]


def test_a_request_is_one_line_that_tells_nobody(keeping: FlaskClient, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.INFO):
        keeping.post("/v1/cars", json={"id": "green-apple", "make": "Tarnock", "model": "Stookman", "year": 1957,
                                       "owner": {"name": "Hollis Quade", "contact": "quade@example.org"}},
                     headers={"Authorization": "Bearer s3cret-token"})
        answered = keeping.get("/v1/cars/green-apple?q=Hollis Quade")
    lines = [line for line in lines_of(caplog) if line["message"] == "request"]
    assert [(line["method"], line["route"], line["status"]) for line in lines] == [("POST", "/v1/cars", 201), ("GET", "/v1/cars/<car>", 200)]
    assert lines[1]["request"] == answered.headers["X-Request-Id"] and lines[1]["ms"] > 0
    assert not any(secret in json.dumps(lines_of(caplog)) for secret in SECRETS)


def test_an_error_is_told_by_its_kind_and_place_not_by_what_it_quotes(caplog: pytest.LogCaptureFixture) -> None:
    app = create_app()

    def broken() -> str:
        try:
            raise KeyError("Hollis Quade")
        except KeyError as error:
            raise ValueError("cannot take s3cret-token") from error

    app.add_url_rule("/broken", "broken", broken)
    with caplog.at_level(logging.INFO):
        answered = app.test_client().get("/broken")
    assert answered.status_code == 500 and not any(secret in answered.text for secret in SECRETS)
    line = next(line for line in lines_of(caplog) if line["level"] == "error")
    assert line["error"] == "ValueError"
    assert any("test_health.py" in place and "broken" in place for place in line["where"])
    assert not any(secret in json.dumps(lines_of(caplog)) for secret in SECRETS)


def test_the_readers_of_a_log_are_spared_line_breaks() -> None:
    record = logging.LogRecord("service.x", logging.WARNING, "", 1, "two\nlines %s", ("of\rtext",), None)
    assert len(JsonLines().format(record).splitlines()) == 1
