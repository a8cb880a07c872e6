"""What search and recall answer: things found, each with where it stands."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any
from urllib.parse import quote

from service.document.titles import title_of
from service.storage import things
from service.storage.models import BUILDS, CARS
from service.storage.things import SCOPES


def address(row: Any) -> str:
    """Where a thing is found over HTTP."""
    own = f"{row.list}/{quote(row.id, safe='')}"
    return f"/v1/{own}" if row.list in (CARS, BUILDS) else f"/v1/builds/{quote(row.scope, safe='')}/{own}"


def build_of(row: Any) -> str | None:
    """The build that a thing is or stands in; none for a car."""
    return None if row.list == CARS else row.id if row.list == BUILDS else row.scope


class Standing:
    """The cars and builds of the things found, read at once."""

    def __init__(self, connection: Any, rows: Iterable[Any]) -> None:
        rows = list(rows)
        self.cars = self._bodies(connection, CARS, {row.car for row in rows})
        self.builds = self._bodies(connection, BUILDS, {build for row in rows if (build := build_of(row))})

    @staticmethod
    def _bodies(connection: Any, name: str, ids: set[str]) -> dict[str, Any]:
        return {row.id: json.loads(row.body) for row in things.find_all(connection, SCOPES[name], ids)} if ids else {}

    def car(self, row: Any) -> dict[str, Any]:
        """The car of a thing: id and title."""
        return {"id": row.car, "title": title_of(CARS, self.cars.get(row.car, {}))}

    def build(self, row: Any) -> dict[str, Any] | None:
        """The build of a thing: id and title; None for a car."""
        build = build_of(row)
        return {"id": build, "title": title_of(BUILDS, self.builds.get(build, {}))} if build else None
