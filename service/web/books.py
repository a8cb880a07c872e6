"""Books: asked for, watched, read, canceled."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any

from flask import Blueprint, Response, abort, current_app, redirect, request, send_file, url_for
from werkzeug.security import safe_join

from service.checks.verdicts import program, verdicts
from service.document import DocumentError, Problem, load
from service.settings import THEMES, shop_digest
from service.storage import books, found, things
from service.storage.books import Order
from service.storage.documents import digest
from service.storage.found import Found
from service.storage.handout import never_sent
from service.web.body import read_json
from service.web.described import Answer, Call, Content, described
from service.web.documents import checked, exported
from service.web.kept import commit, database, once, reads_only
from service.web.paging import conditional
from service.web.records import car_of

blueprint = Blueprint("books", __name__, url_prefix="/v1")
EDITIONS, PAPERS = ("owner", "shop"), ("letter", "a4")
#: Types are told here: what a machine's own list says of `.js` or `.svg` differs from one to the next.
_TYPES = {".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".json": "application/json",
          ".svg": "image/svg+xml", ".jpg": "image/jpeg", ".png": "image/png", ".webp": "image/webp", ".woff2": "font/woff2",
          ".txt": "text/plain", ".md": "text/markdown", ".pdf": "application/pdf", ".zip": "application/zip", ".webmanifest": "application/manifest+json"}
#: A book's own pages may use what stands in the book, and nothing else may use them.
_SITE_POLICY = ("default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; connect-src 'self'; "
                "base-uri 'none'; form-action 'none'; object-src 'none'; frame-ancestors 'none'")
_LOOK_AGAIN = "1"
_BYTES = {"type": "string", "format": "binary"}
_CHOICE = Content({"type": "object", "additionalProperties": False, "properties": {
    "theme": {"enum": list(THEMES)}, "edition": {"enum": list(EDITIONS)}, "paper": {"enum": list(PAPERS)}}}, {"edition": "owner", "paper": "letter"})


def _of_done(meaning: str, *types: str) -> Call:
    """A call for a file of a book that is done."""
    return Call({200: Answer(meaning, Content(_BYTES, types=types), ("ETag",)), 206: Answer("the part asked for", Content(_BYTES, types=types))},
                problems=(409, 416))


@blueprint.post("/builds/<build>/books")
@described(Call({202: Answer("where it is, or will be", Content("book"), ("Location",))}, takes=_CHOICE, problems=(422,), once=True))
@once
def post_book(build: str) -> Response:
    """Ask for the book of the build as it is now: 202, and where it will be.

    The body may choose `theme`, `edition` (`owner`, `shop`) and `paper` (`letter`, `a4`; without it that of the build's units).
    Asking for what is there or under way gives the same book; asking for one that failed or was canceled tries again.
    """
    chosen = _chosen()
    car, store = car_of(build), current_app.extensions["asfitted"]
    with database().reading() as connection:
        events = things.events_of(connection, car)
    document = exported(build)
    order = Order(build, car, json.dumps(document, ensure_ascii=False), chosen.get("theme", THEMES[0]), chosen.get("edition", EDITIONS[0]),
                  chosen.get("paper") or ("a4" if document["build"].get("units") == "metric" else "letter"),
                  bool(document["build"].get("delivered_on")), never_sent(store, document), shop_digest(store.folder), events)
    load(document)
    answer = checked(order.document)
    id = books.name_of(order, answer, version("asfitted"))
    attempts: list[int] = []

    def work(connection: Any) -> Response:
        row, fresh = books.ask(connection, id, order)
        attempts[:] = [row.attempt] if fresh else []
        if fresh:
            found.put(connection, {build: Found(digest(document), program(), verdicts(json.loads(answer)["results"]))})
        return Response(_text(row), 202, {"Location": url_for("books.get_book", book=id)}, content_type="application/json")

    response = commit(work)
    for attempt in attempts:
        current_app.extensions["asfitted_press"].enqueue(id, attempt)
    return response


def _chosen() -> dict[str, str]:
    """What the body chooses. Raises DocumentError with everything that is wrong with it."""
    if not request.content_length and "Transfer-Encoding" not in request.headers:
        return {}
    body = read_json()
    choices: Mapping[str, tuple[str, ...]] = {"theme": THEMES, "edition": EDITIONS, "paper": PAPERS}
    if not isinstance(body, dict):
        raise DocumentError([Problem("", 'an object is wanted, for example {"edition": "owner", "paper": "a4"}')])
    problems = [Problem(f"/{key}", f"a book has no {key}; it has {', '.join(choices)}") for key in body if key not in choices]
    problems += [Problem(f"/{key}", f"{key} is one of {', '.join(known)}") for key, known in choices.items() if key in body and body[key] not in known]
    if problems:
        raise DocumentError(problems)
    return body


@blueprint.get("/builds/<build>/books")
@described(Call({200: Answer("the books", Content({"type": "array", "items": {"$ref": "#/components/schemas/book"}}), ("ETag",))}))
def get_books(build: str) -> Response:
    """A build's books, the newest first; for a reader those of the owner's edition."""
    car_of(build)
    with database().reading() as connection:
        rows = [row for row in books.of_build(connection, build) if row.edition == EDITIONS[0] or not reads_only()]
    return conditional(Response(f"[{','.join(_text(row) for row in rows)}]", content_type="application/json"))


@blueprint.get("/books/<book>")
@described(Call({200: Answer("how far it is", Content("book"), ("ETag", "Retry-After"))}))
def get_book(book: str) -> Response:
    """How far a book is: its state (`queued`, `running`, `done`, `failed`, `canceled`), the fraction done, the step, and why it failed."""
    row = _asked(book)
    response = Response(_text(row), content_type="application/json")
    if row.state in (books.QUEUED, books.RUNNING):
        response.headers["Retry-After"] = _LOOK_AGAIN
    return conditional(response)


@blueprint.get("/books/<book>/book.pdf")
@described(_of_done("the PDF", "application/pdf"))
def get_pdf(book: str) -> Response:
    """The book on paper. 409 while it is not done."""
    return _file(book, "book.pdf")


@blueprint.get("/books/<book>/packet.zip")
@described(_of_done("the packet", "application/zip"))
def get_packet(book: str) -> Response:
    """Everything that goes with the car, in one file. 409 while it is not done."""
    return _file(book, "packet.zip")


@blueprint.get("/books/<book>/site")
@described(Call({308: Answer("where they begin", headers=("Location",))}))
def get_site_root(book: str) -> Response:
    """Where the book's pages begin."""
    return redirect(url_for("books.get_site_index", book=book), 308)  # type: ignore[return-value]


@blueprint.get("/books/<book>/site/")
@described(_of_done("the page", "text/html"))
def get_site_index(book: str) -> Response:
    """The first page of the book's site. 409 while it is not done."""
    return get_site(book, "index.html")


@blueprint.get("/books/<book>/site/<path:path>")
@described(_of_done("the file", *sorted(set(_TYPES.values()))))
def get_site(book: str, path: str) -> Response:
    """A page, picture, style or script of the book. 409 while it is not done."""
    response = _file(book, safe_join("site", path) or "")
    response.headers["Content-Security-Policy"] = _SITE_POLICY
    return response


@blueprint.delete("/books/<book>")
@described(Call({204: Answer("it is canceled or removed")}))
def delete_book(book: str) -> Response:
    """Cancel a book that waits or is being made; remove one that is done, failed or canceled."""
    row = _asked(book)
    press = current_app.extensions["asfitted_press"]
    with database().writing() as connection:
        if books.cancel(connection, row):
            return Response(status=204)
        books.forget(connection, book)
    press.remove([book])
    return Response(status=204)


def _asked(book: str) -> Any:
    with database().reading() as connection:
        row = books.find(connection, book)
    if row is None:
        abort(404, "there is no such book; the book of a newer state of its build may have taken its place")
    return row


def _file(book: str, name: str) -> Response:
    """A file of a book that is done. Its bytes never change: the book's id says what went into it."""
    row = _asked(book)
    if row.state != books.DONE:
        abort(409, f"the book is not there: it is {row.state}" + (f" ({row.why})" if row.why else ""))
    place = Path(current_app.extensions["asfitted_press"].place_of(book))
    file = place / name
    if not name or not file.resolve().is_relative_to(place.resolve()) or not file.is_file():
        abort(404, "the book has no such page or file")
    response = send_file(file, _TYPES.get(file.suffix, "application/octet-stream"), etag=book, conditional=True)
    response.headers["Cache-Control"] = "private, no-cache"
    return response


def _text(row: Any) -> str:
    there = row.state == books.DONE
    packed = there and (current_app.extensions["asfitted_press"].place_of(row.id) / "packet.zip").is_file()
    return json.dumps({
        "id": row.id, "build": row.build, "theme": row.theme, "edition": row.edition, "paper": row.paper,
        "state": row.state, "fraction": round(row.fraction, 3), "step": row.step, "why": row.why,
        "asked_at": row.asked_at, "started_at": row.started_at, "finished_at": row.finished_at, "handed_over": row.keeps,
        "left_out": row.left_out, "pages": row.pages,
        "pdf": url_for("books.get_pdf", book=row.id) if there else None,
        "site": url_for("books.get_site_index", book=row.id) if there else None,
        "packet": url_for("books.get_packet", book=row.id) if packed else None,
    }, ensure_ascii=False)
