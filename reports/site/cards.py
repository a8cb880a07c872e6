"""What a car's site says of itself for the page of all cars (`shop`), as JSON beside its pages."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from reports import typography
from reports.context import Context
from reports.sections import glance
from reports.site import search
from reports.site.homes import Homes
from reports.site.search import Entry

#: What a car's site says of itself for the page of all cars.
CARD = "card.json"
#: Parts that a car is told by, and the figures beside them.
_PARTS = ("engine", "transmission", "axle")
_FIGURES = ("displacement", "peak power", "mass", "wheelbase")


def card(context: Context, homes: Homes) -> dict[str, Any]:
    """What the page of all cars says of one, and the words by which it is found there."""
    document = context.source.document
    return {
        "car": document.car.id, "build": document.build.id, "name": context.name, "title": document.build.title,
        "use": typography.words(document.build.use), "delivered_on": document.build.delivered_on, "looks": _looks(context), "figures": list(_figures(context)),
        "cover": _cover(context), "entries": [list(entry) for entry in (_whole(context), *search.of_many(context, homes)) if entry[0]],
    }


def _looks(context: Context) -> str:
    car = context.source.document.car
    return ", ".join(typography.words(word) for word in (car.body, car.color) if word)


def _figures(context: Context) -> Iterator[tuple[str, str]]:
    source = context.source
    for kind in _PARTS:
        part = next((part for part in source.document.parts if part.kind == kind and part.status == "fitted"), None)
        if part:
            yield source.vocabulary.kind(kind).title, source.part_name(part)
    addresses = dict(glance.MAIN_FIGURES)
    for name in _FIGURES:
        if addresses[name] in source.facts:
            yield name, source.facts[addresses[name]].text


def _cover(context: Context) -> dict[str, Any] | None:
    picture = context.cover
    if picture is None:
        return None
    sizes = [{"file": f"photos/{size.file}", "width": size.width, "height": size.height} for size in picture.sizes[:2]]
    return {"alt": picture.photo.caption or "The car", "sizes": sizes}


def _whole(context: Context) -> Entry:
    car, build = context.source.document.car, context.source.document.build
    words = [build.title, typography.words(build.use), _looks(context), car.serial, build.notes, *(value for _, value in _figures(context))]
    return "index.html", context.name, f"handed over {typography.date(build.delivered_on)}" if build.delivered_on else "", " · ".join(filter(None, words))


def read(site: Path) -> dict[str, Any]:
    """The card of a car's site. Raises OSError, ValueError."""
    found: dict[str, Any] = json.loads((site / CARD).read_text(encoding="utf-8"))
    return found
