"""What the calls that keep something share: the store, who is asking, writing once, and matching revisions."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from functools import wraps
from typing import Any, ParamSpec

from flask import Response, abort, current_app, g, request

from service.storage import answers
from service.storage.database import Database
from service.storage.devices import READER
from service.storage.models import RETRACTED
from service.storage.store import Store
from service.storage.things import Author

_Parameters = ParamSpec("_Parameters")
_KEPT_HEADERS = ("Content-Type", "ETag", "Location", "Upload-Offset", "Upload-Length")
_MOST_KEY = 255


def store() -> Store:
    """What this application keeps its things in."""
    return current_app.extensions["asfitted"]  # type: ignore[no-any-return]


def database() -> Database:
    """The database of this application."""
    return store().database


def author() -> Author:
    """Who makes the change that is asked for."""
    return g.get("author") or Author("this machine", "this machine")


def reads_only() -> bool:
    """Whether who is asking is a customer, who is given the owner's view."""
    device = g.get("device")
    return device is not None and device.role == READER


def once(view: Callable[_Parameters, Response]) -> Callable[_Parameters, Response]:
    """A writing call that honors `Idempotency-Key`: a retry with the same request is given the first answer again."""
    @wraps(view)
    def answered(*args: _Parameters.args, **kwargs: _Parameters.kwargs) -> Response:
        key = _key()
        if key is not None:
            _digest()
            with database().reading() as connection:
                given = answers.find(connection, author().device, key)
            if given is not None:
                return _again(given)
        return view(*args, **kwargs)

    return answered


def commit(work: Callable[[Any], Response]) -> Response:
    """Do `work` in one durable transaction and keep its answer there for retries. What it raises undoes everything."""
    key = _key()
    with database().writing() as connection:
        if key is None:
            return work(connection)
        device = author().device
        answers.claim(connection, device, key)
        given = answers.find(connection, device, key)
        if given is not None:
            return _again(given)
        response = work(connection)
        headers = {name: response.headers[name] for name in _KEPT_HEADERS if name in response.headers}
        answers.keep(connection, device, key, answers.Given(_digest(), response.status_code, headers, response.get_data(as_text=True)))
        return response


def _key() -> str | None:
    key = request.headers.get("Idempotency-Key")
    if key is not None and not 0 < len(key) <= _MOST_KEY:
        abort(400, f"an Idempotency-Key has 1 to {_MOST_KEY} characters")
    return key


def _digest() -> str:
    """The request's digest; a form's boundary, which changes with every try, is none of it."""
    found = g.get("request_digest")
    if found is None:
        seen = hashlib.sha256(f"{request.method} {request.full_path}\n{request.headers.get('Upload-Length', '')}\n".encode())
        if request.mimetype == "multipart/form-data":
            seen.update(repr(sorted(request.form.items(multi=True))).encode())
            for name, file in sorted(request.files.items(multi=True), key=lambda item: item[0]):
                seen.update(f"{name}\n{file.sha256}\n".encode())
        else:
            seen.update(request.get_data(cache=True))
        found = g.request_digest = seen.hexdigest()
    return str(found)


def _again(given: answers.Given) -> Response:
    if given.digest != _digest():
        abort(422, "this Idempotency-Key was used for another request; a new request needs a new key")
    return Response(given.body, given.status, dict(given.headers))


def etag(number: int) -> str:
    """The ETag of a thing's revision."""
    return f'"{number}"'


def shown(text: str, number: int, status: int = 200, location: str | None = None) -> Response:
    """One thing, with the ETag that a change of it has to name."""
    response = Response(text, status, content_type="application/json")
    response.headers["ETag"] = etag(number)
    response.headers["Cache-Control"] = "no-cache"
    if location is not None:
        response.headers["Location"] = location
    return response.make_conditional(request) if request.method == "GET" else response  # type: ignore[return-value]


def present(row: Any, what: str) -> Any:
    """The row, when it is there. Aborts with 404 when it never was, 410 when it was retracted."""
    if row is None:
        abort(404, f"there is no such {what}")
    if row.action == RETRACTED:
        abort(410, f"this {what} was retracted{f' ({row.reason})' if row.reason else ''}; its revisions are kept")
    return row


def must_match(row: Any) -> None:
    """Aborts with 428 without `If-Match`, with 412 when it names another revision than the current one."""
    if "If-Match" not in request.headers:
        abort(428, "a change names what it changes: send If-Match with the ETag of the last GET")
    if not request.if_match.contains(str(row.number)):
        abort(412, f"someone else has changed this meanwhile (it is at revision {row.number}); GET it again")
