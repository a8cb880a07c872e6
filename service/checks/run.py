"""Running a check: evaluate at the nominal values, look at the worst case, give the verdict, and print the result."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from service.checks.bind import Car
from service.checks.compare import disagreements
from service.checks.core import Cap, Inputs, Limit, Missing, Outcome, Shown, Verdict
from service.checks.plan import NOT_COMPUTABLE, Plan, field_at, judged
from service.checks.registry import checks
from service.checks.remedy import lifting, remedies
from service.checks.speak import Speaker, how_of, in_sentence, in_words, say_value, title_of
from service.checks.spread import Spread, doubted, spread
from service.document.facts import Fact, as_typed
from service.quantities import System, in_unit, preferred
from service.vocabulary import KINDS
from service.vocabulary.core import AXLE_NAMES, CORNER_NAMES, Field

_NAMED_MISSING = 3


def run(car: Car, check_id: str, position: str | None, system: System, *, full: bool = True) -> dict[str, Any] | None:
    """The result of one check at one position, or None when it does not apply.

    `full=False` is the plain run: verdict, values in SI with their worst case, margin, missing facts; nothing is printed,
    and no remedies are sought.
    """
    check = checks()[check_id]
    if not car.applies(check, position):
        return None
    plan = car.plan(check_id, position)
    inputs = plan.nominal()
    out = judged(check, dict(inputs))
    missing = _missing(plan, out, inputs)
    worst = spread(plan, out) if plan.variables else Spread({}, {})
    doubted(plan, inputs, out, worst)
    verdict, cap = decide(out, missing, worst)
    result: dict[str, Any] = {
        "check": check_id,
        "position": position,
        "title": check.title,
        "system": check.system,
        "safety": _safety(plan, inputs),
        "verdict": verdict,
        "margin": margin(out, verdict),
        "missing": missing,
    }
    _note(plan, out, result)
    if not full:
        result["values"] = {name: {"si": value, "low": worst.low.get(name, value), "high": worst.high.get(name, value)} for name, value in out.values.items()}
        result["inputs"] = [{"fact": address, "from": fact.source if fact else source or {}} for address, fact, source in plan.sources.values()]
        result["reason"] = out.reason
        return result
    result |= {
        "summary": summary(car, plan, out, inputs, verdict, missing, system, cap),
        "values": _values(plan, out, worst, system),
        "limits": [_limit(plan, item, system) for item in out.limits],
        "inputs": _inputs(plan, inputs, system),
        "assumed": _assumed(plan, inputs, system),
        "cap": {"verdict": "caution", "because": cap.because, "lifted_by": _cap_fact(plan, cap)} if cap else None,
        "formula": check.formula,
        "table": None,
        "series": None,
        "remedies": [],
        "basis": [{"kind": item.kind, "text": item.text} for item in check.basis],
    }
    _complete(car, plan, out, inputs, result, cap, system)
    return {key: result[key] for key in (*_KEYS, *(key for key in result if key not in _KEYS))}


#: Keys of a result in the order of the format.
_KEYS = (
    "check",
    "position",
    "title",
    "system",
    "safety",
    "verdict",
    "summary",
    "values",
    "limits",
    "margin",
    "inputs",
    "assumed",
    "missing",
    "cap",
    "formula",
    "table",
    "series",
    "remedies",
    "basis",
)


def _note(plan: Plan, out: Outcome, result: dict[str, Any]) -> None:
    """What only some results have: facts that an unknown providing check lacks, questions, reasons."""
    if plan.lacking:
        result["lacking"] = list(dict.fromkeys(plan.lacking))
    if out.asks:
        result["missing"] = [*result["missing"], *out.asks]
        result["asks"] = dict(out.asks)
    if out.because:
        result["because"] = list(out.because)


def _missing(plan: Plan, out: Outcome, inputs: Mapping[str, Any]) -> list[str]:
    touched = [plan.addresses.get(name, name) for name in out.missing if not _waits_for_a_named_fact(plan, name, inputs)]
    return list(dict.fromkeys([*plan.missing, *touched]))


def _waits_for_a_named_fact(plan: Plan, name: str, inputs: Mapping[str, Any]) -> bool:
    """Whether this is a default that cannot be worked out only because a fact is missing that is listed already."""
    item = plan.defaults.get(name)
    if item is None or not callable(item.default):
        return False
    try:
        item.default(Inputs(dict(inputs)))
    except Missing as missing:
        return plan.addresses.get(missing.name, missing.name) in plan.missing
    except NOT_COMPUTABLE:
        return False
    return False


def decide(out: Outcome, missing: list[str], worst: Spread) -> tuple[Verdict, Cap | None]:
    """The verdict, and the cap that changed it if one did."""
    verdict = out.verdict
    if out.reason is not None:
        return "unknown", None
    if missing:
        return ("fail", None) if verdict == "fail" else ("unknown", None)
    if verdict == "pass" and worst.fails:
        verdict = "caution"
    for cap in out.caps:
        if (cap.floor and verdict == "pass") or (not cap.floor and verdict == "fail"):
            return "caution", cap
    return verdict, None


def _safety(plan: Plan, inputs: Mapping[str, Any]) -> bool:
    safety = plan.check.safety
    if not callable(safety):
        return safety
    try:
        return bool(safety(Inputs(dict(inputs))))
    except Missing:
        return False


def margin(out: Outcome, verdict: str) -> float | None:
    """The smallest signed fraction to a fail limit, or to a caution limit where there is no other."""
    if any(limit.violated and limit.kind == "must" and limit.verdict == "fail" for limit in out.limits) and verdict == "fail":
        return None
    for kind in ("fail", "caution"):
        found = [limit for limit in out.limits if limit.verdict == kind and limit.kind != "must"]
        if found:
            margins = [limit.margin for limit in found]
            known = [value for value in margins if value is not None]
            return round(min(known), 9) if known else None
    return None


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


def _values(plan: Plan, out: Outcome, worst: Spread, system: System) -> dict[str, Any]:
    found = {}
    for name, value in out.values.items():
        if value is None:
            continue
        shown = shown_for(plan, name)
        unit = preferred(shown.dimension, system, shown.like)
        found[name] = {
            "title": shown.title,
            "value": round_figure(in_unit(value, shown.dimension, unit)),
            "unit": unit,
            "printed": say_value(value, shown.dimension, system, shown.like),
            "si": value,
            "low": worst.low.get(name, value),
            "high": worst.high.get(name, value),
        }
    return found


def round_figure(value: float) -> float:
    """Ten significant figures: enough for any instrument, without the last binary digit's noise."""
    return float(f"{value:.10g}")


