"""Errors as RFC 9457 problem documents: what is wrong, where (JSON pointers), what would be right."""

from __future__ import annotations

import errno
import json
import logging
from http import HTTPStatus
from typing import Any

from flask import Flask, Response, request
from werkzeug.exceptions import HTTPException, RequestEntityTooLarge

from service.document import DocumentError
from service.storage.database import Full
from service.storage.files import Away

CONTENT_TYPE = "application/problem+json"
_log = logging.getLogger(__name__)


def problem(status: int, detail: str, errors: list[dict[str, str]] | None = None, title: str | None = None) -> Response:
    """A problem response."""
    return Response(json.dumps(body(status, detail, errors, title), ensure_ascii=False), status, content_type=CONTENT_TYPE)


def body(status: int, detail: str, errors: list[dict[str, str]] | None = None, title: str | None = None) -> dict[str, Any]:
    """A problem document."""
    found: dict[str, Any] = {"type": "about:blank", "title": title or HTTPStatus(status).phrase, "status": status, "detail": detail}
    return {**found, "errors": errors} if errors is not None else found


def of_document(error: DocumentError) -> dict[str, Any]:
    """The problem document of a build document that cannot be taken: 400 unreadable, 422 with all its errors."""
    errors = [{"pointer": item.pointer, "detail": item.detail} for item in error.problems]
    if error.unreadable:
        return body(400, error.problems[0].detail, errors, "Unreadable document")
    count = len(errors)
    return body(422, f"the document has {count} error{'s' if count > 1 else ''}", errors, "Invalid document")


def register(app: Flask) -> None:
    """Answer every error of the application as a problem document."""
    app.register_error_handler(DocumentError, _document_error)
    app.register_error_handler(HTTPException, _http_error)
    app.register_error_handler(Full, _full)
    app.register_error_handler(Away, _away)
    app.register_error_handler(OSError, _system_error)
    app.register_error_handler(Exception, _unexpected)


def _document_error(error: DocumentError) -> Response:
    found = of_document(error)
    return Response(json.dumps(found, ensure_ascii=False), found["status"], content_type=CONTENT_TYPE)


def _full(error: Full | OSError) -> Response:
    _log.error("the disk is full: %s", error)
    return problem(507, "the disk of the service is full; nothing was stored. It goes on when there is room again.", title="Insufficient Storage")


def _away(error: Away) -> Response:
    _log.error("files cannot be reached: %s", error)
    response = problem(503, "the place where photographs and papers are kept does not answer; nothing was stored. Send it again in a while.")
    response.headers["Retry-After"] = "30"
    return response


def _system_error(error: OSError) -> Response:
    return _full(error) if error.errno in (errno.ENOSPC, errno.EDQUOT) else _unexpected(error)


def _http_error(error: HTTPException) -> Response:
    if error.response is not None:
        return error.response  # type: ignore[return-value]
    said = error.description != RequestEntityTooLarge.description
    response = problem(error.code or 500, error.description or "" if said else _too_large())
    for name, value in error.get_headers():
        if name.lower() not in ("content-type", "content-length"):
            response.headers[name] = value
    return response


def _too_large() -> str:
    most = request.max_content_length
    return f"up to {f'{most // 2**20} MB' if most >= 2**20 else f'{most // 1024} KB'} are taken in here" if most else "this is more than is taken in here"


def _unexpected(error: Exception) -> Response:
    _log.exception("unexpected error")
    return problem(500, "the service made a mistake; nothing was stored. The error is in its log.")
