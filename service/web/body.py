"""Reading request bodies, and answering what was computed from them."""

from __future__ import annotations

from typing import Any

from flask import Response, abort, jsonify, request

from service.document import DocumentError, Problem, parse


def read_json() -> Any:
    """The request's JSON body. Aborts with 415 for another content type; DocumentError for broken JSON."""
    if request.mimetype not in ("application/json", "application/merge-patch+json"):
        abort(415, "send JSON with the header Content-Type: application/json")
    return parse(request.get_data(cache=False))


def read_patch() -> dict[str, Any]:
    """The merge patch that was sent: what is kept here are objects, so it is one. Raises DocumentError when it is not, as `read_json` else."""
    patch = read_json()
    if not isinstance(patch, dict):
        raise DocumentError([Problem("", 'an object with what changes is wanted, for example {"notes": "read twice"}')])
    return patch


def computed(value: Any) -> Response:
    """What was computed, as JSON. It holds no secret, and says so: an answer that says nothing is taken for one that does."""
    response = jsonify(value)
    response.headers["Cache-Control"] = "no-cache"
    return response