def _limit(plan: Plan, limit: Limit, system: System) -> dict[str, Any]:
    shown = _limit_shown(plan, limit.of)
    unit = preferred(shown.dimension, system, shown.like) if limit.kind != "must" else None
    edges = [edge for edge in (limit.low, limit.high) if edge is not None]
    figures = [round_figure(in_unit(edge, shown.dimension, unit)) for edge in edges] if unit is not None else []
    return {
        "of": limit.of,
        "kind": limit.kind,
        "verdict": limit.verdict,
        "value": figures if len(figures) == 2 else figures[0] if figures else None,
        "unit": unit,
        "si": edges if len(edges) == 2 else edges[0] if edges else None,
        "why": limit.why,
        "printed": " to ".join(say_value(edge, shown.dimension, system, shown.like) for edge in edges),
        "violated": limit.violated,
    }


def _limit_shown(plan: Plan, of: str) -> Shown:
    if of in plan.addresses and of not in plan.check.values:
        field = field_at(plan.addresses[of])
        if field is not None:
            return Shown(field.title, field.dimension if field.is_quantity else "dimensionless", field.like)
    try:
        return shown_for(plan, of)
    except ValueError:
        return Shown(of, "dimensionless")


def _inputs(plan: Plan, inputs: Mapping[str, Any], system: System) -> list[dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for name, (address, fact, source) in plan.sources.items():
        if address in found:
            continue
        if fact is not None:
            entry: dict[str, Any] = {
                "fact": address,
                "value": as_typed(fact.typed),
                "si": fact.value,
                "tolerance_si": fact.tolerance,
                "from": dict(fact.source),
            }
            if fact.address != address:
                entry["recorded_at"] = fact.address
            if fact.status not in (None, "fitted"):
                entry["status"] = fact.status
        else:
            value = inputs.get(name)
            if value is None:
                continue
            field = field_at(address)
            entry = {
                "fact": address,
                "value": say_value(value, field.dimension, system, field.like) if field else str(value),
                "si": value,
                "tolerance_si": None,
                "from": dict(source or {}),
            }
        found[address] = entry
    return list(found.values())


def _assumed(plan: Plan, inputs: Mapping[str, Any], system: System) -> list[dict[str, Any]]:
    found = []
    for entry in plan.assumed:
        if "constant" in entry:
            item = entry["constant"]
            found.append(
                {
                    "name": item.name,
                    "value": _spread_text(item.default, item.tolerance, item.dimension or "dimensionless", system, None),
                    "si": item.default,
                    "tolerance_si": item.tolerance,
                    "why": "constant of the method",
                }
            )
        elif "default" in entry:
            value = inputs.get(entry["name_in_check"])
            if value is None:
                continue
            field: Field | None = field_at(entry["fact"])
            tolerance = plan.spreads.get(entry["name_in_check"])
            text = _spread_text(value, tolerance, field.dimension, system, field.like) if field else str(value)
            plain = value if isinstance(value, (int, float, str, bool)) else None
            found.append({"fact": entry["fact"], "value": text, "si": plain, "tolerance_si": tolerance, "why": entry["default"].why})
        else:
            found.append(dict(entry))
    return found


def _spread_text(value: Any, tolerance: Any, dimension: str, system: System, like: str | None) -> str:
    text = say_value(value, dimension, system, like)
    if not tolerance:
        return text
    different = "temperature_difference" if dimension == "temperature" else dimension
    return f"{text} ± {say_value(tolerance, different, system, like if different == dimension else None)}"


def _cap_fact(plan: Plan, cap: Cap) -> str | None:
    return plan.addresses.get(cap.lifted_by, cap.lifted_by) if cap.lifted_by else None


def summary(car: Car, plan: Plan, out: Outcome, inputs: Mapping[str, Any], verdict: str, missing: list[str], system: System, cap: Cap | None) -> str:
    """The result's sentences: the check's own, then what the engine knows (missing facts, tolerance, parts not fitted)."""
    sentences = []
    if out.reason is not None:
        sentences.append(f"Cannot be judged: {out.reason}.")
    elif verdict == "unknown":
        sentences.append(ask_for(missing))
    else:
        sentences.append(_said(plan, out, inputs, verdict, missing, system))
        if missing and verdict == "fail":
            sentences.append(f"Not yet recorded: {', '.join(title_of(address) for address in missing[:_NAMED_MISSING])}.")
        if verdict == "caution" and out.verdict == "pass" and cap is None:
            spread_of = "their tolerances" if any(isinstance(key, Fact) for key in plan.variables) else "what is assumed"
            sentences.append(f"The figures as recorded pass, but not in the worst corner of {spread_of}: measure closer.")
    sentences.extend(out.remarks)
    if cap is not None:
        sentences.append(f"{cap.because[:1].upper()}{cap.because[1:]}".rstrip(".") + ".")
    sentences.extend(_not_fitted(plan))
    sentences.extend(disagreements(car, plan, system))
    return " ".join(sentence for sentence in sentences if sentence)


def _said(plan: Plan, out: Outcome, inputs: Mapping[str, Any], verdict: str, missing: list[str], system: System) -> str:
    """The check's own sentence; where facts are missing and its sentence needs them, the limits that are broken."""
    shown = {name: shown_for(plan, name) for name in out.values}
    try:
        text = plan.check.say(Speaker(plan, out, inputs, verdict, system, shown)).strip()
    except (KeyError, TypeError, AttributeError):
        if not missing:
            raise
    else:
        if not (missing and "None" in text):
            return text
    return " ".join(_broken(plan, limit, system) for limit in out.limits if limit.violated and limit.verdict == verdict)


def _broken(plan: Plan, limit: Limit, system: System) -> str:
    """A broken limit in words: `Cap pressure (gauge) is 15 psi, at most 13 psi: the radiator's highest pressure.`"""
    if limit.value is None:
        return f"{limit.why[:1].upper()}{limit.why[1:]}."
    shown = _limit_shown(plan, limit.of)
    value, *edges = (say_value(edge, shown.dimension, system, shown.like) for edge in (limit.value, limit.low, limit.high) if edge is not None)
    bound = {"at_most": "at most", "at_least": "at least"}.get(limit.kind, "between")
    return f"{shown.title[:1].upper()}{shown.title[1:]} is {value}, {bound} {' and '.join(edges)}{': ' + limit.why if limit.why else ''}."


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


def _complete(car: Car, plan: Plan, out: Outcome, inputs: Mapping[str, Any], result: dict[str, Any], cap: Cap | None, system: System) -> None:
    if result["verdict"] in ("caution", "fail"):
        found = lifting(cap.lifted_by, plan, cap.because) if cap else remedies(car, plan, system) if not result["missing"] else []
        notes = [item for item in plan.check.remedies if isinstance(item, str)]
        result["remedies"] = found + [{"fact": None, "note": note} for note in dict.fromkeys([*out.advice, *notes])]
    if plan.check.extras is not None and out.reason is None:
        try:
            extras = plan.check.extras(Inputs(dict(inputs)), out.values)
        except (Missing, KeyError, TypeError, ValueError, ZeroDivisionError):
            return
        result["table"], result["series"] = extras.get("table"), extras.get("series")
