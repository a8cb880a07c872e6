"""Cars and builds."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from flask import Blueprint, Response, abort, request, url_for

from service.document import DocumentError, Problem, carrying, load
from service.document.one_record import judge_header
from service.storage import documents, search, things
from service.storage.models import BUILDS, CARS
from service.storage.things import SCOPES, Stale, Taken, Where
from service.web import paging
from service.web.body import read_json, read_patch
from service.web.described import PAGE, Call, Parameter, adding, changing, described, many, one
from service.web.kept import author, commit, database, must_match, once, present, reads_only, shown
from service.web.merge_patch import merged
from service.web.owner_view import owner_header

blueprint = Blueprint("cars", __name__, url_prefix="/v1")
_WHAT = {CARS: "car", BUILDS: "build"}
_Q = Parameter("q", "words that the car is found by: make, model, serial, owner …", example="ostrelle")


@blueprint.post("/cars")
@described(adding("car"))
@once
def post_car() -> Response:
    """Add a car."""
    body = _with_id(read_json())
    judge_header(car=body)
    return _create(things.car_at(body["id"]), body)


@blueprint.get("/cars")
@described(Call({200: many("car", "a page of cars")}, query=(_Q, *PAGE)))
def get_cars() -> Response:
    """Cars, in the order they were added; with `q` those found by its words, as typed first, then near to them."""
    size, query = paging.limit(), request.args.get("q", "")
    with database().reading() as connection:
        if query.strip():
            return _found_cars(connection, query, size)
        rows = things.listed(connection, SCOPES[CARS], CARS, size + 1, paging.after(int, str))
    return paging.page(rows, size, lambda row: row.body, lambda row: (row.place, row.id))


def _found_cars(connection: Any, query: str, size: int) -> Response:
    rows, _ = search.found(connection, query, CARS, size + 1, paging.after(int, int))
    return paging.page(rows, size, lambda item: item[1].body, lambda item: (item[0], item[1].number))


@blueprint.get("/cars/<car>")
@described(Call({200: one("car", "the car")}, problems=(410,)))
def get_car(car: str) -> Response:
    """One car."""
    return _get(CARS, car)


@blueprint.patch("/cars/<car>")
@described(changing("car"))
@once
def patch_car(car: str) -> Response:
    """Change a car (RFC 7396 merge patch)."""
    return _patch(CARS, car)


@blueprint.post("/cars/<car>/builds")
@described(adding("build", problems=(410,)))
@once
def post_build(car: str) -> Response:
    """Add a build of a car. `{"continues": "<build>"}` begins it from the as-fitted state of an earlier build of the car.

    Fitted parts, statements, joints, open fixes and what is absent come along, each naming in `came_from` the record it came from; what
    was measured comes along as a statement of then, no reading of now. `use` and `units` are those of then unless given. The new build's
    `visits` tell of the earlier ones.
    """
    with database().reading() as connection:
        present(things.find(connection, SCOPES[CARS], car), "car")
    body = _with_id(_without_car(read_json(), car))
    if not isinstance(body, dict) or not body.get("continues"):
        judge_header(build=body)
        return _create(things.build_at(body["id"], car), body)
    last = _last(car, body["continues"])
    body = carrying.header(last, body)
    judge_header(build=body)
    return _create(things.build_at(body["id"], car), body, carrying.records(last))


def _last(car: str, build: Any) -> Mapping[str, Any]:
    """The build of the car that another one continues, as it is now. Raises DocumentError when it is none of this car's."""
    with database().reading() as connection:
        row = things.find(connection, SCOPES[BUILDS], build) if isinstance(build, str) else None
        if row is None or row.car != car:
            raise DocumentError([Problem("/continues", f"the car {car} has no build of this id; its builds are at /v1/cars/{car}/builds")])
        return load(documents.export(connection, build))


@blueprint.get("/cars/<car>/builds")
@described(Call({200: many("build", "a page of builds")}, query=PAGE, problems=(410,)))
def get_builds(car: str) -> Response:
    """A car's builds, in the order they were added."""
    size, after = paging.limit(), paging.after(int, str)
    with database().reading() as connection:
        present(things.find(connection, SCOPES[CARS], car), "car")
        rows = things.builds_of(connection, car, size + 1, after)
    return paging.page(rows, size, _build_text, lambda row: (row.place, row.id))


