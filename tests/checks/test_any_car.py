"""Cars made up at random from the vocabulary: an answer every time, sentences that read, remedies that mend.

Few cars by default; ASFITTED_LONG=1 tries a hundred.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest

from service.checks.answer import answer
from service.checks.plan import field_at
from service.checks.registry import checks
from service.document import load
from service.document.facts import Facts
from service.document.load import DocumentError
from service.quantities import exact, read
from service.vocabulary import KINDS
from service.vocabulary.core import Field, Kind
from tests.checks.cases import results_for

CARS = range(100 if os.environ.get("ASFITTED_LONG") else 5)
USES = ("street", "touring", "towing", "autocross", "track", "drag")
TEXTS = {
    "thread": ("M8", "M10x1.25", "3/8-16", "7/16-20", "#10-24"),
    "tire_size": ("205/55R16 91V", "P235/60R15", "7.00-15", "31x10.50R15LT"),
    "date": ("2026-03-04", "2026-05-30"),
    "date_code": ("2319",),
    "speed_symbol": ("H",),
}
LABELS = ("cooling fan", "fuel pump", "left")
MEASURED = [kind for kind in KINDS.values() if kind.fields and kind.name not in ("car", "build", "companion")]


def quantity(random: Random, field: Field) -> Any:
    """A figure that is usual in four of five, else anywhere that is possible or at its very end; some with a tolerance."""
    usual, hard = field.usual_range, field.hard_range
    around = usual if usual is not None and random.random() < 0.8 else hard or usual
    si = random.uniform(around.low, around.high) if around is not None else random.random()
    if hard is not None and random.random() < 0.1:
        si = random.choice((hard.low, hard.high))
    unit = "mm2" if field.dimension == "wire_size" else field.unit(random.choice(("us", "metric")))
    text = exact(si, field.dimension, unit)
    if field.dimension in ("temperature", "wire_size") or random.random() > 0.15:
        return text
    return f"{text} ± {exact(abs(si) / 20, field.dimension, unit)}"


def value(random: Random, field: Field) -> Any:
    if field.dimension == "text":
        return random.choice(TEXTS.get(field.notation or "", ("500 mi", "30 day", "left")))
    if field.dimension == "choice":
        return random.choice(field.choices)
    if field.dimension == "yes_no":
        return random.random() < 0.5
    if field.dimension == "ratios":
        return [2.5, 1.5, 1.0]
    if field.dimension == "integer":
        around = field.usual_range or field.hard_range
        return random.randint(int(around.low), int(around.high)) if around else 2
    return quantity(random, field)


def places(random: Random, kind: Kind, field: Field) -> list[str | None]:
    positions = kind.positions_of(field)
    if positions.names:
        return list(random.sample(positions.names, random.randint(1, min(2, len(positions.names)))))
    return list(LABELS[: random.randint(1, len(LABELS))]) if positions.label else [None]


def measurements(random: Random) -> Iterator[dict[str, Any]]:
    for kind in MEASURED:
        for field in kind.fields if random.random() < 0.75 else ():
            for place in places(random, kind, field) if random.random() < 0.7 else ():
                yield {"fact": f"{kind.name}.{field.name}" + (f"@{place}" if place else ""), "value": value(random, field)}


def day(random: Random) -> str | None:
    return random.choice((None, f"2026-0{random.randint(1, 9)}-{random.randint(10, 28)}"))


def parts(random: Random) -> list[dict[str, Any]]:
    """Parts of any kind, some at a place, in every state, with a date or without."""
    chosen = random.sample([kind for kind in KINDS.values() if not kind.area], 40)
    found = []
    for index, kind in enumerate(chosen):
        place = random.choice(kind.positions.names or LABELS) if kind.positions.label or kind.positions.names else None
        entry = {"id": f"p{index}", "kind": kind.name, "position": place, "status": random.choice(("fitted", "received", "ordered", "wanted", "removed")),
                 "name": random.choice(("aluminum", "tank unit", "a plain one")), "fitted_on": day(random)}
        found.append({key: item for key, item in entry.items() if item is not None})
    return found


def fasteners(random: Random) -> list[dict[str, Any]]:
    fields = KINDS["fastener"].fields
    found = []
    for index, joint in enumerate(LABELS):
        entry = {field.name: value(random, field) for field in fields if random.random() < 0.7}
        found.append({"id": f"f{index}", "joint": joint, "system": random.choice(("brakes", "wheels", "body", "exhaust", "driveline")), **entry,
                      "recheck_after": random.choice(("500 mi", "30 day"))})
    return found


def steps(random: Random) -> dict[str, Any]:
    """What was done and is still to do."""
    tasks = [{"id": f"t{index}", "title": f"Step {index}", "after": [f"t{random.randrange(index)}"] if index else [], "estimate": f"{random.randint(1, 30)} h",
              "needs_parts": [f"p{random.randrange(40)}"], "done_at": day(random)} for index in range(6)]
    drives = [{"id": f"d{index}", "at": day(random), "distance": f"{random.randint(1, 400)} mi"} for index in range(3)]
    fixes = [{"id": "x0", "system": "brakes", "title": "A leak", "status": random.choice(("open", "resolved")), "safety": random.random() < 0.5}]
    return {"tasks": tasks, "drives": drives, "fixes": fixes}


def a_car(seed: int) -> dict[str, Any]:
    """A document that is in order: what the loader refuses together is left out."""
    random = Random(seed)
    document = {
        "format": "as-fitted/build/1",
        "car": {"make": "Example", "model": "One", "year": random.choice((1955, 1985))},
        "build": {"use": random.choice(USES), "units": random.choice(("us", "metric")), "opened_on": day(random), "promised_on": day(random)},
        "measurements": list(measurements(random)),
        "parts": parts(random),
        "fasteners": fasteners(random),
        **steps(random),
        "absent": [kind for kind in random.sample(sorted(KINDS), 5) if kind not in ("car", "build")],
    }
    try:
        return load(document)
    except DocumentError as error:
        refused = {int(match[1]) for problem in error.problems if (match := re.match(r"/measurements/(\d+)", problem.pointer))}
    return load({**document, "measurements": [entry for index, entry in enumerate(document["measurements"]) if index not in refused]})


@pytest.mark.parametrize("seed", CARS)
def test_an_answer_every_time(seed: int) -> None:
    for result in answer(a_car(seed))["results"]:
        said = result["summary"]
        assert said.strip().endswith((".", "?")), said
        assert not re.search(r"None|\bnan\b|\binf\b|  |\b[a-z]+_[a-z]+\b", said), f"{result['check']}: {said}"
        for shown in result["values"].values():
            assert not isinstance(shown["si"], float) or shown["low"] <= shown["si"] <= shown["high"] or shown["si"] == pytest.approx(shown["low"])


@pytest.mark.parametrize("seed", CARS)
def test_every_remedy_mends(seed: int) -> None:
    document = a_car(seed)
    facts = Facts(document)
    for result in answer(document)["results"]:
        if checks()[result["check"]].last or result["cap"] is not None:
            continue
        for remedy in result["remedies"]:
            for wire in offered(remedy):
                after = results_for(result["check"], facts.with_changes({remedy["fact"]: wire}), full=False)[result["position"]]
                assert after["verdict"] == "pass", f"{result['check']}@{result['position']}: {remedy} with {wire}"


def offered(remedy: dict[str, Any]) -> list[Any]:
    """Every wire value that a remedy names, its interval the right way round and inside what is possible."""
    field = field_at(remedy["fact"]) if remedy["fact"] else None
    if field is None:
        return []
    wires = [remedy[key] for key in ("at_least", "at_most", "stock") if remedy.get(key)] + list(remedy.get("one_of", ()))
    if field.dimension == "integer":
        return [int(wire) for wire in wires]
    if "at_least" in remedy and "at_most" in remedy:
        assert read(remedy["at_least"], field.dimension).si <= read(remedy["at_most"], field.dimension).si
    return wires
