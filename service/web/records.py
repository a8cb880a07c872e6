"""The records of a build: parts, specs, measurements, fixes, fasteners, tasks, drives, signoffs, earlier visits."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

from flask import Blueprint, Response, abort, request

from service.document import DocumentError, Problem
from service.document.load import load_record
from service.document.one_record import CROWDED, names_of
from service.storage import search, things
from service.storage.models import BUILDS, RETRACTED
from service.storage.things import SCOPES, Stale, Taken, Where
from service.web import paging
from service.web.body import read_json, read_patch
from service.web.described import PAGE, REASON, Answer, Call, adding, changing, described, many, one
from service.web.kept import author, commit, database, must_match, once, present, shown, store
from service.web.merge_patch import merged

blueprint = Blueprint("records", __name__, url_prefix="/v1/builds/<build>")
LISTS = ("parts", "specs", "measurements", "fixes", "fasteners", "tasks", "drives", "signoffs", "visits")
_WHAT = {"parts": "part", "specs": "spec", "measurements": "measurement", "fixes": "fix", "fasteners": "fastener", "tasks": "task",
         "drives": "drive", "signoffs": "sign-off", "photos": "photo", "papers": "paper", "visits": "visit"}
_RECORD_LIST = f"<any({', '.join(LISTS)}):name>"
_ANY_LIST = f"<any({', '.join(_WHAT)}):name>"
_MOST_CARS_KNOWN = 50_000


@blueprint.post(f"/{_RECORD_LIST}")
@described(adding("{one}"))
@once
def post_record(build: str, name: str) -> Response:
    """Add a record; it is judged exactly as it would be in a document."""
    body = _with_id(read_json())
    where = Where(build, name, body["id"] if isinstance(body, dict) and isinstance(body.get("id"), str) else "", car_of(build))
    alone = _stands_alone(name, body)
    if alone:
        judge(where, body)

    def work(connection: Any) -> Response:
        if not alone:
            judge(where, body, connection)
        text = things.as_text(body)
        things.create(connection, author(), where, body)
        search.note_all(connection, [(where, body)])
        return shown(text, 1, 201, address(where))

    try:
        return commit(work)
    except Taken:
        return _already(where, body)


@blueprint.get(f"/{_ANY_LIST}")
@described(Call({200: many("{one}", "a page of {name}")}, query=PAGE))
def get_records(build: str, name: str) -> Response:
    """A list's records, in the order they were added."""
    car_of(build)
    size, after = paging.limit(), paging.after(int, str)
    with database().reading() as connection:
        rows = things.listed(connection, build, name, size + 1, after)
    return paging.page(rows, size, lambda row: row.body, lambda row: (row.place, row.id))


@blueprint.get(f"/{_ANY_LIST}/<record>")
@described(Call({200: one("{one}", "the {one}")}, problems=(410,)))
def get_record(build: str, name: str, record: str) -> Response:
    """One record."""
    row = _kept(build, name, record)
    return shown(row.body, row.number)


@blueprint.patch(f"/{_ANY_LIST}/<record>")
@described(changing("{one}"))
@once
def patch_record(build: str, name: str, record: str) -> Response:
    """Change a record (RFC 7396 merge patch); what it was is kept as a revision."""
    patch = read_patch()
    row = _kept(build, name, record)
    must_match(row)
    body = merged(json.loads(row.body), patch)
    where = Where(build, name, record, row.car)
    _judge_fixed(name, json.loads(row.body), body)

    def work(connection: Any) -> Response:
        judge(where, body, connection)
        number = things.change(connection, author(), row, body)
        search.note(connection, where, body)
        return shown(things.as_text(body), number)

    try:
        return commit(work)
    except Stale:
        abort(412, "someone else has changed this meanwhile; GET it again")


@blueprint.delete(f"/{_ANY_LIST}/<record>")
@described(Call({204: Answer("it is retracted")}, query=(REASON,), problems=(409, 410), matches=True, once=True))
@once
def delete_record(build: str, name: str, record: str) -> Response:
    """Retract a record; what was there is kept. Other records must not name it any more."""
    row = _kept(build, name, record)
    must_match(row)

    def work(connection: Any) -> Response:
        things.one_at_a_time(connection, build)
        _unnamed(connection, build, record)
        things.retract(connection, author(), row, request.args.get("reason"))
        search.forget(connection, Where(build, name, record, row.car))
        return Response(status=204)

    try:
        return commit(work)
    except Stale:
        abort(412, "someone else has changed this meanwhile; GET it again")