@blueprint.get("/builds/<build>")
@described(Call({200: one("build", "the build")}, problems=(410,)))
def get_build(build: str) -> Response:
    """One build; `car` says of which car."""
    return _get(BUILDS, build)


@blueprint.patch("/builds/<build>")
@described(changing("build"))
@once
def patch_build(build: str) -> Response:
    """Change a build (RFC 7396 merge patch); `absent` lists what is deliberately not fitted."""
    return _patch(BUILDS, build)


def _with_id(body: Any) -> Any:
    """The body with an id; what is no object is left to be judged."""
    if isinstance(body, dict) and body.get("id") in (None, ""):
        return {"id": things.new_id(), **{key: value for key, value in body.items() if key != "id"}}
    if isinstance(body, dict) and isinstance(body["id"], str) and not things.good_id(body["id"]):
        raise DocumentError([Problem("/id", things.ID_RULE)])
    return body


def _without_car(body: Any, car: str) -> Any:
    if not isinstance(body, dict) or "car" not in body:
        return body
    if body["car"] != car:
        raise DocumentError([Problem("/car", f"a build stays with its car, {car}")])
    return {key: value for key, value in body.items() if key != "car"}


def _create(where: Where, body: Mapping[str, Any], records: Mapping[str, Sequence[Mapping[str, Any]]] | None = None) -> Response:
    """Keep a car or build, a build with the records that it begins with."""
    new = [(where, body), *((Where(where.id, name, record["id"], where.car), record) for name, held in (records or {}).items() for record in held)]

    def work(connection: Any) -> Response:
        things.create_all(connection, author(), new)
        search.note_all(connection, new)
        return shown(_text(where.list, where.car, things.as_text(body)), 1, 201, _address(where))

    try:
        return commit(work)
    except Taken:
        return _already(where, body)


def _already(where: Where, body: Mapping[str, Any]) -> Response:
    """The same thing sent twice is fine; another thing under its id is not."""
    with database().reading() as connection:
        row = present(things.find(connection, where.scope, where.id), _WHAT[where.list])
    if json.loads(row.body) != body or row.car != where.car:
        abort(409, f"the id {where.id} is already that of another {_WHAT[where.list]}")
    return shown(_text(where.list, row.car, row.body), row.number, 200, _address(where))


def _address(where: Where) -> str:
    return url_for("cars.get_car", car=where.id) if where.list == CARS else url_for("cars.get_build", build=where.id)


def _build_text(row: Any) -> str:
    return _text(BUILDS, row.car, row.body)


def _text(name: str, car: str, body: str) -> str:
    """A build says of which car it is. A reader is given the owner's view."""
    if name == CARS and not reads_only():
        return body
    shown = json.loads(body)
    if reads_only():
        shown = owner_header(_WHAT[name], shown)
    return things.as_text(shown if name == CARS else {"car": car, **shown})


def _get(name: str, id: str) -> Response:
    with database().reading() as connection:
        row = present(things.find(connection, SCOPES[name], id), _WHAT[name])
    return shown(_text(name, row.car, row.body), row.number)


def _patch(name: str, id: str) -> Response:
    patch = read_patch()
    with database().reading() as connection:
        row = present(things.find(connection, SCOPES[name], id), _WHAT[name])
    must_match(row)
    body = merged(json.loads(row.body), _without_car(patch, row.car) if name == BUILDS else patch)
    if isinstance(body, dict) and body.get("id") != id:
        raise DocumentError([Problem("/id", "an id stays as it is")])
    if isinstance(body, dict) and name == BUILDS and body.get("continues") != json.loads(row.body).get("continues"):
        raise DocumentError([Problem("/continues", "a build goes on from what it began with; begin another build to continue another")])
    judge_header(**{_WHAT[name]: body})

    def work(connection: Any) -> Response:
        number = things.change(connection, author(), row, body)
        search.note(connection, Where(row.scope, row.list, row.id, row.car), body)
        return shown(_text(name, row.car, things.as_text(body)), number)

    try:
        return commit(work)
    except Stale:
        abort(412, "someone else has changed this meanwhile; GET it again")
