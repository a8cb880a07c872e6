"""The desk's pages: the builds, one build from top to bottom, a record with its revisions, a what-if, the search."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from flask import Blueprint, Response, abort, request, send_from_directory

from service.checks.answer import answer, what_if
from service.checks.readiness.items import TITLES
from service.document import load
from service.document.changes import judge_changes
from service.document.records import LISTS
from service.settings import THEMES
from service.storage import books, search, things
from service.storage.models import BUILDS, CARS
from service.storage.things import SCOPES
from service.vocabulary import KINDS
from service.web.described import Answer, Call, Content, Parameter, described
from service.web.desk import rendering, standing
from service.web.desk.entry import WORDS
from service.web.documents import answer_of, exported
from service.web.found import Standing
from service.web.kept import database, etag, present
from service.web.search import entry

blueprint = Blueprint("desk", __name__, url_prefix="/desk")
_FACT = (Parameter("fact", "the fact to change"), Parameter("value", "what it would be; nothing takes it away"))
_PAGE = Call({200: Answer("the page", Content({"type": "string"}, types=("text/html",)))}, problems=(401, 403))
_FILES = ("desk.css", "desk.js", "call.js", "books.js", "links.js", "devices.js", "form.js", "ways.js", "retract.js")
_HERE_SHOWN = 15
_GONE_SHOWN = 40
_FOUND_SHOWN = 100
_BEGUN_SHOWN = 5
#: Lists whose records are shown one by one, in the order in which a reader asks for them.
_TITLES = {"fixes": "Fixes", "measurements": "Measurements", "fasteners": "Joints and torques", "parts": "Parts", "tasks": "Steps of the plan",
           "drives": "Drives", "signoffs": "Signatures", "specs": "Specifications", "photos": "Photographs", "papers": "Papers", "visits": "Earlier visits"}


@blueprint.get("/")
@described(Call(_PAGE.gives, query=(Parameter("here", "those in the shop that were made before this place"),
                                   Parameter("gone", "those handed over that were made before this place")), problems=(401, 403)))
def get_builds_page() -> Response:
    """The builds: those in the shop and how far each is from the road, those that were handed over; newest first."""
    here, gone = _place("here"), _place("gone")
    first = here is None and gone is None
    return rendering.page("builds.html", here=_page_of(_HERE_SHOWN, here, delivered=False) if gone is None else ([], None),
                          gone=_page_of(_GONE_SHOWN, gone, delivered=True) if here is None else ([], None),
                          first=first, begun=_without_build() if first else [])


def _without_build() -> list[dict[str, Any]]:
    """Those of the last cars entered that have no build: whoever stopped there finds them again."""
    with database().reading() as connection:
        rows = things.newest(connection, SCOPES[CARS], CARS, _BEGUN_SHOWN, None)
        return [{**json.loads(row.body), "id": row.id} for row in rows if not things.builds_of(connection, row.id, 1)]


def _place(name: str) -> int | None:
    given = request.args.get(name, "")[:18]
    return int(given) if given.isascii() and given.isdigit() else None


def _page_of(size: int, before: int | None, *, delivered: bool) -> tuple[list[dict[str, Any]], int | None]:
    """One page of builds, and the place from which the next goes on, if there is one."""
    with database().reading() as connection:
        rows = things.newest(connection, SCOPES[BUILDS], BUILDS, size + 1, before, lambda body: bool(body.get("delivered_on")) is delivered)
        cars = {row.id: json.loads(row.body) for row in things.find_all(connection, SCOPES[CARS], [row.car for row in rows])}
    return [_listed(row, cars[row.car]) for row in rows[:size]], rows[size - 1].place if len(rows) > size else None


def _listed(row: Any, car: Mapping[str, Any]) -> dict[str, Any]:
    build = json.loads(row.body)
    state = None if build.get("delivered_on") else _state(json.dumps(exported(row.id), ensure_ascii=False))
    return {"car": car, "build": {**build, "id": row.id}, "state": state, "left": standing.days_to(build.get("promised_on"), dt.date.today())}


@lru_cache(maxsize=256)
def _state(document: str) -> standing.Standing:
    """How far a build is, from the plain run; asking again while nothing has changed costs no second run."""
    return standing.standing(answer(load(json.loads(document)), full=False))


@blueprint.get("/cars/<car>")
@described(_PAGE)
def get_car_page(car: str) -> Response:
    """A car and its builds."""
    with database().reading() as connection:
        row = present(things.find(connection, SCOPES[CARS], car), "car")
        builds = things.builds_of(connection, car, _FOUND_SHOWN)
    return rendering.page("car.html", car=json.loads(row.body), builds=[json.loads(item.body) for item in builds])


@blueprint.get("/builds/<build>")
@described(_PAGE)
def get_build_page(build: str) -> Response:
    """One build: what stands between it and the road, what to do next, findings, plan, records, book."""
    document = exported(build)
    found = answer_of(document)
    with database().reading() as connection:
        made = books.of_build(connection, build)
    return rendering.page(
        "build.html", document=document, answer=found, stand=standing.standing(found), systems=standing.by_system(found["results"]),
        steps=standing.steps_left(document, found), schedule=[item for item in found["results"] if item["system"] == "schedule"],
        awaited=[part for part in document.get("parts") or () if part.get("status") in ("wanted", "ordered", "received")],
        left=standing.days_to(document["build"].get("promised_on"), dt.date.today()), lists=[(name, document.get(name) or []) for name in _TITLES],
        facts=addresses(found), anchor=standing.anchor, titles=_TITLES, singles=WORDS, items={title: item for item, title in TITLES.items()},
        books=made, themes=THEMES, address=request.host_url)


def addresses(found: Mapping[str, Any]) -> list[str]:
    """The facts that a what-if may be about: those recorded, and those that are missing."""
    return sorted({*(item["fact"] for item in found["facts"]), *(item["fact"] for item in found["measure_next"]), "build.use"})


@blueprint.get("/builds/<build>/what-if")
@described(Call({**_PAGE.gives, 422: Answer("the page, with what would be right", _PAGE.gives[200].content)}, query=_FACT, problems=(401, 403)))
def get_what_if(build: str) -> Response:
    """Which findings change if a fact were another, before the part is ordered."""
    fact, value = request.args.get("fact", "").strip(), request.args.get("value", "").strip()
    document = exported(build)
    loaded = load(document)
    changes = {fact: _typed(fact, value)} if fact else {}
    problems = list(judge_changes(loaded, changes))
    found = what_if(loaded, changes) if changes and not problems else None
    return rendering.page("what_if.html", 422 if problems else 200, document=document, fact=fact, value=value, problems=problems, found=found,
                          facts=addresses(answer_of(document)), better=[] if found is None else _sorted(found["changed"]))


def _typed(fact: str, value: str) -> Any:
    """What was typed, as the wire has it: nothing takes a fact away, and a list or a number of a field without a unit is JSON."""
    if not value:
        return None
    kind = KINDS.get(fact.partition(".")[0])
    field = kind.by_name.get(fact.partition(".")[2].partition("@")[0]) if kind else None
    if field is not None and field.dimension == "ratios":
        return [item.strip() for item in value.strip("[]").split(",")]
    if field is not None and field.dimension == "integer" and value.isdigit():
        return int(value)
    return value


def _sorted(changed: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Changed verdicts before changed figures."""
    return sorted(changed, key=lambda item: (item["before"] or {}).get("verdict") == (item["after"] or {}).get("verdict"))


