"""Cases of checks: read from fixtures/checks, turned into documents, run."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from service.checks.answer import answer_for
from service.checks.bind import Car
from service.checks.registry import checks
from service.checks.run import run
from service.document import Facts, load

FOLDER = Path(__file__).parents[2] / "fixtures" / "checks"


@dataclass(frozen=True)
class Case:
    """One named case of one check."""

    check: str
    name: str
    body: Mapping[str, Any]

    @property
    def position(self) -> str | None:
        """The position whose result is meant."""
        return self.body.get("position")

    @property
    def expect(self) -> Any:
        """What the case expects."""
        return self.body["expect"]


@cache
def cases() -> tuple[Case, ...]:
    """Every case there is."""
    return tuple(_read())


def _read() -> Iterator[Case]:
    for path in sorted(FOLDER.glob("*/*.yaml")):
        for body in yaml.safe_load(path.read_text(encoding="utf-8")) or []:
            yield Case(f"{path.parent.name}.{path.stem}", body["name"], body)


def worked_example(check: str) -> Case:
    """The first case of a check."""
    return next(case for case in cases() if case.check == check)


def document(body: Mapping[str, Any], facts: Mapping[str, Any] | None = None, units: str | None = None) -> dict[str, Any]:
    """The build document of a case, with other facts or units when given."""
    given = body.get("facts") or {} if facts is None else facts
    extra = body.get("document") or {}
    return load({
        "format": "as-fitted/build/1",
        **{key: value for key, value in extra.items() if key not in ("car", "build", "specs")},
        "car": {"make": "Example", "model": "One", "year": 1962, **extra.get("car", {})},
        "build": {"use": body.get("use", "street"), "units": units or body.get("units", "us"), **extra.get("build", {})},
        "specs": [{"id": f"case-{index}", "fact": fact, "value": value} for index, (fact, value) in enumerate(given.items())] + extra.get("specs", []),
    })


def results(case: Case, facts: Mapping[str, Any] | None = None, units: str | None = None, full: bool = True) -> dict[str | None, dict[str, Any]]:
    """The case's check's results by position; `full=False` without remedies and drawings."""
    return results_for(case.check, Facts(document(case.body, facts, units)), full)


def results_for(check: str, facts: Facts, full: bool = True) -> dict[str | None, dict[str, Any]]:
    """One check's results by position; only checks that read other results need the whole answer."""
    declared = checks()[check]
    if declared.last:
        return {item["position"]: item for item in answer_for(facts, full=full)["results"] if item["check"] == check}
    car = Car(facts)
    system = "metric" if facts.document["build"].get("units") == "metric" else "us"
    found = {position: run(car, check, position, system, full=full) for position in car.positions(declared)}
    return {position: item for position, item in found.items() if item is not None}


def result(case: Case, facts: Mapping[str, Any] | None = None, units: str | None = None, full: bool = True) -> dict[str, Any] | None:
    """The result that the case means, None when there is none."""
    return results(case, facts, units, full).get(case.position)
