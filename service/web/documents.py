"""Builds as documents, and the checks on what is kept."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from flask import Blueprint, Response, abort, url_for

from service.checks.answer import answer, what_if
from service.document import DocumentError, Problem, load
from service.document.changes import judge_changes
from service.storage import documents
from service.storage.things import Taken
from service.web.body import computed, read_json
from service.web.described import Answer, Call, Content, described, one
from service.web.kept import author, commit, database, once, reads_only
from service.web.owner_view import owner_view
from service.web.paging import conditional
from service.web.problems import problem

blueprint = Blueprint("documents", __name__, url_prefix="/v1")


@blueprint.get("/builds/<build>/document")
@described(Call({200: one("document", "the build as it is now")}))
def get_document(build: str) -> Response:
    """The build as one document: the form for archives, exchange and books. A reader is given the owner's view of it."""
    document = exported(build)
    text = json.dumps(owner_view(document) if reads_only() else document, ensure_ascii=False, separators=(",", ":"))
    return conditional(Response(text, content_type="application/json"))


@blueprint.post("/documents")
@described(Call({201: Answer("it is kept", Content("taken"), ("Location",)), 200: Answer("the same is kept already", Content("taken"), ("Location",))},
                takes=Content("document", "document"), problems=(409,), once=True))
@once
def post_document() -> Response:
    """Take a document in: 201 new, 200 when the same is kept already, 409 with what differs (nothing is overwritten)."""
    raw = read_json()
    loaded = load(raw)

    def work(connection: Any) -> Response:
        taken = documents.take(connection, author(), raw, loaded)
        if taken.differing:
            abort(_differs(taken))
        location = url_for("cars.get_build", build=taken.build)
        text = json.dumps({"car": taken.car, "build": taken.build, "new": taken.new}, ensure_ascii=False)
        return Response(text, 201 if taken.new else 200, {"Location": location}, content_type="application/json")

    try:
        return commit(work)
    except Taken:
        # Two of the same came in at once: the second is judged against the first.
        return commit(work)


def _differs(taken: documents.Imported) -> Response:
    count = len(taken.differing)
    return problem(409, f"{count} thing{'s differ' if count > 1 else ' differs'} from what is kept of build {taken.build}; nothing was changed",
                   [{"pointer": item.pointer, "detail": item.detail} for item in taken.differing])


@blueprint.get("/builds/<build>/checks")
@described(Call({200: one("answer", "the whole answer")}, problems=(422,)))
def get_build_checks(build: str) -> Response:
    """Check the build as it is now."""
    document = exported(build)
    text = checked(json.dumps(owner_view(document) if reads_only() else document, ensure_ascii=False))
    return conditional(Response(text, content_type="application/json"))


def answer_of(document: Mapping[str, Any]) -> dict[str, Any]:
    """The whole answer for a document that `exported` gave."""
    found: dict[str, Any] = json.loads(checked(json.dumps(document, ensure_ascii=False)))
    return found


@lru_cache(maxsize=16)
def checked(document: str) -> str:
    """The answer for a document; asking again while nothing has changed costs no second run."""
    return json.dumps(answer(load(json.loads(document))), ensure_ascii=False, separators=(",", ":"))


@blueprint.post("/builds/<build>/what-if")
@described(Call({200: Answer("the answer, with what changed", Content("what_if_answer"))}, takes=Content("changes", "changes")))
def post_build_what_if(build: str) -> Response:
    """Check the build with some facts replaced: `{"changes": {"fact": value}}`. Nothing is kept."""
    body = read_json()
    if not isinstance(body, dict) or set(body) != {"changes"}:
        raise DocumentError([Problem("", 'an object with "changes" is wanted, for example {"changes": {"driveshaft.outer_diameter": "4 in"}}')])
    document = load(exported(build))
    problems = [Problem(f"/changes{item.pointer}", item.detail) for item in judge_changes(document, body["changes"])]
    if problems:
        raise DocumentError(problems)
    return computed(what_if(document, body["changes"]))


def exported(build: str) -> Mapping[str, Any]:
    """The build's document. Aborts with 404 when there is no such build."""
    with database().reading() as connection:
        document = documents.export(connection, build)
    if document is None:
        abort(404, "there is no such build")
    return document
