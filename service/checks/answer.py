"""The whole answer for one car: every result, what to measure next, whether it is ready, and the what-if."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any

from service.checks.bind import Car
from service.checks.over_time import over_time
from service.checks.registry import checks, modules
from service.checks.run import run, said
from service.checks.speak import how_of, say_value, title_of
from service.document.changes import facts_with
from service.document.facts import Facts, as_typed
from service.quantities import System
from service.vocabulary import KINDS

FORMAT = "as-fitted/answer/1"
_ORDER = {"fail": 0, "caution": 1, "unknown": 2, "pass": 3}
_READINESS = "readiness.safety_items"


def answer(document: Mapping[str, Any], *, full: bool = True) -> dict[str, Any]:
    """Check a loaded document. `full=False` is the plain run: verdicts, values in SI, missing facts; nothing is printed."""
    return answer_for(Facts(document), full=full)


def answer_for(facts: Facts, *, full: bool = True, tell: Callable[[Mapping[str, Any]], bool] | None = None) -> dict[str, Any]:
    """Check a car by its facts. `tell` says of which results of a plain run the summary is wanted too."""
    car = Car(facts)
    system: System = "metric" if (facts.document.get("build") or {}).get("units") == "metric" else "us"
    results: list[dict[str, Any]] = []
    ordered = sorted(checks().items(), key=lambda item: (item[1].last, item[0]))
    for check_id, check in ordered:
        if check.last:
            car.results = list(results)
        for position in car.positions(check):
            result = run(car, check_id, position, system, full=full)
            if result is not None:
                if tell is not None and tell(result):
                    result["summary"] = said(car, check_id, position, system)
                results.append(result)
    results.sort(key=lambda item: (_ORDER[item["verdict"]], not item["safety"], item["check"], item["position"] or ""))
    counts = Counter(item["verdict"] for item in results)
    whole = {
        "format": FORMAT,
        "results": results,
        "counts": {verdict: counts.get(verdict, 0) for verdict in ("pass", "caution", "fail", "unknown")},
        "measure_next": measure_next(results) if full else [],
        "ready": _ready(results),
    }
    if full:
        whole["facts"] = fact_list(facts, system)
        whole["over_time"] = over_time(facts, system)
    return whole


def _ready(results: list[dict[str, Any]]) -> dict[str, Any]:
    found = next((item for item in results if item["check"] == _READINESS), None)
    if found is None:
        return {"for_road": False, "because": ["readiness was not judged"]}
    return {"for_road": found["verdict"] == "pass", "because": found.get("because", [])}


def measure_next(results: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Facts worth measuring: most safety checks unlocked first, then most checks, then fewest other facts missing.

    Questions about companions unlock nothing, since they change no verdict but their own: they come after every fact that does.
    """
    wanted: dict[str, list[dict[str, Any]]] = {}
    others: dict[str, int] = {}
    asks: dict[str, str] = {}
    for result in results:
        asks.update(result.get("asks", {}))
        facts = dict.fromkeys([*result["missing"], *result.get("lacking", ())])
        for fact in facts:
            wanted.setdefault(fact, []).append(result)
            others[fact] = min(others.get(fact, len(facts)), len(facts) - 1)
    entries = [_to_measure(fact, found, asks) for fact, found in wanted.items()]
    entries.sort(key=lambda item: (item["fact"] in asks, -item["safety"], -len(item["unlocks"]), others[item["fact"]], item["fact"]))
    return entries


def _to_measure(fact: str, found: list[dict[str, Any]], asks: Mapping[str, str]) -> dict[str, Any]:
    """One fact to measure or question to answer, and the results that wait for it."""
    return {
        "fact": fact, "title": asks.get(fact) or title_of(fact), "how": how_of(fact),
        "unlocks": [f"{item['check']}@{item['position']}" if item["position"] else item["check"] for item in found],
        "safety": 0 if fact in asks else sum(1 for item in found if item["safety"]),
    }


def fact_list(facts: Facts, system: System) -> list[dict[str, Any]]:
    """The as-fitted facts as the book prints them: in the shop's unit, and in the other one where it differs."""
    other: System = "us" if system == "metric" else "metric"
    found = []
    for fact in facts:
        field = KINDS[fact.subject].by_name[fact.field]
        printed = say_value(fact.value, field.dimension, system, field.like)
        also = say_value(fact.value, field.dimension, other, field.like)
        found.append({
            "fact": fact.address, "title": field.title, "system": KINDS[fact.subject].system, "subject": fact.subject, "field": fact.field,
            "position": fact.position, "printed": printed, "also": also if also != printed else None, "typed": as_typed(fact.typed),
            "from": dict(fact.source), "status": fact.status, "unusual": fact.unusual,
        })
    return sorted(found, key=lambda item: item["fact"])


def what_if(document: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """The answer with some facts replaced, and `changed`: the results whose verdict or values differ, before and after.

    Raises DocumentError, AddressError or FieldError for a change that names nothing or cannot be read.
    """
    before, after = answer(document), answer_for(facts_with(document, changes))
    after["changed"] = changed(before["results"], after["results"])
    return after


def changed(before: list[dict[str, Any]], after: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Results whose verdict or values differ; `before` or `after` is None where the check gave no result."""
    old = {(item["check"], item["position"]): item for item in before}
    new = {(item["check"], item["position"]): item for item in after}
    found = []
    for key in dict.fromkeys([*new, *old]):
        was, now = old.get(key), new.get(key)
        if was is None or now is None or was["verdict"] != now["verdict"] or _figures(was) != _figures(now):
            found.append({"check": key[0], "position": key[1], "title": (now or was or {})["title"], "before": was, "after": now})
    return found


def _figures(result: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value["si"] for name, value in result["values"].items()}


def catalog() -> dict[str, Any]:
    """Every check: title, inputs, values, formula, sources and the manual page."""
    return {"format": "as-fitted/catalog/1", "checks": [_entry(check_id) for check_id in checks()]}


def _entry(check_id: str) -> dict[str, Any]:
    check = checks()[check_id]
    inputs = [{"fact": item.fact, "required": item.required, "title": title_of(item.fact),
               "default": item.default if isinstance(item.default, (int, float, str, bool)) else "depends on other facts" if callable(item.default) else None}
              for item in check.inputs if item.role == "fact"]
    return {
        "check": check_id, "title": check.title, "system": check.system, "safety": "depends" if callable(check.safety) else check.safety,
        "positions": check.at if isinstance(check.at, str) else list(check.at) if isinstance(check.at, tuple) else None, "inputs": inputs,
        "values": {name: {"title": shown.title, "dimension": shown.dimension} for name, shown in check.values.items()},
        "formula": check.formula, "basis": [{"kind": item.kind, "text": item.text} for item in check.basis],
        "manual": (modules()[check_id].__doc__ or "").strip(),
    }
