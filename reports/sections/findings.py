"""What was checked: every finding with its numbers, limits, formula and sources, by system; and what to measure next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from reports import typography, units
from reports.answer import VERDICTS, Limit, Result, Value
from reports.charts.limit_strip import Bound, strip
from reports.source import Source
from reports.vocabulary import place

TITLE = "What was checked"
#: Strips drawn for one result at most, the tightest value first; a finding that passes needs one.
STRIPS = 2
#: Columns of values that a table of several places has room for; with more, each place gets a line of text.
COLUMNS = 4
#: Places that pass named one by one; more are counted.
PLACES_NAMED = 6


@dataclass(frozen=True, slots=True)
class Finding:
    """One result at one place, with its strips and its words."""

    result: Result
    place: str
    strips: tuple[Markup, ...]
    numbers: tuple[tuple[str, str], ...]
    limits: tuple[str, ...]
    missing: tuple[str, ...]
    assumed: tuple[str, ...]
    remedies: tuple[str, ...]
    accepted: tuple[str, str, str] | None


@dataclass(frozen=True, slots=True)
class Place:
    """One place of a check made at several: its verdict and its values in the order of the columns; no anchor if told of above."""

    anchor: str
    name: str
    verdict: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Check:
    """One check. Made at several places, all stand in `places`, and `findings` tells of those that did not pass, or of the tightest."""

    title: str
    anchor: str
    safety: bool
    findings: tuple[Finding, ...]
    several: bool
    columns: tuple[str, ...]
    places: tuple[Place, ...]
    formula: str
    sources: tuple[tuple[str, str], ...]
    system: str = ""
    passed: str = ""


@dataclass(frozen=True, slots=True)
class Measure:
    """Something to measure next."""

    title: str
    unlocks: str


@dataclass(frozen=True, slots=True)
class Findings:
    """Content of the section; `attention` lists what did not pass as (verdict, title, anchor)."""

    counts: Mapping[str, int]
    attention: tuple[tuple[str, str, str], ...]
    systems: tuple[tuple[str, tuple[Check, ...]], ...]
    measure_next: tuple[Measure, ...]


def build(source: Source) -> Findings | None:
    """All results grouped by system and check, None when nothing was checked."""
    results = source.answer.results
    if not results:
        return None
    systems = [system for system in source.systems_present() if any(result.system == system for result in results)]
    return Findings(source.answer.counts, _attention(source),
                    tuple((source.vocabulary.system_title(system), _checks(source, system)) for system in systems),
                    tuple(_measure(source, entry) for entry in source.answer.measure_next))


def _attention(source: Source) -> tuple[tuple[str, str, str], ...]:
    """What did not pass, a line for each check and verdict, with the places."""
    groups: dict[tuple[str, str], list[Result]] = {}
    for result in source.answer.results:
        if result.verdict != "pass":
            groups.setdefault((result.verdict, result.check), []).append(result)
    return tuple((verdict, source.title_at(check, [result.position for result in group]), group[0].anchor)
                 for (verdict, check), group in groups.items())


def _checks(source: Source, system: str) -> tuple[Check, ...]:
    groups: dict[str, list[Result]] = {}
    for result in source.answer.of_systems([system]):
        groups.setdefault(result.check, []).append(result)
    return tuple(_check(source, group) for group in groups.values())


def _check(source: Source, group: Sequence[Result]) -> Check:
    first = group[0]
    sources = tuple(dict.fromkeys(entry for result in group for entry in result.sources))
    several = len(group) > 1
    alike = _alike([result for result in group if result.verdict != "pass"] or [min(group, key=_margin)])
    titles = dict.fromkeys(value.title for result in group for value in result.values) if several else {}
    return Check(first.title, f"all-{first.anchor}", any(result.safety for result in group),
                 tuple(finding(source, same) for same in alike), several, tuple(titles) if len(titles) <= COLUMNS else (),
                 _places(group, [same[0] for same in alike], tuple(titles)) if several else (), first.formula, sources,
                 first.system, _passed(group, alike))


def _alike(results: Sequence[Result]) -> list[list[Result]]:
    """Results of one check that say the same at several places, together."""
    groups: dict[tuple[object, ...], list[Result]] = {}
    for result in results:
        numbers = tuple(value.printed for value in result.values)
        facts = tuple(fact.partition("@")[0] for fact in result.missing)
        groups.setdefault((result.verdict, numbers, facts, result.summary if not (numbers or facts) else ""), []).append(result)
    return list(groups.values())


def _passed(group: Sequence[Result], told: Sequence[Sequence[Result]]) -> str:
    """The places that pass and are not told of one by one."""
    rest = [place(result.position) for result in group if not any(result in same for same in told)]
    return f"{', '.join(rest)}" if 0 < len(rest) <= PLACES_NAMED else f"at {len(rest)} more places" if rest else ""


def _margin(result: Result) -> float:
    return result.margin if result.margin is not None else float("inf")


def _places(group: Sequence[Result], told: Sequence[Result], titles: Sequence[str]) -> tuple[Place, ...]:
    """Every place with its numbers; one told of above that has none would say nothing more."""
    return tuple(_place(result, titles, result in told) for result in group if result.values or result not in told)


def _place(result: Result, titles: Sequence[str], told: bool) -> Place:
    known = {value.title: value.printed for value in result.values}
    values = tuple(known.get(title, "") for title in titles) if len(titles) <= COLUMNS else (
        ", ".join(f"{title} {text}" for title, text in known.items()),)
    return Place("" if told else result.anchor, place(result.position), result.verdict, values)


def finding(source: Source, alike: Sequence[Result]) -> Finding:
    """The finding of results that say the same at several places."""
    result = alike[0]
    where = ", ".join(place(one.position) for one in alike)
    return Finding(result, where, _strips(result), tuple((value.title, value.both) for value in result.values), _limit_words(source, result),
                   tuple(source.vocabulary.fact_title(fact) for fact in result.missing if not _said(source, fact, result.summary)),
                   tuple(_assumed(source, entry) for entry in result.assumed),
                   tuple(_remedy(source, entry) for entry in result.remedies), accepted(source, result))


def _said(source: Source, fact: str, summary: str) -> bool:
    """Whether the summary names the fact already."""
    return any(title.lower() in summary.lower() for title in (source.vocabulary.field_title(fact), source.vocabulary.stated_title(fact)))


def _strips(result: Result) -> tuple[Markup, ...]:
    """The tightest values as strips."""
    candidates = []
    for value in result.values:
        if isinstance(value.si, (int, float)) and not isinstance(value.si, bool):
            bounds = [bound for limit in result.limits if limit.of == value.name for bound in _bounds(limit)]
            if bounds:
                candidates.append((min(abs(bound.si - value.si) / (abs(bound.si) or 1.0) for bound in bounds), value, bounds))
    candidates.sort(key=lambda candidate: candidate[0])
    drawn = [strip(value.title, float(value.si), value.low, value.high, bounds, value.printed, f"strip-{result.anchor}-{typography.slug(value.name)}")
             for _, value, bounds in candidates[:1 if result.verdict == "pass" else STRIPS]]
    return tuple(svg for svg in drawn if svg)


def _bounds(limit: Limit) -> list[Bound]:
    """A limit's ends as bounds, each with its printed number."""
    numbers = limit.numbers
    values = limit.value if isinstance(limit.value, (list, tuple)) else (limit.value,)
    kinds = ("at_least", "at_most") if limit.kind == "between" else (limit.kind,) * len(numbers)
    return [Bound(si, kind, limit.verdict, _end(value, limit.unit))
            for si, kind, value in zip(numbers, kinds, values, strict=False) if kind in ("at_least", "at_most")]


