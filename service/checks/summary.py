"""The sentences of a result: the check's own, then what the engine knows (missing facts, tolerances, parts not fitted)."""

from __future__ import annotations

from collections.abc import Iterator

from service.checks.compare import disagreements
from service.checks.entries import limit_shown, shown_for
from service.checks.finding import Finding
from service.checks.outcome import Limit
from service.checks.plan import Plan
from service.checks.speak import Speaker, how_of, in_sentence, in_words, say_value, title_of
from service.document.facts import Fact
from service.quantities import System
from service.vocabulary import KINDS
from service.vocabulary.core import AXLE_NAMES, CORNER_NAMES

_NAMED_MISSING = 3


def summary(finding: Finding) -> str:
    """The whole text of a result."""
    out, cap = finding.out, finding.cap
    sentences = [*_verdict(finding), *out.remarks]
    if cap is not None:
        sentences.append(f"{_capital(cap.because)}".rstrip(".") + ".")
    sentences.extend(_not_fitted(finding.plan))
    sentences.extend(disagreements(finding.car, finding.plan, finding.system))
    return " ".join(sentence for sentence in sentences if sentence)


def _verdict(finding: Finding) -> Iterator[str]:
    """Why it cannot be judged, or what was found."""
    out, missing = finding.out, finding.missing
    if out.reason is not None:
        yield f"Cannot be judged: {out.reason}."
    elif finding.verdict == "unknown":
        yield ask_for(missing)
    else:
        yield _said(finding)
        if missing:
            yield f"Not yet recorded: {', '.join(title_of(address) for address in missing[:_NAMED_MISSING])}."
        if finding.verdict == "caution" and out.verdict == "pass" and finding.cap is None:
            spread_of = "their tolerances" if any(isinstance(key, Fact) for key in finding.plan.variables) else "what is assumed"
            yield f"The figures as recorded pass, but not in the worst corner of {spread_of}: measure closer."


def _said(finding: Finding) -> str:
    """The check's own sentence; where facts are missing and its sentence needs them, the limits that are broken."""
    plan, out, missing = finding.plan, finding.out, finding.missing
    shown = {name: shown_for(plan, name) for name in out.values}
    try:
        text = plan.check.say(Speaker(plan, out, finding.inputs, finding.verdict, finding.system, shown)).strip()
    except (KeyError, TypeError, AttributeError):
        if not missing:
            raise
    else:
        if not (missing and "None" in text):
            return text
    return " ".join(_broken(plan, limit, finding.system) for limit in out.limits if limit.violated and limit.verdict == finding.verdict)


def _broken(plan: Plan, limit: Limit, system: System) -> str:
    """A broken limit in words: `Cap pressure (gauge) is 15 psi, at most 13 psi: the radiator's highest pressure.`"""
    if limit.value is None:
        return f"{_capital(limit.why)}."
    shown = limit_shown(plan, limit.of)
    value, *edges = (say_value(edge, shown.dimension, system, shown.like) for edge in (limit.value, limit.low, limit.high) if edge is not None)
    bound = {"at_most": "at most", "at_least": "at least"}.get(limit.kind, "between")
    return f"{_capital(shown.title)} is {value}, {bound} {' and '.join(edges)}{': ' + limit.why if limit.why else ''}."


def ask_for(missing: list[str]) -> str:
    """What to measure when a check cannot be judged."""
    named = [title_of(address) for address in missing[:_NAMED_MISSING]]
    more = len(missing) - len(named)
    text = f"Not known yet. Still wanted: {'; '.join(named)}" + (f"; and {more} more" if more > 0 else "") + "."
    how = how_of(missing[0]) if missing else ""
    return f"{text} First: {how}." if how else text


def _not_fitted(plan: Plan) -> list[str]:
    waiting: dict[tuple[str, str], str] = {}
    for _, fact, _ in plan.sources.values():
        if fact is not None and fact.status not in (None, "fitted"):
            place = f"{in_words(fact.position)} " if fact.position in (*AXLE_NAMES, *CORNER_NAMES) else ""
            waiting[place, fact.subject] = str(fact.status)
    return [f"The {place}{in_sentence(KINDS[subject].title)} is {status}, not fitted yet." for (place, subject), status in waiting.items()]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
