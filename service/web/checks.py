"""Stateless checks: a build document in, the whole answer out."""

from __future__ import annotations

from typing import Any

from flask import Blueprint
from flask.typing import ResponseReturnValue

from service.checks.answer import answer, what_if
from service.document import DocumentError, Problem, load
from service.document.changes import judge_changes
from service.web.body import computed, read_json
from service.web.described import Answer, Call, Content, described

blueprint = Blueprint("checks", __name__, url_prefix="/v1")


@blueprint.post("/checks")
@described(Call({200: Answer("the whole answer", Content("answer", "answer"))}, takes=Content("document", "document")))
def post_checks() -> ResponseReturnValue:
    """Check a build document."""
    return computed(answer(load(read_json())))


@blueprint.post("/what-if")
@described(Call({200: Answer("the answer, with what changed", Content("what_if_answer"))}, takes=Content("what_if_document", "what_if_document")))
def post_what_if() -> ResponseReturnValue:
    """Check a build document with some facts replaced: `{"document": …, "changes": {"fact": value}}`."""
    body = read_json()
    document, changes = _pair(body)
    return computed(what_if(document, changes))


def _pair(body: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    if not isinstance(body, dict) or set(body) - {"document", "changes"} or "document" not in body:
        raise DocumentError([Problem("", 'an object with "document" and "changes" is wanted')])
    problems: list[Problem] = []
    document: dict[str, Any] = {}
    try:
        document = load(body["document"])
    except DocumentError as error:
        problems.extend(Problem(f"/document{item.pointer}", item.detail) for item in error.problems)
    changes = body.get("changes", {})
    problems.extend(Problem(f"/changes{item.pointer}", item.detail) for item in judge_changes(document, changes))
    if problems:
        raise DocumentError(problems)
    return document, changes
