"""Reference: the vocabulary, the catalog of checks, the schema of build documents, health."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from functools import cache
from typing import Any

from flask import Blueprint, Response, current_app, request

from service.checks.answer import catalog
from service.document.json_schema import build_schema
from service.vocabulary import describe

blueprint = Blueprint("reference", __name__)


@cache
def _rendered(make: Callable[[], dict[str, Any]]) -> tuple[bytes, str]:
    """These pages change only with the program: rendered once, with an ETag for conditional GET."""
    text = json.dumps(make(), ensure_ascii=False).encode()
    return text, hashlib.sha256(text).hexdigest()[:32]


def _page(make: Callable[[], dict[str, Any]], content_type: str = "application/json") -> Response:
    text, tag = _rendered(make)
    response = Response(text, content_type=content_type)
    response.set_etag(tag)
    response.headers["Cache-Control"] = "no-cache"
    return response.make_conditional(request)  # type: ignore[return-value]


@blueprint.get("/v1/vocabulary")
def get_vocabulary() -> Response:
    """Every subject and field there is."""
    return _page(describe)


@blueprint.get("/v1/catalog")
def get_catalog() -> Response:
    """Every check there is."""
    return _page(catalog)


@blueprint.get("/v1/schema/build.json")
def get_schema() -> Response:
    """The JSON Schema of build documents."""
    return _page(build_schema, "application/schema+json")


@blueprint.get("/healthz")
def get_health() -> Response:
    """The process answers."""
    return Response('{"status": "ok"}', content_type="application/json")


@blueprint.get("/readyz")
def get_ready() -> Response:
    """The process can do its work: vocabulary and checks are loaded, the database answers."""
    catalog()
    store = current_app.extensions.get("asfitted")
    if store is not None:
        store.database.answers()
    return Response('{"status": "ready"}', content_type="application/json")
