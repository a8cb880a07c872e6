"""How the desk's pages are put together: templates, marks, dates in words, addresses of facts in words."""

from __future__ import annotations

import datetime as dt
from functools import cache
from typing import Any

from flask import Response, make_response, url_for
from jinja2 import Environment, FileSystemLoader

from service.checks.speak import title_of
from service.document.titles import title_of as record_title
from service.settings import ROOT
from service.web.desk.said import said

FOLDER = ROOT / "templates" / "desk"
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")


@cache
def _templates() -> Environment:
    found = Environment(loader=FileSystemLoader(FOLDER), autoescape=True, trim_blocks=True, lstrip_blocks=True)
    found.filters.update(day=day, place=place, fact=title_of, title=record_title, amount=amount, words=words,
                         said=said, capitalize_first=lambda text: text[:1].upper() + text[1:])
    found.globals["link"] = url_for
    return found


def page(template: str, status: int = 200, **context: Any) -> Response:
    """A page of the desk. It shows records, so it is kept by no cache."""
    response = make_response(_templates().get_template(template).render(**context), status)
    response.headers["Cache-Control"] = "no-store"
    return response


def day(moment: str | None) -> str:
    """A date as it is said.

    >>> day("2026-06-12T10:00:00-06:00")
    'June 12, 2026'
    """
    if not moment:
        return ""
    try:
        found = dt.date.fromisoformat(moment[:10])
    except ValueError:
        return moment
    return f"{_MONTHS[found.month - 1]} {found.day}, {found.year}"


def place(position: str | None) -> str:
    """A position as it is said.

    >>> place("front_left")
    'front left'
    """
    return (position or "").replace("_", " ").replace(":", ", ")


def words(name: str) -> str:
    """A name of ours as words.

    >>> words("extra_angle")
    'extra angle'
    """
    return name.replace("_", " ")


def amount(count: int, one: str, many: str | None = None) -> str:
    """A count with its noun.

    >>> amount(1, "fix", "fixes"), amount(3, "fix", "fixes"), amount(0, "car")
    ('1 fix', '3 fixes', 'no cars')
    """
    return f"{count or 'no'} {one if count == 1 else many or one + 's'}"