@blueprint.get(f"/{_ANY_LIST}/<record>/revisions")
@described(Call({200: many("revision", "its revisions, oldest first")}))
def get_revisions(build: str, name: str, record: str) -> Response:
    """What a record was, oldest first: when, by whom, from which device, and why it was retracted."""
    with database().reading() as connection:
        rows = things.revisions(connection, build, record)
    if not rows or rows[0].list != name:
        abort(404, f"there is no such {_WHAT[name]}")
    return paging.page(rows, len(rows), _revision_text, lambda row: (row.number,))


def _revision_text(row: Any) -> str:
    return things.as_text({"revision": row.number, "action": row.action, "at": row.at, "by": row.by, "device": row.device, "reason": row.reason,
                           "record": json.loads(row.body)})


def car_of(build: str) -> str:
    """The car of a build. Aborts with 404 when there is no such build. A build stays with its car and is never dropped."""
    known = store().cars
    if build not in known:
        with database().reading() as connection:
            row = present(things.find(connection, SCOPES[BUILDS], build), "build")
        if len(known) >= _MOST_CARS_KNOWN:
            known.clear()
        known[build] = row.car
    return known[build]


def _kept(build: str, name: str, record: str) -> Any:
    with database().reading() as connection:
        row = things.find(connection, build, record)
    return present(row if row is not None and row.list == name else None, _WHAT[name])


def _with_id(body: Any) -> Any:
    if isinstance(body, dict) and body.get("id") in (None, ""):
        return {"id": things.new_id(), **{key: value for key, value in body.items() if key != "id"}}
    return body


def _stands_alone(name: str, body: Any) -> bool:
    """Whether a record can be judged without looking at others of its build."""
    return name not in CROWDED and not (isinstance(body, dict) and names_of(name, body))


def judge(where: Where, body: Any, connection: Any = None) -> None:
    """Judge a record; with a writing connection, among those of its build, which then stay as they are until it is kept.

    Raises DocumentError with its problems.
    """
    problems = []
    if isinstance(body, dict):
        if body.get("id") != where.id:
            problems.append(Problem("/id", "an id stays as it is" if where.id else "an id is text, in quotes"))
        elif not things.good_id(where.id):
            problems.append(Problem("/id", things.ID_RULE))
    others = _others(connection, where, body) if connection is not None and isinstance(body, dict) else []
    try:
        load_record(where.list, body, others)
    except DocumentError as error:
        problems.extend(item for item in error.problems if item.pointer != "/id" or not problems)
    if problems:
        raise DocumentError(problems)


def _others(connection: Any, where: Where, body: Mapping[str, Any]) -> list[tuple[str, Mapping[str, Any]]]:
    """The records that a record names or may collide with."""
    things.one_at_a_time(connection, where.scope)
    rows = {row.id: row for row in things.find_all(connection, where.scope, names_of(where.list, body))}
    if where.list in CROWDED:
        rows.update({row.id: row for row in things.listed(connection, where.scope, where.list)})
    return [(row.list, json.loads(row.body)) for row in rows.values() if row.id != where.id]


def _judge_fixed(name: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
    """The file of a photograph or paper is what was taken in; what is said about it can change."""
    if name in ("photos", "papers"):
        fixed = [key for key in ("file", "sha256") if before.get(key) != after.get(key)]
        if fixed:
            raise DocumentError([Problem(f"/{key}", "the file stays as it was taken in; post another one") for key in fixed])


def _unnamed(connection: Any, build: str, record: str) -> None:
    """Raises a conflict when a record of the build still names this one: the document would not hold together."""
    naming = [row for row in things.whole_scope(connection, build) if row.id != record and record in names_of(row.list, json.loads(row.body))]
    if naming:
        abort(409, "it is still named by " + ", ".join(f"{row.list}/{row.id}" for row in naming[:5]) + "; take it out there first")


def _already(where: Where, body: Mapping[str, Any]) -> Response:
    """The same record sent twice is fine; another one under its id is not."""
    with database().reading() as connection:
        row: Any = things.find(connection, where.scope, where.id)
    if row.action == RETRACTED:
        abort(409, f"the id {where.id} is that of a record that was retracted; a new record needs a new id")
    if row.list != where.list or json.loads(row.body) != body:
        abort(409, f"the id {where.id} is already that of another record of this build ({row.list}); ids are unique in a build")
    return shown(row.body, row.number, 200, address(where))


def address(where: Where) -> str:
    """Where a record is found."""
    return f"{request.script_root}/v1/builds/{quote(where.scope, safe='')}/{where.list}/{quote(where.id, safe='')}"
