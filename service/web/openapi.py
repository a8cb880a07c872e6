"""The description of the interface (OpenAPI 3.1), made from the routes and from what stands beside their views."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterable, Iterator, Mapping
from importlib.metadata import version
from itertools import product
from typing import Any

from flask import Flask
from werkzeug.routing import Rule

from service.web.components import components
from service.web.described import Answer, Call, Content, Parameter
from service.web.examples import ONE_OF, example, path_example
from service.web.problems import CONTENT_TYPE

_ARGUMENT = re.compile(r"<(?:(?P<converter>[^:<>]+):)?(?P<name>\w+)>")
_WRITING = frozenset({"POST", "PATCH", "PUT", "DELETE"})
#: What a piece of an address is.
_PIECES: Mapping[str, str] = {
    "car": "id of a car", "build": "id of a build", "record": "id of the record", "attachment": "id of the photograph or paper",
    "book": "id of a book", "device": "id of a device", "share": "id of a share", "upload": "id of an upload", "size": "which picture of it",
    "path": "path of a file within it", "file": "name of a file", "check": "id of a check",
}
#: What a problem of each status means here.
PROBLEMS: Mapping[int, str] = {
    400: "the request cannot be read", 401: "no token, or one that is not known", 403: "the device may not do this",
    404: "there is no such thing", 409: "it stands against something that is kept", 410: "it was retracted; its revisions are kept",
    412: "someone else has changed it meanwhile", 413: "larger than the service takes", 415: "another content type is wanted",
    416: "there is no such part of the file",
    422: "not valid; every error with its JSON pointer", 428: "a change names what it changes: If-Match is missing", 429: "too many tries; see Retry-After",
    500: "a mistake of the service; nothing was stored", 503: "not ready", 507: "the disk is full; nothing was stored",
}
_HEADERS: Mapping[str, dict[str, Any]] = {
    "ETag": {"description": "of this state; a change names it in If-Match, a conditional GET in If-None-Match", "schema": {"type": "string"}},
    "Location": {"description": "where it is found", "schema": {"type": "string"}},
    "Link": {"description": 'RFC 8288 link to the next page, rel="next"; absent on the last', "schema": {"type": "string"}},
    "Retry-After": {"description": "seconds to wait", "schema": {"type": "integer"}},
    "Upload-Offset": {"description": "bytes that have arrived", "schema": {"type": "integer"}},
    "Upload-Length": {"description": "bytes that the whole file has", "schema": {"type": "integer"}},
    "Content-Disposition": {"description": "a name to save it under", "schema": {"type": "string"}},
}
_KEY = {"name": "Idempotency-Key", "in": "header", "schema": {"type": "string", "minLength": 1, "maxLength": 255},
        "description": "a name of the request's own: the same request with the same key is done once and answered alike"}
_MATCH = {"name": "If-Match", "in": "header", "schema": {"type": "string"}, "example": '"1"',
          "description": "the ETag of the state that the change is made to; 428 without it"}
_NONE_MATCH = {"name": "If-None-Match", "in": "header", "schema": {"type": "string"}, "description": "the ETag of what is had already: 304 if it is still so"}


def openapi(app: Flask) -> dict[str, Any]:
    """The description of every route of an application."""
    paths: dict[str, dict[str, Any]] = {}
    for rule in sorted(app.url_map.iter_rules(), key=lambda rule: rule.rule):
        view = app.view_functions[rule.endpoint]
        call = getattr(view, "described", None)
        if not isinstance(call, Call):
            continue
        for path, chosen in _paths(rule):
            for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"}):
                paths.setdefault(path, {})[method.lower()] = _operation(rule, view, call, method, path, chosen)
    return {
        "openapi": "3.1.0",
        "info": {"title": "As Fitted", "version": version("asfitted"), "license": {"name": "MIT", "identifier": "MIT"},
                 "description": "Records of one-off cars, checks on them, and their books. Errors are RFC 9457 problem documents."},
        "servers": [{"url": "/"}],
        "tags": [{"name": name} for name in sorted({tag for item in paths.values() for found in item.values() for tag in found["tags"]})],
        "paths": paths,
        "components": {"schemas": components(), "responses": {f"problem_{status}": _problem(status) for status in PROBLEMS},
                       "securitySchemes": {"token": {"type": "http", "scheme": "bearer", "description": "a device's token"}}},
    }


def undescribed(app: Flask) -> list[str]:
    """The routes whose views have no description."""
    return sorted(rule.rule for rule in app.url_map.iter_rules() if not isinstance(getattr(app.view_functions[rule.endpoint], "described", None), Call))


def _paths(rule: Rule) -> Iterator[tuple[str, dict[str, str]]]:
    """A route's addresses: one for each list where it stands for several."""
    choices = [(found["name"], re.findall(r"\w+", found["converter"][3:])) for found in _ARGUMENT.finditer(rule.rule)
               if (found["converter"] or "").startswith("any")]
    for picked in product(*(values for _, values in choices)):
        chosen = dict(zip((name for name, _ in choices), picked, strict=True))
        yield _ARGUMENT.sub(lambda found: chosen.get(found["name"], f"{{{found['name']}}}"), rule.rule), chosen  # noqa: B023