@blueprint.get(f"/builds/<build>/<any({', '.join(LISTS)}):name>/<record>")
@described(_PAGE)
def get_record_page(build: str, name: str, record: str) -> Response:
    """A record and what it was before."""
    document = exported(build)
    with database().reading() as connection:
        rows = things.revisions(connection, build, record)
    if not rows or rows[0].list != name:
        abort(404, "there is no such record")
    return rendering.page("record.html", document=document, name=name, rows=_compared(rows), record=json.loads(rows[-1].body), retracted=rows[-1],
                          tag=etag(rows[-1].number))


@blueprint.get("/devices")
@described(_PAGE)
def get_devices_page() -> Response:
    """The devices that may ask, and a code to pair one more."""
    return rendering.page("devices.html")


@blueprint.get("/search")
@described(Call(_PAGE.gives, query=(Parameter("q", "the words to look for", example="radiator"),), problems=(401, 403)))
def get_search_page() -> Response:
    """What was found over all cars, slips of the pen forgiven."""
    query = request.args.get("q", "")[:200]
    found: list[dict[str, Any]] = []
    if query.strip():
        with database().reading() as connection:
            rows, asked = search.found(connection, query, limit=_FOUND_SHOWN)
            around = Standing(connection, (row for _, row in rows))
        found = [entry(part, row, around, asked.terms()) for part, row in rows]
    return rendering.page("search.html", query=query, found=found)


def _compared(rows: Any) -> list[dict[str, Any]]:
    """Revisions, newest first, each with what it changed."""
    found: list[dict[str, Any]] = []
    before: Mapping[str, Any] = {}
    for row in rows:
        body = json.loads(row.body)
        keys = [key for key in dict.fromkeys([*before, *body]) if key != "id" and before.get(key) != body.get(key)]
        found.append({"row": row, "changes": [(key, before.get(key), body.get(key)) for key in keys]})
        before = body
    return found[::-1]


@blueprint.get("/files/<file>")
@described(Call({200: Answer("the file", Content({"type": "string"}, types=("text/css", "text/javascript")), ("ETag",))}, open=True))
def get_desk_file(file: str) -> Response:
    """A file of the desk's pages."""
    if file not in _FILES:
        abort(404, "there is no such file")
    response = send_from_directory(rendering.FOLDER, file)
    response.headers["Cache-Control"] = "no-cache"
    return response
