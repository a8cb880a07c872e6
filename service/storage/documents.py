"""Builds as documents: out in one piece, in in one piece, never over what is already kept."""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection

from service.document import DocumentError, Problem, load
from service.document.records import FORMAT, LISTS
from service.storage import files, search, things
from service.storage.models import RETRACTED
from service.storage.things import Author, Where

#: Documents that name no ids get the same ones each time they come in, so that coming twice makes no double.
_NAMES = uuid.UUID("5a1c8f3e-2f0b-4f5c-9a57-6d7c5c1f7b11")


@dataclass(frozen=True, slots=True)
class Imported:
    """What became of a document: its car and build, whether they are new, and what differs from what is kept."""

    car: str
    build: str
    new: bool
    differing: list[Problem]


def export(connection: Connection, build: str) -> dict[str, Any] | None:
    """The document of a build as it is now, every list in it (that of earlier visits where there were some); None when there is no such build."""
    kept = things.find(connection, things.SCOPES["builds"], build)
    if kept is None:
        return None
    car = things.find(connection, things.SCOPES["cars"], kept.car)
    header = json.loads(kept.body)
    absent = header.pop("absent", [])
    document: dict[str, Any] = {"format": FORMAT, "car": json.loads(car.body) if car else {}, "build": header, **{name: [] for name in LISTS}}
    for row in things.whole_scope(connection, build):
        document[row.list].append(json.loads(row.body))
    if not document["visits"]:
        del document["visits"]
    return {**document, "absent": absent}


def digest(document: Mapping[str, Any]) -> str:
    """The same for the same content, whatever the order of keys."""
    return hashlib.sha256(json.dumps(document, sort_keys=True, ensure_ascii=False, separators=(",", ":")).encode()).hexdigest()


def take(connection: Connection, author: Author, raw: Mapping[str, Any], loaded: Mapping[str, Any]) -> Imported:
    """Keep a document that `load` has judged. Nothing that is kept is changed: what differs is listed instead.

    Raises DocumentError for ids that cannot stand in an address.
    """
    document = _named(raw, loaded)
    problems = list(_bad_ids(document))
    if problems:
        raise DocumentError(problems)
    car, build = document["car"]["id"], document["build"]["id"]
    kept = things.find(connection, things.SCOPES["builds"], build)
    differing = list(_car_differs(connection, document))
    if kept is not None:
        differing += _build_differs(connection, document, kept.car)
    if kept is None and not differing:
        _keep(connection, author, document, car, build)
    return Imported(car, build, kept is None and not differing, differing)


def _named(raw: Mapping[str, Any], loaded: Mapping[str, Any]) -> dict[str, Any]:
    """What was typed, with every id that was not."""
    own = digest(raw)
    document: dict[str, Any] = {**raw}
    for header in ("car", "build"):
        document[header] = {"id": str(uuid.uuid5(_NAMES, f"{header} {own}")), **{key: value for key, value in raw[header].items() if key != "id" or value}}
    for name in LISTS:
        document[name] = [{**record, "id": given["id"]} for record, given in zip(raw.get(name) or (), loaded.get(name) or (), strict=True)]
    return document


def _bad_ids(document: Mapping[str, Any]) -> Iterator[Problem]:
    for header in ("car", "build"):
        if not things.good_id(document[header]["id"]):
            yield Problem(f"/{header}/id", things.ID_RULE)
    for name in LISTS:
        for index, record in enumerate(document[name]):
            if not things.good_id(record["id"]):
                yield Problem(f"/{name}/{index}/id", things.ID_RULE)


def _keep(connection: Connection, author: Author, document: Mapping[str, Any], car: str, build: str) -> None:
    new: list[tuple[Where, Mapping[str, Any]]] = []
    if things.find(connection, things.SCOPES["cars"], car) is None:
        new.append((things.car_at(car), document["car"]))
    new.append((things.build_at(build, car), {**document["build"], "absent": document.get("absent") or []}))
    new.extend((Where(build, name, record["id"], car), record) for name in LISTS for record in document[name])
    things.create_all(connection, author, new)
    search.note_all(connection, new)
    files.attach(connection, new)


def _car_differs(connection: Connection, document: Mapping[str, Any]) -> Iterator[Problem]:
    kept = things.find(connection, things.SCOPES["cars"], document["car"]["id"])
    if kept is not None and json.loads(kept.body) != document["car"]:
        yield Problem("/car", f"the car {kept.id} is kept with other {_other_keys(json.loads(kept.body), document['car'])}")


def _build_differs(connection: Connection, document: Mapping[str, Any], car: str) -> Iterator[Problem]:
    kept = export(connection, document["build"]["id"]) or {}
    if car != document["car"]["id"]:
        yield Problem("/car/id", f"the build {document['build']['id']} is kept as one of the car {car}")
    if _loaded_alike(kept["build"], document["build"], "units"):
        yield Problem("/build", f"the build is kept with other {_other_keys(kept['build'], document['build'])}")
    if (kept["absent"] or []) != (document.get("absent") or []):
        yield Problem("/absent", "another list is kept")
    yield from _records_differ(connection, load(kept), load(document), document)


def _loaded_alike(kept: Mapping[str, Any], given: Mapping[str, Any], key: str) -> bool:
    return {key: "us", **kept} != {key: "us", **given}


def _records_differ(connection: Connection, kept: Mapping[str, Any], given: Mapping[str, Any], document: Mapping[str, Any]) -> Iterator[Problem]:
    build = document["build"]["id"]
    for name in LISTS:
        known = {record["id"]: record for record in kept.get(name) or ()}
        for index, record in enumerate(given.get(name) or ()):
            mine = known.pop(record["id"], None)
            if mine is None:
                yield Problem(f"/{name}/{index}", _why_not_kept(connection, build, name, record["id"]))
            elif mine != record:
                yield Problem(f"/{name}/{index}", f"{record['id']} is kept with other {_other_keys(mine, record)}")
        for id in known:
            yield Problem(f"/{name}", f"{id} is kept here and is not in the document")


def _why_not_kept(connection: Connection, build: str, name: str, id: str) -> str:
    row = things.find(connection, build, id)
    if row is not None and row.action == RETRACTED:
        return f"{id} was retracted here{f' ({row.reason})' if row.reason else ''}"
    return f"{id} is no {name} entry of the build that is kept here"


def _other_keys(kept: Mapping[str, Any], given: Mapping[str, Any]) -> str:
    return ", ".join(sorted(key for key in {*kept, *given} if kept.get(key) != given.get(key))) or "empty entries"
