"""The lists of a result: values, limits, inputs and assumptions, in SI and printed for the shop."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from service.checks.core import Input, Shown
from service.checks.finding import Finding
from service.checks.outcome import Limit
from service.checks.plan import Plan, field_at
from service.checks.speak import say_value
from service.document.facts import Fact, as_typed
from service.quantities import System, in_unit, preferred


def shown_for(plan: Plan, name: str) -> Shown:
    """How a value is printed; values may be declared by pattern (`drop_{i}_{j}`)."""
    values = plan.check.values
    if name in values:
        return values[name]
    for pattern, shown in values.items():
        if "{" in pattern and (match := re.fullmatch(_pattern(pattern), name)):
            title = shown.title
            for key, part in match.groupdict().items():
                title = title.replace(f"{{{key}}}", part)
            return Shown(title, shown.dimension, shown.like)
    raise ValueError(f"{plan.check_id} gives the value {name}, which it does not declare")


@cache
def _pattern(pattern: str) -> str:
    """`drop_{i}_{j}` as a regular expression with named groups."""
    return re.sub(r"\\\{(\w+)\\\}", r"(?P<\1>.+)", re.escape(pattern))


def values(finding: Finding) -> dict[str, Any]:
    """The values computed, by name."""
    return {name: _value(finding, name, value) for name, value in finding.out.values.items() if value is not None}


def _value(finding: Finding, name: str, value: Any) -> dict[str, Any]:
    shown = shown_for(finding.plan, name)
    unit = preferred(shown.dimension, finding.system, shown.like)
    return {
        "title": shown.title,
        "value": round_figure(in_unit(value, shown.dimension, unit)),
        "unit": unit,
        "printed": say_value(value, shown.dimension, finding.system, shown.like),
        "si": value,
        "low": finding.worst.low.get(name, value),
        "high": finding.worst.high.get(name, value),
    }


def round_figure(value: float) -> float:
    """Ten significant figures: enough for any instrument, without the last binary digit's noise."""
    return float(f"{value:.10g}")


def limit(plan: Plan, item: Limit, system: System) -> dict[str, Any]:
    """One limit as judged."""
    shown = limit_shown(plan, item.of)
    unit = preferred(shown.dimension, system, shown.like) if item.kind != "must" else None
    edges = [edge for edge in (item.low, item.high) if edge is not None]
    figures = [round_figure(in_unit(edge, shown.dimension, unit)) for edge in edges] if unit is not None else []
    return {
        "of": item.of,
        "kind": item.kind,
        "verdict": item.verdict,
        "value": figures if len(figures) == 2 else figures[0] if figures else None,
        "unit": unit,
        "si": edges if len(edges) == 2 else edges[0] if edges else None,
        "why": item.why,
        "printed": " to ".join(say_value(edge, shown.dimension, system, shown.like) for edge in edges),
        "violated": item.violated,
    }


def limit_shown(plan: Plan, of: str) -> Shown:
    """How the figure that a limit is about is printed: a value of the check, or one of its inputs."""
    if of in plan.addresses and of not in plan.check.values:
        field = field_at(plan.addresses[of])
        if field is not None:
            return Shown(field.title, field.dimension if field.is_quantity else "dimensionless", field.like)
    try:
        return shown_for(plan, of)
    except ValueError:
        return Shown(of, "dimensionless")


def inputs(finding: Finding) -> list[dict[str, Any]]:
    """The facts that were used, each once, with what was typed and where it came from."""
    found: dict[str, dict[str, Any]] = {}
    for name, (address, fact, source) in finding.plan.sources.items():
        if address not in found:
            entry = _recorded(address, fact) if fact is not None else _worked_out(finding, name, address, source)
            if entry is not None:
                found[address] = entry
    return list(found.values())


def _recorded(address: str, fact: Fact) -> dict[str, Any]:
    """A fact that stands in the record, possibly at another position (a corner reads its axle's)."""
    entry = {"fact": address, "value": as_typed(fact.typed), "si": fact.value, "tolerance_si": fact.tolerance, "from": dict(fact.source)}
    if fact.address != address:
        entry["recorded_at"] = fact.address
    if fact.status not in (None, "fitted"):
        entry["status"] = fact.status
    return entry


def _worked_out(finding: Finding, name: str, address: str, source: Mapping[str, Any] | None) -> dict[str, Any] | None:
    """A fact that was derived from others or computed by another check; None where it could not be."""
    value = finding.inputs.get(name)
    if value is None:
        return None
    field = field_at(address)
    printed = say_value(value, field.dimension, finding.system, field.like) if field else str(value)
    return {"fact": address, "value": printed, "si": value, "tolerance_si": None, "from": dict(source or {})}


def assumed(finding: Finding) -> list[dict[str, Any]]:
    """What was taken for granted: defaults, constants of the method, parts that nobody recorded, readings of an earlier visit."""
    found = [_carried(address, fact) for address, fact, _ in finding.plan.sources.values() if fact is not None and "carried" in fact.source]
    for entry in finding.plan.assumed:
        if "constant" in entry:
            found.append(_constant(entry["constant"], finding.system))
        elif "default" not in entry:
            found.append(dict(entry))
        elif finding.inputs.get(entry["name_in_check"]) is not None:
            found.append(_default(finding, entry))
    return found


def _carried(address: str, fact: Fact) -> dict[str, Any]:
    return {"fact": address, "value": as_typed(fact.typed), "si": fact.value, "tolerance_si": fact.tolerance,
            "why": f"{fact.source['carried']}; not measured since"}


def _constant(item: Input, system: System) -> dict[str, Any]:
    text = _spread_text(item.default, item.tolerance, item.dimension or "dimensionless", system, None)
    return {"name": item.name, "value": text, "si": item.default, "tolerance_si": item.tolerance, "why": "constant of the method"}


def _default(finding: Finding, entry: Mapping[str, Any]) -> dict[str, Any]:
    name = entry["name_in_check"]
    value, tolerance, field = finding.inputs[name], finding.plan.spreads.get(name), field_at(entry["fact"])
    text = _spread_text(value, tolerance, field.dimension, finding.system, field.like) if field else str(value)
    plain = value if isinstance(value, (int, float, str, bool)) else None
    return {"fact": entry["fact"], "value": text, "si": plain, "tolerance_si": tolerance, "why": entry["default"].why}


def _spread_text(value: Any, tolerance: Any, dimension: str, system: System, like: str | None) -> str:
    text = say_value(value, dimension, system, like)
    if not tolerance:
        return text
    different = "temperature_difference" if dimension == "temperature" else dimension
    return f"{text} ± {say_value(tolerance, different, system, like if different == dimension else None)}"
