"""Search over all cars: what was found, and where it stands."""

from __future__ import annotations

import json
from typing import Any

from flask import Blueprint, Response, abort, request

from service.document.titles import title_of
from service.storage import search, things, words
from service.web import paging
from service.web.described import PAGE, Call, Parameter, described, many
from service.web.found import Standing, address
from service.web.kept import database

blueprint = Blueprint("search", __name__, url_prefix="/v1")


_QUERY = (
    Parameter("q", "the words to look for, as typed", example="radiator", required=True),
    Parameter("list", "find entries of this list only", {"type": "string", "enum": list(words.SEARCHED)}),
)


@blueprint.get("/search")
@described(Call({200: many("found", "a page of what was found")}, query=(*_QUERY, *PAGE)))
def get_search() -> Response:
    """Cars, builds and records that have every word of `q`: owner, serial, VIN, part number, maker, thread, symptom, any words written.

    Those with the words as typed come first, those with a slip forgiven (`near`) after them, in both the last changed first.
    `list` asks for one list only.
    """
    size, query, only = paging.limit(), request.args.get("q", ""), request.args.get("list")
    if not query.strip():
        abort(400, "q says what to look for, for example q=radiator")
    if only is not None and only not in words.SEARCHED:
        abort(400, f"list is one of {', '.join(words.SEARCHED)}")
    with database().reading() as connection:
        rows, asked = search.found(connection, query, only, size + 1, paging.after(int, int))
        standing = Standing(connection, (row for _, row in rows[:size]))
    terms = asked.terms()
    return paging.page(rows, size, lambda item: things.as_text(entry(item[0], item[1], standing, terms)), lambda item: (item[0], item[1].number))


def entry(part: int, row: Any, standing: Standing, terms: list[str]) -> dict[str, Any]:
    """One thing found, with where it stands and the words that it was found by."""
    body = json.loads(row.body)
    key, snippet = words.spot(row.list, body, terms) or (None, "")
    return {"list": row.list, "id": row.id, "title": title_of(row.list, body), "near": part == search.NEAR, "in": key, "snippet": snippet,
                           "car": standing.car(row), "build": standing.build(row), "address": address(row), "at": row.at}
