"""Appendix: every fact measured or specified, with who says so, how and when; earlier readings; papers kept with the car.

What a part's maker states stands with the part, what was tightened in the tightening record; neither is said again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from reports import typography
from reports.answer import Fact
from reports.document import Measurement, Paper, Specification
from reports.source import Source
from reports.vocabulary import place

TITLE = "Appendix: where the numbers come from"


@dataclass(frozen=True, slots=True)
class Row:
    """One line: a measured fact, or specified facts of one subject that share a place and a basis (`value` then lists them)."""

    title: str
    value: str
    source: str
    note: str
    records: str = "measurements"
    keys: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Inputs:
    """Content of the section."""

    systems: tuple[tuple[str, tuple[Row, ...]], ...]
    earlier: tuple[Row, ...]
    papers: tuple[Paper, ...]


def build(source: Source) -> Inputs | None:
    """Facts by system, then readings that no longer stand, then papers."""
    stated = {spec.id: spec for spec in source.document.specs}
    used = {str(fact.source.get("id")) for fact in source.answer.facts if fact.source.get("list") in ("measurements", "specs")}
    systems: dict[str, list[Row]] = {}
    for fact in source.answer.facts:
        measurement = source.measurements.get(str(fact.source.get("id"))) if fact.source.get("list") == "measurements" else None
        if measurement:
            systems.setdefault(source.system_of_fact(fact), []).append(_measured(source, fact, measurement))
    for (system, *_), facts in _specified(source, stated).items():
        systems.setdefault(system, []).append(_together(source, facts, stated[str(facts[0].source.get("id"))]))
    earlier = [_reading(source, measurement) for measurement in source.document.measurements if measurement.id not in used]
    earlier += [Row(typography.sentence(source.vocabulary.fact_title(spec.fact)), typography.typed(spec.value), typography.words(spec.basis),
                    spec.notes, "specs", (key,)) for key, spec in stated.items() if key not in used]
    order = [system for system in source.systems_present() if system in systems] + [name for name in systems if not name]
    found = tuple((source.vocabulary.system_title(system) if system else "The car", tuple(systems[system])) for system in order)
    return Inputs(found, tuple(earlier), source.document.papers) if found or earlier or source.document.papers else None


def _specified(source: Source, stated: Mapping[str, Specification]) -> dict[tuple[str, str, str, str, str], list[Fact]]:
    """Facts that come from specifications, those of one subject, place, basis and note together."""
    groups: dict[tuple[str, str, str, str, str], list[Fact]] = {}
    for fact in source.answer.facts:
        spec = stated.get(str(fact.source.get("id"))) if fact.source.get("list") == "specs" else None
        if spec:
            key = (source.system_of_fact(fact), fact.subject, fact.position, spec.basis, spec.notes)
            groups.setdefault(key, []).append(fact)
    return groups


def _together(source: Source, facts: Sequence[Fact], spec: Specification) -> Row:
    keys = tuple(dict.fromkeys(str(fact.source.get("id")) for fact in facts))
    if len(facts) == 1:
        return Row(_title(source, facts[0]), facts[0].text, typography.words(spec.basis), spec.notes, "specs", keys)
    kind = source.vocabulary.kind(facts[0].subject).title
    title = f"{kind}, {place(facts[0].position)}" if facts[0].position else kind
    value = ", ".join(f"{source.vocabulary.field_title(fact.fact)} {fact.text}" for fact in facts)
    return Row(typography.sentence(title), value, typography.words(spec.basis), spec.notes, "specs", keys)


def _measured(source: Source, fact: Fact, measurement: Measurement) -> Row:
    return Row(_title(source, fact), _value(fact, measurement.printed), measured(measurement), measurement.notes, keys=(measurement.id,))


def _title(source: Source, fact: Fact) -> str:
    """The fact in words; under its own system's heading an area or a part of that name need not be named again."""
    kind = source.vocabulary.kind(fact.subject)
    heading = source.vocabulary.system_title(source.system_of_fact(fact)).lower()
    if kind.area or kind.title.lower() == heading:
        title = source.vocabulary.field_title(fact.fact)
        return typography.sentence(f"{title}, {place(fact.position)}" if fact.position else title)
    return typography.sentence(source.vocabulary.fact_title(fact.fact))


def _value(fact: Fact, typed: str) -> str:
    """The reading as typed with its tolerance, then the other system's figure."""
    other = [text for text in (fact.printed, fact.also) if text and text not in typed]
    return f"{typed} ({other[-1]})" if other and typed and fact.also else typed or fact.text


def _reading(source: Source, measurement: Measurement) -> Row:
    title = typography.sentence(source.vocabulary.fact_title(measurement.fact))
    return Row(title, measurement.printed, measured(measurement), measurement.notes, keys=(measurement.id,))


def measured(measurement: Measurement) -> str:
    """`digital level, at ride height; A. Name, March 2, 2026`."""
    how = _join(measurement.instrument, measurement.condition)
    who = _join(measurement.taken_by, typography.date(measurement.taken_at))
    return "; ".join(text for text in (how, who) if text)


def _join(*words: str) -> str:
    return ", ".join(word for word in words if word)

