"""Running a check: what it found, as the result that the format describes."""

from __future__ import annotations

from typing import Any

from service.checks import entries
from service.checks.bind import Car
from service.checks.core import Inputs
from service.checks.finding import Finding, judge
from service.checks.plan import NOT_COMPUTABLE
from service.checks.registry import checks
from service.checks.remedy import lifting, remedies
from service.checks.summary import summary
from service.quantities import System


def run(car: Car, check_id: str, position: str | None, system: System, *, full: bool = True) -> dict[str, Any] | None:
    """The result of one check at one position, or None when it does not apply.

    `full=False` is the plain run: verdict, values in SI, margin, missing facts; nothing is printed, no remedies are
    sought, and the worst case is looked at only where the verdict hangs on it.
    """
    check = checks()[check_id]
    if not car.applies(check, position):
        return None
    finding = judge(car, car.plan(check_id, position), system, whole=full)
    head = {"check": check_id, "position": position, "title": check.title, "system": check.system, "safety": finding.safety, "verdict": finding.verdict}
    return {**head, **(_printed(finding) if full else _plain(finding)), **_questions(finding)}


def said(car: Car, check_id: str, position: str | None, system: System) -> str:
    """The sentences of one result."""
    return summary(judge(car, car.plan(check_id, position), system))


def _plain(finding: Finding) -> dict[str, Any]:
    """What a comparison of many cars needs: figures in SI, nothing printed."""
    return {
        "margin": finding.margin,
        "missing": _missing(finding),
        "values": {name: {"si": value} for name, value in finding.out.values.items()},
        "inputs": [{"fact": address, "from": fact.source if fact else source or {}} for address, fact, source in finding.plan.sources.values()],
        "reason": finding.out.reason,
    }


def _printed(finding: Finding) -> dict[str, Any]:
    """The rest of a result, keys in the order of the format."""
    check, cap = finding.plan.check, finding.cap
    extras = _extras(finding)
    return {
        "summary": summary(finding),
        "values": entries.values(finding),
        "limits": [entries.limit(finding.plan, item, finding.system) for item in finding.out.limits],
        "margin": finding.margin,
        "inputs": entries.inputs(finding),
        "assumed": entries.assumed(finding),
        "missing": _missing(finding),
        "cap": {"verdict": "caution", "because": cap.because, "lifted_by": finding.plan.address(cap.lifted_by)} if cap else None,
        "formula": check.formula,
        "table": extras.get("table"),
        "series": extras.get("series"),
        "remedies": _remedies(finding),
        "basis": [{"kind": item.kind, "text": item.text} for item in check.basis],
    }


def _missing(finding: Finding) -> list[str]:
    """Missing facts, then those worth asking for that change no verdict."""
    return [*finding.missing, *finding.out.asks]


def _questions(finding: Finding) -> dict[str, Any]:
    """What only some results have: facts that an unknown providing check lacks, questions, reasons."""
    found = {"lacking": list(dict.fromkeys(finding.plan.lacking)), "asks": dict(finding.out.asks), "because": list(finding.out.because)}
    return {key: value for key, value in found.items() if value}


def _remedies(finding: Finding) -> list[dict[str, Any]]:
    """What would make it pass, for a caution and a fail; under a cap only what lifts it; with facts missing only advice."""
    if finding.verdict not in ("caution", "fail"):
        return []
    if finding.cap:
        found = lifting(finding.plan.address(finding.cap.lifted_by), finding.cap.because)
    else:
        found = [] if finding.missing else remedies(finding.car, finding.plan, finding.system)
    notes = [item for item in finding.plan.check.remedies if isinstance(item, str)]
    return found + [{"fact": None, "note": note} for note in dict.fromkeys([*finding.out.advice, *notes])]


def _extras(finding: Finding) -> dict[str, Any]:
    """Table and drawing data, where the check has them and its figures suffice."""
    extras = finding.plan.check.extras
    if extras is None or finding.out.reason is not None:
        return {}
    try:
        return dict(extras(Inputs(dict(finding.inputs)), finding.out.values))
    except NOT_COMPUTABLE:
        return {}