def _end(value: object, unit: str) -> str:
    number = units.inches if unit == "in" else typography.number
    text = number(value) if isinstance(value, (int, float)) else typography.typed(value)
    said = unit.replace("2", "²") if unit in ("ft/s2", "m/s2", "rad/s2", "in2", "mm2") else unit
    return text if unit in ("", "1") else f"{text} {said}"


def _limit_words(source: Source, result: Result) -> tuple[str, ...]:
    """The limits in words; those of one value that share a reason are said together.

    A rule without a number says what is wrong, so it is told only where it is broken, and not again where it was told at a glance.
    """
    groups: dict[tuple[str, str], list[str]] = {}
    for limit in (limit for limit in result.limits if limit.words or (limit.violated and limit.why not in source.answer.because)):
        verdict = f" (else {limit.verdict})" if limit.verdict in VERDICTS else ""
        groups.setdefault((limit.of, limit.why), []).append(f"{limit.words}{verdict}" if limit.words else "")
    return tuple(dict.fromkeys(_limit(result, of, why, rules) for (of, why), rules in groups.items()))


def _limit(result: Result, of: str, why: str, rules: Sequence[str]) -> str:
    value: Value | None = result.value(of)
    name = value.title if value else of.replace("_", " ")
    said = ", ".join(rule for rule in rules if rule)
    return f"{name} {said}: {why}" if said and why else f"{name} {said}" if said else why


def _assumed(source: Source, entry: Mapping[str, object]) -> str:
    name = source.vocabulary.fact_title(str(entry["fact"])) if entry.get("fact") else str(entry.get("name") or "").replace("_", " ")
    why = typography.typed(entry.get("why"))
    return f"{name} {typography.typed(entry.get('value'))}".strip() + (f" ({why})" if why else "")


def _remedy(source: Source, entry: Mapping[str, object]) -> str:
    name = source.vocabulary.fact_title(str(entry["fact"])) if entry.get("fact") else ""
    ends = [f"{word} {typography.typed(entry[key])}" for key, word in (("at_least", "at least"), ("at_most", "at most")) if entry.get(key)]
    if entry.get("one_of"):
        ends.append(f"one of {typography.typed(entry['one_of']).replace(' · ', ', ')}")
    stock, note = typography.typed(entry.get("stock")), typography.typed(entry.get("note"))
    notes = [text for text in (f"sold as {stock}" if stock and stock not in note else "", note) if text]
    return "; ".join([f"{name} {' and '.join(ends)}".strip(), *notes]).strip("; ")


def accepted(source: Source, result: Result) -> tuple[str, str, str] | None:
    """Who accepted this finding, when and why: the sign-off `accept:<check>[@position]`, latest first, with name and reason; a fail cannot be accepted."""
    if result.verdict == "fail":
        return None
    for signoff in reversed(source.document.signoffs):
        if signoff.accepts == result.address.casefold() and signoff.reasoned:
            return signoff.by, typography.date(signoff.at), signoff.statement
    return None


def _measure(source: Source, entry: Mapping[str, object]) -> Measure:
    unlocks = entry.get("unlocks")
    checks = dict.fromkeys(source.result_title(str(address).partition("@")[0]) for address in (unlocks if isinstance(unlocks, list) else []))
    fact = str(entry.get("fact") or "")
    asked = typography.typed(entry.get("title")) if fact.startswith("companion.") else ""
    return Measure(typography.sentence(asked or source.vocabulary.fact_title(fact)), "; ".join(checks))
