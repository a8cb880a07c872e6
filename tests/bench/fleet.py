"""A fleet of invented cars of any size, put into a database in bulk through the same code that keeps single records."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from typing import Any

from service.storage import search, things
from service.storage.database import Database
from service.storage.things import Author, Where

AUTHOR = Author("Oona", "bench tablet")
BUILDS, RECORDS = 4, 50
_MAKES = ("Tarnock", "Oskervik", "Breyfell", "Halden", "Quillmere")
_MODELS = ("Stookman", "Langtur", "Ostrelle", "Fenrunner", "Kestwick")
_FIRST = ("Signe", "Bram", "Oona", "Desmond", "Ilse", "Tobias", "Wren", "Mattis")
_LAST = ("Havnqvist", "Underhollow", "Quayle", "Brennick", "Stroud", "Ellwand", "Marrow", "Tynedal")
_MAKERS = ("Halverstoke", "Ganthorpe", "Brunnick", "Drennigan", "Dorrenby", "Nettle & Quay")
_KINDS = ("radiator", "alternator", "transmission", "driveshaft", "carburetor", "fuel_pump", "battery", "starter")
_SYMPTOMS = ("shudder on take-off", "whistle at speed", "vibration under load", "pulls to the left", "boils in traffic", "squeal when cold", "hard start when hot")
_REMEDIES = ("center bearing shimmed", "hose shortened and clipped", "toe set again", "ground strap cleaned", "fan shroud fitted", "float level set")


def car(number: int, chance: random.Random) -> dict[str, Any]:
    """One car with its owner."""
    return {"id": f"car-{number}", "make": chance.choice(_MAKES), "model": chance.choice(_MODELS), "year": chance.randint(1932, 1989),
            "serial": f"{chance.choice('ABCDEFG')}{chance.randint(10, 99)}-{number:06d}",
            "owner": {"name": f"{chance.choice(_FIRST)} {chance.choice(_LAST)}{number % 97}", "contact": f"555 {number % 10000:04d}"}}


def records(build: str, chance: random.Random) -> Iterator[tuple[str, dict[str, Any]]]:
    """Fifty records of a build: mostly measurements, as in a shop."""
    for index in range(12):
        yield "parts", {"id": f"p{index}", "kind": "other", "system": "body", "name": chance.choice(_KINDS).replace("_", " "), "maker": chance.choice(_MAKERS),
                        "part_number": f"{chance.choice('HGBDN')}{chance.choice('STKNQ')}-{chance.randint(100, 9999)}", "serial": f"{chance.randint(1, 10**6)}",
                        "fitted_on": "2026-03-02", "status": "fitted"}
    for index in range(3):
        yield "fixes", {"id": f"x{index}", "title": chance.choice(_SYMPTOMS), "remedy": chance.choice(_REMEDIES), "status": "resolved"}
    for index in range(5):
        yield "fasteners", {"id": f"f{index}", "joint": f"joint {index}", "thread": chance.choice(("M8x1.25", "M10x1.5", "7/16-20")), "system": "driveline", "count": 4}
    for index in range(RECORDS - 20):
        yield "measurements", {"id": f"m{index}", "fact": "tire.pressure@front", "value": f"{chance.randint(26, 40)} psi", "instrument": "dial gauge",
                               "taken_at": "2026-03-02T10:00:00-06:00"}


def fill(database: Database, cars: int) -> None:
    """Put `cars` cars, each with its builds and their records, into a database."""
    chance = random.Random(7)
    for start in range(0, cars, 50):
        with database.writing() as connection:
            for number in range(start, min(start + 50, cars)):
                new = list(_whole(number, chance))
                things.create_all(connection, AUTHOR, new)
                search.note_all(connection, new)


def _whole(number: int, chance: random.Random) -> Iterator[tuple[Where, Mapping[str, Any]]]:
    own = car(number, chance)
    yield things.car_at(own["id"]), own
    for index in range(BUILDS):
        build = f"{own['id']}-b{index}"
        yield things.build_at(build, own["id"]), {"id": build, "title": f"Visit {index + 1}", "use": "touring", "absent": []}
        for name, record in records(build, chance):
            yield Where(build, name, record["id"], own["id"]), record