def _operation(rule: Rule, view: Any, call: Call, method: str, path: str, chosen: Mapping[str, str]) -> dict[str, Any]:
    text = inspect.getdoc(view) or ""
    found: dict[str, Any] = {
        "operationId": "_".join((rule.endpoint.rpartition(".")[2], *chosen.values())),
        "summary": _filled(text.partition("\n")[0].rstrip("."), chosen),
        "tags": [chosen.get("name") or rule.endpoint.partition(".")[0]],
        "parameters": [*_pieces(path), *map(_query, call.query), *_headers(call, method)],
        "responses": _responses(call, method, path, chosen),
    }
    if text.partition("\n")[2].strip():
        found["description"] = text.partition("\n")[2].strip()
    if call.takes is not None:
        found["requestBody"] = {"required": True, "content": _content(call.takes, chosen)}
    return {name: value for name, value in found.items() if value != []}


def _pieces(path: str) -> Iterator[dict[str, Any]]:
    for name in re.findall(r"\{(\w+)\}", path):
        yield {"name": name, "in": "path", "required": True, "description": _PIECES[name], "schema": {"type": "string", "minLength": 1, "maxLength": 200},
               "example": path_example(name)}


def _query(parameter: Parameter) -> dict[str, Any]:
    found: dict[str, Any] = {"name": parameter.name, "in": "query", "description": parameter.meaning, "schema": dict(parameter.schema)}
    if parameter.required:
        found["required"] = True
    return {**found, "example": parameter.example} if parameter.example is not None else found


def _headers(call: Call, method: str) -> Iterator[dict[str, Any]]:
    for header in call.headers:
        yield {"name": header.name, "in": "header", "required": header.required, "description": header.meaning, "schema": dict(header.schema),
               "example": header.example}
    if call.once:
        yield _KEY
    if call.matches:
        yield _MATCH
    if method == "GET" and "ETag" in call.gives.get(200, Answer("")).headers:
        yield _NONE_MATCH


def _responses(call: Call, method: str, path: str, chosen: Mapping[str, str]) -> dict[str, Any]:
    found = {str(status): _response(given, chosen) for status, given in call.gives.items()}
    if method == "GET" and "ETag" in call.gives.get(200, Answer("")).headers:
        found["304"] = {"description": "it is still what If-None-Match names"}
    for status in sorted({*_problems(call, method, path)} - set(call.gives)):
        found[str(status)] = {"$ref": f"#/components/responses/problem_{status}"}
    return found


def _problems(call: Call, method: str, path: str) -> Iterable[int]:
    yield from (400, 500, *call.problems)
    if "{" in path:
        yield 404
    if path.startswith("/v1") and not call.open:
        yield from (401, 403)
    if call.takes is not None:
        yield from (413, 415, 422)
    if method in _WRITING and call.once:
        yield from (422, 507)
    if call.matches:
        yield from (412, 428)


def _response(given: Answer, chosen: Mapping[str, str]) -> dict[str, Any]:
    found: dict[str, Any] = {"description": _filled(given.meaning, chosen)}
    if given.headers:
        found["headers"] = {name: _HEADERS[name] for name in given.headers}
    if given.content is not None:
        found["content"] = _content(given.content, chosen)
    return found


def _problem(status: int) -> dict[str, Any]:
    return _response(Answer(PROBLEMS[status], Content("problem", None, (CONTENT_TYPE,)), ("Retry-After",) if status in (429, 503) else ()), {})


def _content(content: Content, chosen: Mapping[str, str]) -> dict[str, Any]:
    schema = content.schema
    media: dict[str, Any] = {"schema": {"$ref": f"#/components/schemas/{_filled(schema, chosen)}"} if isinstance(schema, str) else _deep(schema, chosen)}
    if content.example is not None:
        media["example"] = example(_filled(content.example, chosen))
    return dict.fromkeys(content.types, media)


def _deep(schema: Any, chosen: Mapping[str, str]) -> Any:
    if isinstance(schema, Mapping):
        return {name: _deep(value, chosen) for name, value in schema.items()}
    return _filled(schema, chosen)


def _filled(value: Any, chosen: Mapping[str, str]) -> Any:
    """A text with the list of the address put in for `{name}`, and one entry of it for `{one}`."""
    if not isinstance(value, str) or "name" not in chosen:
        return value
    return value.replace("{name}", chosen["name"]).replace("{one}", ONE_OF.get(chosen["name"], chosen["name"]))
