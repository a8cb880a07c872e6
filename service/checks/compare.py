"""Recorded facts held against what a check computes for them."""

from __future__ import annotations

import math

from service.checks.bind import Car
from service.checks.plan import Plan
from service.checks.registry import checks, derivations, providers
from service.document.address import split
from service.document.facts import Fact
from service.quantities import System, preferred, show
from service.vocabulary import find


def disagreements(car: Car, plan: Plan, system: System) -> list[str]:
    """Sentences for recorded facts that a check also computes, where the two are further apart than measuring explains."""
    found = []
    for address, fact, _ in list(plan.sources.values()):
        if fact is None or not isinstance(fact.value, float):
            continue
        computed = _computed(car, fact, split(address)[2])
        if computed is not None and _differ(fact, computed):
            field_ = find(fact.subject, fact.field)
            dimension, like = (field_.dimension, field_.like) if field_ else ("dimensionless", None)
            unit = preferred(dimension, system, like)
            found.append(f"The {field_.title if field_ else fact.field} is recorded as {show(fact.value, dimension, unit)}, "
                         f"while the other figures make it {show(computed, dimension, unit)}: measure again.")
    return list(dict.fromkeys(found))


def _computed(car: Car, fact: Fact, place: str | None) -> float | None:
    for way in derivations().get((fact.subject, fact.field), ()):
        if way.compare and split(way.fact)[2] in ("here", None, place):
            needs = [car.value(address, place) for address in way.needs]
            if all(value is not None for value in needs):
                rest = [car.value(address, place) for address in way.optional]
                return float(way.function(*needs, *rest))
    provider = providers().get((fact.subject, fact.field))
    if provider is None:
        return None
    check_id, value_name, written_as = provider
    position = place if split(written_as)[2] == "here" else None
    if car.is_binding(check_id, position) or not car.applies(checks()[check_id], position):
        return None
    inner = car.plan(check_id, position)
    value = None if inner.missing else inner.evaluate().values.get(value_name)
    return float(value) if value is not None else None


def _differ(fact: Fact, computed: float) -> bool:
    """Further apart than 5 %, and than 0.1 deg (angles) or 2 mm (lengths). Source: the rule of the checks' reference."""
    field_ = find(fact.subject, fact.field)
    floor = {"angle": 0.1 * math.pi / 180, "length": 0.002}.get(field_.dimension if field_ else "", 0.0)
    return bool(abs(fact.value - computed) > max(0.05 * abs(fact.value), floor))
