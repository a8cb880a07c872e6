"""Reference: the vocabulary, the catalog of checks, the schema of build documents, the interface itself."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from flask import Blueprint, Response, current_app, send_from_directory
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from service.checks.answer import catalog
from service.document.json_schema import build_schema
from service.settings import ROOT
from service.vocabulary import describe
from service.vocabulary.core import SYSTEMS
from service.web.described import Answer, Call, Content, described, one
from service.web.openapi import openapi
from service.web.unchanging import tag_of, unchanging

blueprint = Blueprint("reference", __name__)
_PAGES = ROOT / "templates" / "reference"
_OBJECT = {"type": "object"}


def _page_call(meaning: str, kind: str = "text/html") -> Call:
    return Call({200: Answer(meaning, Content({"type": "string"}, types=(kind,)), ("ETag",))}, open=True)


_REFERENCE = Call({200: one(_OBJECT, "all of it")}, open=True)


def _rendered(make: Callable[[], dict[str, Any] | str]) -> tuple[bytes, str]:
    """These pages change only with the program: rendered once by an application, with an ETag for conditional GET."""
    pages: dict[Any, tuple[bytes, str]] = current_app.extensions.setdefault("asfitted-pages", {})
    if make not in pages:
        made = make()
        text = (made if isinstance(made, str) else json.dumps(made, ensure_ascii=False)).encode()
        pages[make] = text, tag_of(text)
    return pages[make]


def _page(make: Callable[[], dict[str, Any] | str], content_type: str = "application/json") -> Response:
    return unchanging(*_rendered(make), content_type)


@blueprint.get("/v1/vocabulary")
@described(_REFERENCE)
def get_vocabulary() -> Response:
    """Every subject and field there is."""
    return _page(describe)


@blueprint.get("/v1/catalog")
@described(_REFERENCE)
def get_catalog() -> Response:
    """Every check there is."""
    return _page(catalog)


@blueprint.get("/v1/schema/build.json")
@described(Call({200: Answer("the schema", Content(_OBJECT, types=("application/schema+json",)), ("ETag",))}, open=True))
def get_schema() -> Response:
    """The JSON Schema of build documents."""
    return _page(build_schema, "application/schema+json")


@blueprint.get("/v1/openapi.json")
@described(_REFERENCE)
def get_openapi() -> Response:
    """This interface, described (OpenAPI 3.1)."""
    return _page(_described)


@blueprint.get("/v1/openapi.html")
@described(_page_call("the page"))
def get_openapi_page() -> Response:
    """This interface, described for people."""
    return _page(_interface_page, "text/html; charset=utf-8")


@blueprint.get("/v1/vocabulary.html")
@described(_page_call("the page"))
def get_vocabulary_page() -> Response:
    """Every subject and field there is, for people."""
    return _page(_vocabulary_page, "text/html; charset=utf-8")


@blueprint.get("/v1/catalog.html")
@described(_page_call("the page"))
def get_catalog_page() -> Response:
    """Every check there is, with formula and sources, for people."""
    return _page(_catalog_page, "text/html; charset=utf-8")


@blueprint.get("/v1/reference.css")
@described(_page_call("the style sheet", "text/css"))
def get_reference_style() -> Response:
    """The style of these pages."""
    return send_from_directory(_PAGES, "reference.css")


def _described() -> dict[str, Any]:
    return openapi(current_app._get_current_object())  # type: ignore[attr-defined]


def _interface_page() -> str:
    return _readable("openapi", api=_described())


def _vocabulary_page() -> str:
    vocabulary = describe()
    return _readable("vocabulary", vocabulary=vocabulary, kinds=_by_system(vocabulary["kinds"]))


def _catalog_page() -> str:
    return _readable("catalog", systems=SYSTEMS, checks=_by_system(catalog()["checks"]))


def _by_system(items: list[dict[str, Any]]) -> dict[str, list[dict[str, Any]]]:
    return {system: [item for item in items if item["system"] == system] for system in SYSTEMS}


def _readable(name: str, **context: Any) -> str:
    pages = Environment(loader=FileSystemLoader(_PAGES), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return pages.get_template(f"{name}.html.jinja").render(context)
