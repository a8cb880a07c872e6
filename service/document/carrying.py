"""A car that comes back: the records with which a new build begins, from the as-fitted state of the one it continues.

What is on the car comes along: fitted parts, what was stated, joints, what is deliberately absent, and fixes left open. What was
measured comes along as a statement, "as fitted at …, measured on …", never as a reading of today: a new reading stands before it,
and it falls with the part it was taken of (`Facts`). Steps, drives, signatures, photographs and papers stay with their visit; what
is to be told of it later, with every dated reading, is one entry of `visits`. Each record that came along keeps its id and names
in `came_from` the record in which it first stood.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping
from typing import Any

from service.document.address import written
from service.document.facts import Fact, Facts, as_typed
from service.document.records import FIXES_OPEN
from service.quantities import read, show
from service.vocabulary import KINDS
from service.vocabulary.core import CORNER_NAMES

_NAMES = uuid.UUID("9d3f2c61-5a8e-4b0e-8f0a-7c1d2e3f4a5b")
#: Keys of a header that a build takes over from the one it continues.
_HEADER = ("use", "units", "absent")

Record = dict[str, Any]


def header(last: Mapping[str, Any], given: Mapping[str, Any]) -> Record:
    """The header of a build that continues `last`: what is given, else what held there."""
    held = {**last["build"], "absent": last.get("absent") or []}
    return {**given, **{key: held[key] for key in _HEADER if key not in given and held.get(key)}}


def records(last: Mapping[str, Any]) -> dict[str, list[Record]]:
    """The records, by list, with which a build begins that continues the build of the loaded document `last`."""
    parts = [_came(last, "parts", part) for part in last.get("parts") or () if part.get("status", "fitted") == "fitted"]
    fitted = {part["id"] for part in parts}
    return {
        "parts": parts,
        "specs": list(_specs(last)),
        "fixes": [_open_fix(last, fix, fitted) for fix in last.get("fixes") or () if fix.get("status") == FIXES_OPEN],
        "fasteners": [_came(last, "fasteners", entry) for entry in last.get("fasteners") or ()],
        "visits": [*(dict(visit) for visit in last.get("visits") or ()), visit(last)],
    }


def _came(last: Mapping[str, Any], name: str, record: Mapping[str, Any], *without: str) -> Record:
    kept = {key: value for key, value in record.items() if key not in ("photos", *without)}
    return {**kept, "came_from": record.get("came_from") or f"builds/{last['build']['id']}/{name}/{record['id']}"}


def _open_fix(last: Mapping[str, Any], fix: Mapping[str, Any], fitted: set[str]) -> Record:
    """An open fix goes on; readings and parts that stay behind are not named any more."""
    kept = _came(last, "fixes", fix, "before", "after", "parts_added")
    parts = [id for id in fix.get("parts_added") or () if id in fitted]
    return {**kept, "parts_added": parts} if parts else kept


def _specs(last: Mapping[str, Any]) -> Iterator[Record]:
    """The as-fitted values that were stated or measured; what stands with a part comes with the part."""
    stated = {spec["id"]: spec for spec in last.get("specs") or ()}
    taken = {measurement["id"]: measurement for measurement in last.get("measurements") or ()}
    for fact in Facts(last):
        if fact.source["list"] == "specs":
            yield _came(last, "specs", stated[fact.source["id"]])
        elif fact.source["list"] == "measurements":
            yield _as_statement(last, taken[fact.source["id"]], fact)


def _as_statement(last: Mapping[str, Any], measurement: Mapping[str, Any], fact: Fact) -> Record:
    """A reading as what it is years later: what the fact was when the car left."""
    day = (measurement.get("taken_at") or "")[:10]
    said = f"as fitted at {name_of(last['build'])}, measured{f' {day}' if day else ', day unknown'}"
    how = [measurement[key] for key in ("instrument", "condition") if measurement.get(key)]
    made = {"id": measurement["id"], "fact": measurement["fact"], "value": fact.typed, "basis": ", ".join([said, *how]),
            "came_from": f"builds/{last['build']['id']}/measurements/{measurement['id']}"}
    return made | {key: value for key, value in (("at", measurement.get("taken_at")), ("notes", measurement.get("notes"))) if value}


def name_of(build: Mapping[str, Any]) -> str:
    """What a visit is called in a sentence: its title in quotes, else its day.

    >>> name_of({"title": "Made sound"}), name_of({"delivered_on": "2018-06-20"}), name_of({})
    ('“Made sound”', 'the visit of 2018-06-20', 'the last visit')
    """
    if build.get("title"):
        return f"“{build['title']}”"
    day = left_on(build)
    return f"the visit of {day}" if day else "the last visit"


def left_on(build: Mapping[str, Any]) -> str:
    """The day a car left, else the day it came; empty when neither is known."""
    return str(build.get("delivered_on") or build.get("opened_on") or "")[:10]


def visit(last: Mapping[str, Any]) -> Record:
    """A build as an earlier visit: when, what for, how far it was driven, what was put right, and every dated reading."""
    build = last["build"]
    told = {key: build[key] for key in ("title", "use", "opened_on", "delivered_on") if build.get(key)}
    fixes = sorted((fix for fix in last.get("fixes") or () if fix.get("status") != FIXES_OPEN), key=lambda fix: not fix.get("safety"))
    found: Record = {"id": str(uuid.uuid5(_NAMES, f"visit {build['id']}")), "build": build["id"], **told}
    distance = sum(read(drive["distance"], "length").si for drive in last.get("drives") or () if drive.get("distance") is not None)
    if distance:
        found["distance"] = show(distance, "length", "km" if build.get("units") == "metric" else "mi")
    return {**found, "fixes": [fix["title"] for fix in fixes], "facts": list(_readings(last))}


def _readings(last: Mapping[str, Any]) -> Iterator[Record]:
    """Every reading with its day, that of the car's leaving where its own was not noted; and the date codes of tires, which tell their age."""
    left = left_on(last["build"])
    for entry in last.get("measurements") or ():
        at = entry.get("taken_at") or left
        if at:
            kept = {key: entry[key] for key in ("fact", "value", "tolerance", "condition") if entry.get(key) is not None}
            yield {**kept, "at": at}
    for address, fact in date_codes(Facts(last)) if left else ():
        if fact.source["list"] != "measurements":
            yield {"fact": address, "value": as_typed(fact.typed), "at": left}


def date_codes(facts: Facts) -> Iterator[tuple[str, Fact]]:
    """The date codes of what is on the car, at each corner that one stands for."""
    for kind in KINDS.values():
        for field in kind.fields:
            found = {corner: facts.find(kind.name, field.name, corner) for corner in CORNER_NAMES} if field.notation == "date_code" else {}
            yield from ((written(kind.name, field.name, corner), fact) for corner, fact in found.items() if fact is not None)
