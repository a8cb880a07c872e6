"""The pages by which a phone is paired and a customer's link is opened."""

from __future__ import annotations

from functools import cache

from flask import Blueprint, Response, abort, redirect

from service.settings import ROOT
from service.web.described import Answer, Call, Content, described
from service.web.unchanging import tag_of, unchanging

blueprint = Blueprint("pages", __name__)
_FOLDER = ROOT / "templates" / "pages"
_FILES = {"page.css": "text/css; charset=utf-8", "pair.js": "text/javascript; charset=utf-8", "share.js": "text/javascript; charset=utf-8"}
_PAGE = Call({200: Answer("the page", Content({"type": "string"}, types=("text/html",)), ("ETag",))}, open=True)
_FILE = Call({200: Answer("the file", Content({"type": "string"}, types=("text/css", "text/javascript")), ("ETag",))}, open=True)


@cache
def _content(name: str) -> tuple[bytes, str]:
    text = (_FOLDER / name).read_bytes()
    return text, tag_of(text)


def _answer(name: str, content_type: str) -> Response:
    return unchanging(*_content(name), content_type)


@blueprint.get("/")
@described(Call({302: Answer("where the pages begin", headers=("Location",))}, open=True))
def get_start() -> Response:
    """Where a person begins: the desk, which leads to the phone's pages."""
    return redirect("/desk/")  # type: ignore[return-value]


@blueprint.get("/pair")
@described(_PAGE)
def get_pair() -> Response:
    """The page that pairs the browser it is opened in; the code comes in the fragment, which stays in the browser."""
    return _answer("pair.html", "text/html; charset=utf-8")


@blueprint.get("/share")
@described(_PAGE)
def get_share() -> Response:
    """The page that a customer's link opens; its token comes in the fragment, which stays in the browser."""
    return _answer("share.html", "text/html; charset=utf-8")


@blueprint.get("/pair/<file>")
@described(_FILE)
def get_file(file: str) -> Response:
    """A file of these pages."""
    if file not in _FILES:
        abort(404, "there is no such file")
    return _answer(file, _FILES[file])
