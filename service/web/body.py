"""Reading request bodies."""

from __future__ import annotations

from typing import Any

from flask import abort, request

from service.document import parse


def read_json() -> Any:
    """The request's JSON body. Aborts with 415 for another content type; DocumentError for broken JSON."""
    if request.mimetype not in ("application/json", "application/merge-patch+json"):
        abort(415, "send JSON with the header Content-Type: application/json")
    return parse(request.get_data(cache=False))
