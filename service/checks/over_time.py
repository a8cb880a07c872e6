"""Facts that were measured on more than one day, over all visits of the car: every reading in order of time, printed.

Tires tell their age by their date code; it is read for the day the car left each time.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.checks.brakes.shared import reference_date
from service.checks.entries import round_figure
from service.checks.speak import say_value
from service.checks.wheels.tire_age import YEAR
from service.document.address import resolve, written
from service.document.carrying import date_codes
from service.document.facts import Facts, moment
from service.notation import NotationError, date_code
from service.quantities import System, in_unit
from service.vocabulary import KINDS
from service.vocabulary.core import Field

_OTHER: Mapping[System, System] = {"us": "metric", "metric": "us"}


@dataclass(frozen=True, slots=True)
class Reading:
    """What a fact was on a day; `visit` is the id of the earlier visit's entry, empty for this build."""

    place: tuple[str, str, str | None]
    at: str
    value: Any
    typed: Any
    visit: str


def over_time(facts: Facts, system: System) -> list[dict[str, Any]]:
    """The facts with readings of two days or more, by system and address."""
    found: dict[tuple[str, str, str | None], list[Reading]] = {}
    for reading in (*_earlier(facts.document), *_now(facts)):
        same = found.setdefault(reading.place, [])
        # A reading that an earlier visit tells of may stand in this build's record too.
        if not any(other.at == reading.at and other.value == reading.value for other in same):
            same.append(reading)
    entries = [_entry(place, sorted(readings, key=lambda item: moment(item.at)), system) for place, readings in found.items()
               if len({reading.at[:10] for reading in readings}) > 1]
    return sorted((entry for entry in entries if entry is not None), key=lambda item: (item["system"], item["fact"]))


def _earlier(document: Mapping[str, Any]) -> Iterator[Reading]:
    for visit in document.get("visits") or ():
        for fact in visit.get("facts") or ():
            yield from _reading(fact, fact["at"], visit["id"])


def _now(facts: Facts) -> Iterator[Reading]:
    """The readings of this build with their day, and the date codes of the tires that are on the car."""
    for measurement in facts.document.get("measurements") or ():
        if measurement.get("taken_at"):
            yield from _reading(measurement, measurement["taken_at"], "")
    day = reference_date(facts.document.get("build"))
    for address, fact in date_codes(facts):
        if day and fact.source["list"] != "measurements":
            yield Reading(resolve(address)[:3], day.isoformat(), fact.value, fact.typed, "")


def _reading(record: Mapping[str, Any], at: str, visit: str) -> Iterator[Reading]:
    subject, name, position, field = resolve(record["fact"])
    if field.is_quantity or field.dimension == "integer" or _is_code(field):
        yield Reading((subject, name, position), at, field.read(record["value"], record.get("tolerance")).value, record["value"], visit)


def _is_code(field: Field) -> bool:
    return field.notation == "date_code"


def _entry(place: tuple[str, str, str | None], readings: list[Reading], system: System) -> dict[str, Any] | None:
    subject, name, position = place
    kind = KINDS[subject]
    field = kind.by_name[name]
    points = [point for reading in readings if (point := _age(reading) if _is_code(field) else _point(reading, field, system)) is not None]
    if len(points) < 2:
        return None
    title, unit = (f"{kind.title} age", "years") if _is_code(field) else (field.title, field.unit(system) if field.is_quantity else "1")
    return {"fact": written(subject, name, position), "title": title, "system": kind.system, "subject": subject, "field": name, "position": position,
            "unit": unit, "points": points}


def _point(reading: Reading, field: Field, system: System) -> dict[str, Any]:
    dimension = field.dimension if field.is_quantity else "dimensionless"
    printed, also = (say_value(reading.value, dimension, one, field.like) for one in (system, _OTHER[system]))
    return {"at": reading.at, "value": round_figure(in_unit(reading.value, dimension, field.unit(system) if field.is_quantity else "1")), "si": reading.value,
            "printed": printed, "also": also if also != printed else None, "visit": reading.visit or None}


def _age(reading: Reading) -> dict[str, Any] | None:
    """The age of what bears a date code, on the day of the reading; None where the code cannot be read."""
    try:
        made = date_code(str(reading.typed)).monday
    except NotationError:
        return None
    if made is None:
        return None
    days = (dt.date.fromisoformat(reading.at[:10]) - made).days
    return {"at": reading.at, "value": round_figure(days * 86400 / YEAR), "si": days * 86400.0, "printed": f"{days * 86400 / YEAR:.1f} years", "also": None,
            "visit": reading.visit or None}
