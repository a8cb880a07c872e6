"""How the service is: whether it runs, whether it can work, what it has done."""

from __future__ import annotations

import logging
import shutil
import time
import uuid
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any

from flask import Blueprint, Flask, Response, abort, current_app, g, request
from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, ProcessCollector, generate_latest
from prometheus_client.exposition import CONTENT_TYPE_LATEST

from service.checks.answer import catalog
from service.storage import books
from service.web.described import Answer, Call, Content, described
from service.web.problems import problem
from service.web.source import from_this_machine

blueprint = Blueprint("health", __name__)
_log = logging.getLogger(__name__)
_STATE = Call({200: Answer("it is so", Content("state", {"status": "ok"}))}, open=True)
_SECONDS = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0)
_NO_ROUTE = "none"
_EXTENSION = "asfitted_measures"


class Measures:
    """What is counted, of one application."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        ProcessCollector(registry=self.registry)
        self.requests = Counter("asfitted_requests", "Requests answered", ("method", "route", "status"), registry=self.registry)
        self.seconds = Histogram("asfitted_request_seconds", "Time to answer, in seconds", ("method", "route"), buckets=_SECONDS, registry=self.registry)
        self.under_way = Gauge("asfitted_requests_under_way", "Requests being answered", registry=self.registry)
        self.books = Gauge("asfitted_books", "Books in each state", ("state",), registry=self.registry)
        self.room = Gauge("asfitted_disk_free_bytes", "Room on the disk of the data folder", registry=self.registry)


def register(app: Flask) -> None:
    """Count, time, name and log the application's requests."""
    app.extensions[_EXTENSION] = Measures()
    app.before_request(_begin)
    app.after_request(_end)
    app.teardown_request(_over)
    app.register_blueprint(blueprint)


def _begin() -> None:
    g.began, g.request_id = time.perf_counter(), uuid.uuid4().hex[:16]
    current_app.extensions[_EXTENSION].under_way.inc()
    g.under_way = True


def _end(response: Response) -> Response:
    """Only the route's template is told: an address holds ids, a query holds what was looked for."""
    if "began" not in g:
        return response
    seconds, route = time.perf_counter() - g.began, request.url_rule.rule if request.url_rule else _NO_ROUTE
    measures: Measures = current_app.extensions[_EXTENSION]
    method = request.method if request.url_rule else _NO_ROUTE
    measures.requests.labels(method, route, str(response.status_code)).inc()
    measures.seconds.labels(method, route).observe(seconds)
    response.headers["X-Request-Id"] = g.request_id
    _log.info("request", extra={"fields": {"request": g.request_id, "method": method, "route": route, "status": response.status_code,
                                           "ms": round(seconds * 1000, 1)}})
    return response


def _over(_error: BaseException | None) -> None:
    if g.pop("under_way", False):
        current_app.extensions[_EXTENSION].under_way.dec()


@blueprint.get("/healthz")
@described(_STATE)
def get_health() -> Response:
    """The process answers."""
    return Response('{"status": "ok"}', content_type="application/json")


@blueprint.get("/readyz")
@described(Call({200: Answer("it is ready", Content("state", {"status": "ready"}))}, problems=(503,), open=True))
def get_ready() -> Response:
    """The process can do its work: checks are loaded, the database answers, the data folder takes files, the queue takes books."""
    catalog()
    wrong = _wrong()
    if wrong:
        response = problem(503, "not ready: " + "; ".join(wrong))
        response.headers["Retry-After"] = "5"
        return response
    return Response('{"status": "ready"}', content_type="application/json")


def _wrong() -> list[str]:
    store, press = current_app.extensions.get("asfitted"), current_app.extensions.get("asfitted_press")
    found = []
    if store is not None:
        try:
            store.database.answers()
        except Exception as error:  # noqa: BLE001 - each kind of database has errors of its own
            found.append(f"the database does not answer ({type(error).__name__})")
        if not _takes_files(store.folder):
            found.append("the data folder takes no files")
    return [*found, *filter(None, (press.ready() if press is not None else None,))]


def _takes_files(folder: Path) -> bool:
    try:
        with TemporaryFile(dir=folder) as file:
            file.write(b"ready")
            file.flush()
    except OSError:
        return False
    return True


@blueprint.get("/metrics")
@described(Call({200: Answer("the figures, in the text format of Prometheus", Content({"type": "string"}, types=("text/plain",)))}, problems=(403,), open=True))
def get_metrics() -> Response:
    """What was answered and how fast, how many books there are, how much room is left; nothing of cars or people. For this machine only."""
    if not from_this_machine():
        abort(403, "the figures are for the machine that the service runs on")
    measures: Measures = current_app.extensions[_EXTENSION]
    store = current_app.extensions.get("asfitted")
    if store is not None:
        _look(measures, store)
    response = Response(generate_latest(measures.registry), content_type=CONTENT_TYPE_LATEST)
    response.headers["Cache-Control"] = "no-store"
    return response


def _look(measures: Measures, store: Any) -> None:
    with store.database.reading() as connection:
        for state, number in books.count(connection).items():
            measures.books.labels(state).set(number)
    measures.room.set(shutil.disk_usage(store.folder).free)
