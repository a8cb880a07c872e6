"""The phone's pages: a shell that works without a network, and the little that it wants to know before it goes without one."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import cache
from typing import Any

from flask import Blueprint, Response, abort

from service.checks.readiness.items import TITLES
from service.document.titles import written
from service.settings import ROOT
from service.storage import things
from service.storage.models import BUILDS, CARS
from service.storage.things import SCOPES
from service.vocabulary import describe
from service.web.described import Answer, Call, Content, described
from service.web.documents import answer_of, exported
from service.web.kept import database
from service.web.named import named
from service.web.paging import conditional
from service.web.unchanging import tag_of, unchanging

blueprint = Blueprint("capture", __name__, url_prefix="/capture")
_FOLDER = ROOT / "templates" / "capture"
_TYPES = {".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml",
          ".png": "image/png", ".webmanifest": "application/manifest+json", ".txt": "text/plain; charset=utf-8"}
#: Pictures that were taken a moment ago are shown from the phone's own memory (`blob:`); everything else is from here.
_POLICY = ("default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
           "base-uri 'none'; form-action 'self'; frame-ancestors 'none'")
#: The service worker asks anew for itself and keeps the others.
_WORKER = "worker.js"
_BUILDS_SHOWN = 400
#: Lists whose records a photograph may show, newest first on the phone.
_SHOWN_IN_PHOTOS = ("fixes", "parts", "measurements", "fasteners")
_FASTENER = ("id", "joint", "system", "thread", "class", "count", "specified_torque", "applied_torque", "recheck_after", "rechecked_at")
_FINDING = ("check", "position", "title", "system", "verdict", "safety", "summary")
_LIST = {"type": "array", "items": {"type": "object"}}
_KINDS = tuple(sorted({kind.partition(";")[0] for kind in _TYPES.values()}))
_FILE = Call({200: Answer("the file", Content({"type": "string"}, types=_KINDS), ("ETag",))}, open=True)


@cache
def _files() -> Mapping[str, bytes]:
    """The files of the shell by their names below the folder."""
    return {file.relative_to(_FOLDER).as_posix(): file.read_bytes() for file in sorted(_FOLDER.rglob("*")) if file.suffix in _TYPES}


@cache
def _version() -> str:
    """One name for the shell and the vocabulary as they are now: a phone that holds another one takes these."""
    seen = hashlib.sha256(json.dumps(describe()).encode())
    for name, text in _files().items():
        seen.update(name.encode() + b"\n" + text)
    return seen.hexdigest()[:16]


@cache
def _content(name: str) -> tuple[bytes, str]:
    text = _files()[name]
    if name == _WORKER:
        kept = ["/capture/", *(f"/capture/{file}" for file in _files() if file not in (_WORKER, "index.html") and not file.endswith((".txt", ".png")))]
        text = text.replace(b"{version}", _version().encode()).replace(b'["{files}"]', json.dumps([*kept, "/v1/vocabulary"]).encode())
    return text, tag_of(text)


@blueprint.get("/")
@described(Call({200: Answer("the page", Content({"type": "string"}, types=("text/html",)), ("ETag",))}, open=True))
def get_capture() -> Response:
    """The page for the phone in the shop. It shows nothing of anyone before the phone is paired."""
    return _file("index.html")


@blueprint.get("/<path:file>")
@described(_FILE)
def get_capture_file(file: str) -> Response:
    """A file of that page."""
    if file not in _files():
        abort(404, "there is no such file")
    return _file(file)


def _file(name: str) -> Response:
    response = unchanging(*_content(name), _TYPES[name[name.rindex("."):]])
    response.headers["Content-Security-Policy"] = _POLICY
    return response


@blueprint.get("/builds")
@described(Call({200: Answer("the builds", Content(_LIST), ("ETag",))}))
def get_open_builds() -> Response:
    """The cars in the shop: builds that are not delivered, the newest first, each with its car."""
    with database().reading() as connection:
        rows = things.newest(connection, SCOPES[BUILDS], BUILDS, _BUILDS_SHOWN, wanted_body=lambda body: not body.get("delivered_on"))
        cars = {row.id: json.loads(row.body) for row in things.find_all(connection, SCOPES[CARS], [row.car for row in rows])}
    builds = [(json.loads(row.body), cars[row.car]) for row in rows]
    return _told([_named(build, car) for build, car in builds])


def _named(build: Mapping[str, Any], car: Mapping[str, Any]) -> dict[str, Any]:
    return {"build": build["id"], "car": f"{car['year']} {car['make']} {car['model']}", "title": build.get("title") or build["use"],
            "units": build.get("units") or "us"}


@blueprint.get("/builds/<build>")
@described(Call({200: Answer("how it stands", Content({"type": "object"}), ("ETag",))}, problems=(404, 422)))
def get_state(build: str) -> Response:
    """A build as the phone needs it: what to measure next, findings in a sentence each, values as fitted, joints, open fixes."""
    document = exported(build)
    return _told(_state(document, answer_of(document)))


def _state(document: Mapping[str, Any], answer: Mapping[str, Any]) -> dict[str, Any]:
    titles = {_address(item): item["title"] for item in answer["results"]}
    return {
        **_named(document["build"], document["car"]),
        "next": [{"fact": item["fact"], "title": item["title"], "how": item["how"], "safety": item["safety"],
                  "waits": list(dict.fromkeys(titles[name] for name in item["unlocks"]))} for item in answer["measure_next"]],
        "findings": [_only(item, _FINDING) for item in answer["results"]],
        "facts": {item["fact"]: _last(item) for item in answer["facts"]},
        "joints": [_only(item, _FASTENER) for item in document.get("fasteners") or ()],
        "fixes": [_only(item, ("id", "title", "problem", "cause", "after")) for item in document.get("fixes") or () if item.get("status") != "resolved"],
        "parts": [{"words": named("parts", item), **_only(item, ("id", "status", "notes"))} for item in document.get("parts") or ()],
        "tasks": [{**_only(item, ("id", "title", "done_at")), "estimate": written(item.get("estimate"))} for item in document.get("tasks") or ()],
        "signs": _signs(document, answer),
        "absent": list(document.get("absent") or ()),
        "records": [{"id": item["id"], "list": name, "words": named(name, item)} for name in _SHOWN_IN_PHOTOS for item in reversed(document.get(name) or ())],
    }


def _last(fact: Mapping[str, Any]) -> str:
    """A value as it was recorded last; one of an earlier visit says so."""
    carried = fact["from"].get("carried")
    return f"{fact['printed']}, {carried}" if carried else str(fact["printed"])


def _signs(document: Mapping[str, Any], answer: Mapping[str, Any]) -> list[dict[str, Any]]:
    """What has to be signed, each with why it is not, if it is not."""
    why = {reason.partition(": ")[0]: reason.partition(": ")[2] for reason in answer["ready"]["because"]}
    return [{"item": item, "title": title, **({"why": why[title]} if title in why else {})} for item, title in TITLES.items()]


def _address(item: Mapping[str, Any]) -> str:
    return f"{item['check']}@{item['position']}" if item["position"] else str(item["check"])


def _only(item: Mapping[str, Any], keys: tuple[str, ...]) -> dict[str, Any]:
    return {key: item[key] for key in keys if item.get(key) not in (None, "")}


def _told(body: Any) -> Response:
    return conditional(Response(json.dumps(body, ensure_ascii=False, separators=(",", ":")), content_type="application/json"))
