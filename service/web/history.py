"""A car's history: every build and every change of a record, oldest first, each event sealed in the one after it."""

from __future__ import annotations

import json
from typing import Any

from flask import Blueprint, Response, abort, request

from service.document.titles import title_of
from service.storage import chain, things
from service.storage.models import CARS
from service.storage.things import SCOPES
from service.web import paging
from service.web.described import JSON, PAGE, Answer, Call, Content, Parameter, described
from service.web.kept import database, present

blueprint = Blueprint("history", __name__, url_prefix="/v1")


_FORM = Parameter("format", "json, or lines: the sealed lines themselves", {"type": "string", "enum": ["json", "lines"], "default": "json"})
_LIST = {"type": "array", "items": {"$ref": "#/components/schemas/event"}}
_EVENTS = Answer("a page of events, oldest first", Content(_LIST, types=(JSON, paging.LINES)), ("ETag", "Link"))


@blueprint.get("/cars/<car>/history")
@described(Call({200: _EVENTS}, query=(_FORM, *PAGE), problems=(410,)))
def get_history(car: str) -> Response:
    """A car's builds and events, oldest first: who did what when, with the hash of the record and of the event before.

    `format=lines` gives the sealed lines themselves: the SHA-256 of a line, newline included, is `previous` of the next.
    """
    size, after = paging.limit(), paging.after(int)
    form = request.args.get("format", "json")
    if form not in ("json", "lines"):
        abort(400, "format is json or lines")
    with database().reading() as connection:
        present(things.find(connection, SCOPES[CARS], car), "car")
        rows = things.of_car(connection, car, size + 1, after[0] if after else 0)
    if form == "lines":
        return paging.page(rows, size, lambda row: chain.line(_event(row)), lambda row: (row.event,), lines=True)
    return paging.page(rows, size, _event_text, lambda row: (row.event,))


def _event(row: Any) -> chain.Event:
    return things.event_of(row._mapping)


def _event_text(row: Any) -> str:
    """The sealed line's object, with its own hash and the record's title beside."""
    beside = {"hash": row.hash, "title": title_of(row.list, json.loads(row.body))}
    return f"{chain.line(_event(row))[:-2]},{things.as_text(beside)[1:]}"
