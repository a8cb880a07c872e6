"""How many builds a second the plain run judges, beside the whole answer, over a fleet in which no two cars measure alike.

Each car is a demo build whose measured and specified quantities are each moved by up to one percent, so that nothing but
what cars really have in common (words, sizes as sold) is known from the car before. Reading the facts is part of the run.
Nothing is asserted about time. Run: pytest tests/bench/test_plain_run.py --benchmark-disable -s
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from random import Random
from time import process_time
from typing import Any

import pytest

from service.checks.answer import answer
from service.document import load
from service.document.address import resolve
from service.document.load import DocumentError
from service.quantities import exact
from service.settings import DEMO_BUILDS
from tests.served import LONG

CARS, WHOLE = (40, 4) if LONG else (6, 1)


def another(document: Mapping[str, Any], random: Random) -> dict[str, Any]:
    """The same car, measured otherwise."""
    changed = {name: [moved(entry, random) for entry in document.get(name) or ()] for name in ("measurements", "specs")}
    try:
        return load({**document, **changed})
    except DocumentError as error:  # a figure at the very edge of what is possible
        return load({**document, **{name: [old if any(problem.pointer.startswith(f"/{name}/{index}/") for problem in error.problems) else new
                                           for index, (old, new) in enumerate(zip(document.get(name) or (), entries, strict=True))]
                                    for name, entries in changed.items()}})


def moved(entry: Mapping[str, Any], random: Random) -> dict[str, Any]:
    field = resolve(entry["fact"])[3]
    if not field.is_quantity or field.dimension in ("wire_size", "dimensionless"):
        return dict(entry)
    read = field.read(entry["value"], entry.get("tolerance"))
    like = "K" if field.dimension == "temperature" else field.unit("metric")
    text = exact(read.value * random.uniform(0.99, 1.01), field.dimension, like)
    difference = "temperature_difference" if field.dimension == "temperature" else field.dimension
    margin = {} if read.tolerance is None else {"tolerance": exact(read.tolerance, difference, like)}
    return {**{key: value for key, value in entry.items() if key != "tolerance"}, "value": text, **margin}


def took(documents: list[dict[str, Any]], *, full: bool) -> float:
    start = process_time()
    for document in documents:
        answer(document, full=full)
    return (process_time() - start) / len(documents)


@pytest.mark.parametrize("path", sorted(DEMO_BUILDS.glob("*.json")), ids=lambda path: path.stem)
def test_builds_a_second(path: Path, benchmark: Any) -> None:
    random, first = Random(7), load(json.loads(path.read_text(encoding="utf-8")))
    fleet = [another(first, random) for _ in range(CARS)]
    answer(first, full=False)
    plain, whole = took(fleet, full=False), took(fleet[:WHOLE], full=True)
    benchmark.extra_info["ratio"] = whole / plain
    print(f"\n{path.stem}: {1 / plain:.0f} builds a second and core, {plain * 1e3:.1f} ms each; the whole answer takes {whole / plain:.1f} times as long")
    benchmark.pedantic(lambda: answer(fleet[0], full=False), rounds=3)
