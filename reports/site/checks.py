"""A page for each check: at every place its verdict, numbers, limits and readings, then the drawing, the formula and its sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from reports import typography
from reports.answer import Input, Result
from reports.charts import Drawing
from reports.context import Context
from reports.sections import findings, systems
from reports.site.homes import Homes
from reports.source import Source
from reports.vocabulary import Address, place


@dataclass(frozen=True, slots=True)
class Reading:
    """A fact the check used: its title, value, and where it came from with the address of that record."""

    title: str
    value: str
    source: str
    href: str


@dataclass(frozen=True, slots=True)
class Finding:
    """The check at one place."""

    result: Result
    place: str
    numbers: tuple[tuple[str, str, str], ...]
    strips: tuple[Markup, ...]
    limits: tuple[str, ...]
    missing: tuple[str, ...]
    assumed: tuple[str, ...]
    remedies: tuple[str, ...]
    accepted: tuple[str, str, str] | None
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class CheckSheet:
    """One check as its page prints it; `ranged` when any number carries its worst case."""

    check: str
    title: str
    system: str
    system_anchor: str
    safety: bool
    findings: tuple[Finding, ...]
    drawings: tuple[Drawing, ...]
    formula: str
    sources: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]


def build(context: Context, homes: Homes) -> Iterator[CheckSheet]:
    """The pages by system, in the order of the findings."""
    source = context.source
    for system in source.systems_present():
        groups: dict[str, list[Result]] = {}
        for result in source.answer.of_systems([system]):
            groups.setdefault(result.check, []).append(result)
        cautions = _cautions(context, source.vocabulary.system_title(system))
        for check, group in groups.items():
            yield CheckSheet(check, group[0].title, source.vocabulary.system_title(system), f"system-{typography.slug(system)}",
                             any(result.safety for result in group), tuple(_finding(source, homes, result) for result in group),
                             systems.of_results(source, group), group[0].formula,
                             tuple(dict.fromkeys(entry for result in group for entry in result.sources)), cautions)


def _cautions(context: Context, system: str) -> tuple[str, ...]:
    """The cautions of the check's system."""
    groups = context.section("cautions").content if context.has("cautions") else ()
    return next((group.sentences for group in groups if system in group.title.split(", ")), ())


def _finding(source: Source, homes: Homes, result: Result) -> Finding:
    told = findings.finding(source, [result])
    numbers = tuple((value.title, value.both, value.name) for value in result.values)
    return Finding(result, place(result.position), numbers, told.strips, told.limits, told.missing, told.assumed, told.remedies, told.accepted,
                   tuple(_reading(source, homes, used) for used in result.inputs))


def _reading(source: Source, homes: Homes, used: Input) -> Reading:
    records, key = str(used.source.get("list") or ""), str(used.source.get("id") or "")
    address = homes.record(records, key) if records in ("parts", "specs", "measurements", "fasteners") else ""
    value = typography.typed(used.value if used.value not in ("", None) else used.si)
    return Reading(typography.sentence(source.vocabulary.fact_title(used.fact)), value, _origin(source, records, key, used.source), address)


def _origin(source: Source, records: str, key: str, origin: Mapping[str, object]) -> str:
    """`measured, March 2, 2026`, or the part that says so, or the check that computes it."""
    if origin.get("check"):
        return f"from “{source.result_title(str(origin['check']))}”"
    if records == "measurements" and key in source.measurements:
        return ", ".join(word for word in ("measured", typography.date(source.measurements[key].taken_at)) if word)
    if records == "parts" and key in source.parts:
        return source.part_name(source.parts[key])
    return {"specs": "as stated", "fasteners": "tightening record", "car": "the car's papers", "build": "the job"}.get(records, "")


def names_fact(result: Result, keys: frozenset[str], facts: frozenset[str]) -> bool:
    """Whether a result used any of these records or facts."""
    return any(str(used.source.get("id") or "") in keys or _bare(used.fact) in facts for used in result.inputs)


def _bare(fact: str) -> str:
    address = Address.of(fact)
    return f"{address.subject}.{address.field}"
