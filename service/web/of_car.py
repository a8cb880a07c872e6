"""Which car what an address names is of, so that a reader is shown the one car and nothing else."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from flask import request
from werkzeug.exceptions import HTTPException

from service.storage import books, files, things
from service.web.kept import database
from service.web.records import car_of


def _of_attachment(id: str) -> str | None:
    """The car of a photograph or paper that its owner may see."""
    arguments, build = request.view_args or {}, request.args.get("build")
    with database().reading() as connection:
        scopes = files.scopes_of(connection, arguments["name"], id) if build is None else [build]
        rows = [row for row in (things.find(connection, scope, id) for scope in scopes) if row is not None]
    if any(row.list == "papers" and json.loads(row.body).get("edition") != "owner" for row in rows):
        return None
    cars = {car_of(scope) for scope in scopes}
    return cars.pop() if len(cars) == 1 else None


def _of_book(id: str) -> str | None:
    """The car of a book of the owner's edition."""
    with database().reading() as connection:
        row = books.find(connection, id)
    return car_of(row.build) if row is not None and row.edition == "owner" else None


#: The car of what a piece of an address names, None when a reader is not to see it.
_CAR_OF: dict[str, Callable[[str], str | None]] = {"car": lambda car: car, "build": car_of, "attachment": _of_attachment,
                                                    "book": _of_book}


def all_of_car(car: str, arguments: Mapping[str, Any]) -> bool:
    """Whether everything that an address names is of this car. What cannot be told is not, nor what does not exist."""
    try:
        named = [_CAR_OF[name](value) for name, value in arguments.items() if name in _CAR_OF]
    except HTTPException:
        return False
    return all(found == car for found in named) and bool(named or not arguments)
