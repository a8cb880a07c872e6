"""How the car is put together, a chapter for each system: its parts with their figures, what was measured, its drawings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from reports import charts, typography
from reports.answer import Fact, Result
from reports.charts import Drawing
from reports.document import Part
from reports.photos import Picture
from reports.sections import settings
from reports.source import BOOKKEEPING, Source
from reports.vocabulary import Address, place

TITLE = "How it is put together"
#: Drawings of one check printed at most, the tightest first; the others say the same again.
DRAWINGS_PER_CHECK = 2
#: Places that repeat on every car; any other position is a label.
PLACES = frozenset({"front", "rear", "left", "right", "upper", "lower", "center", *settings.CORNERS})


@dataclass(frozen=True, slots=True)
class PartEntry:
    """A part as the chapter prints it: figures are pairs of title and value."""

    part: Part
    name: str
    kind: str
    state: str
    replaces: str
    figures: tuple[tuple[str, str], ...]
    pictures: tuple[Picture, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Facts of an area of the car, or of a kind without a part of its own; `lines` when each pair is a long one."""

    title: str
    figures: tuple[tuple[str, str], ...]
    lines: bool = False


@dataclass(frozen=True, slots=True)
class Chapter:
    """One system."""

    key: str
    title: str
    parts: tuple[PartEntry, ...]
    groups: tuple[Group, ...]
    removed: tuple[PartEntry, ...]
    drawings: tuple[Drawing, ...]
    lead: Picture | None = None


def build(source: Source) -> tuple[Chapter, ...] | None:
    """The chapters that have something in them, in the vocabulary's order; None when no system has."""
    owned = _owners(source)
    chapters = []
    for system in source.systems_present():
        parts = [part for part in source.document.parts if source.system_of(part) == system]
        if system in BOOKKEEPING and not parts:
            continue
        chapter = _chapter(source, system, parts, owned)
        if chapter.parts or chapter.groups or chapter.removed or chapter.drawings:
            chapters.append(chapter)
    return tuple(chapters) or None


def _chapter(source: Source, system: str, parts: Sequence[Part], owned: dict[str, list[Fact]]) -> Chapter:
    entries = [_entry(source, part, owned.get(part.id, [])) for part in parts]
    loose = [fact for fact in owned.get("", []) if source.system_of_fact(fact) == system and not settings.is_setting(fact)]
    return Chapter(system, source.vocabulary.system_title(system), tuple(entry for entry in entries if entry.part.status != "removed"),
                   _groups(source, loose), tuple(entry for entry in entries if entry.part.status == "removed"),
                   drawings(source, system))


def _entry(source: Source, part: Part, facts: Sequence[Fact]) -> PartEntry:
    name = source.part_name(part)
    kind = source.kind_and_place(part)
    known = {Address.of(fact.fact).field for fact in facts if fact.source.get("id") == part.id}
    figures = [(_title(source, fact, part), fact.text) for fact in facts]
    measured = {Address.of(fact.fact).field for fact in facts} - known
    figures += [(f"{source.vocabulary.field_title(f'{part.kind}.{field}')}{', as sold' if field in measured else ''}",
                 typography.typed(value)) for field, value in part.specs.items() if field not in known]
    replaced = source.parts.get(part.replaces)
    replaces = source.part_name(replaced) if replaced else part.replaces
    state = "" if part.status in ("fitted", "removed") else f"{part.status}, not fitted yet"
    pictures = tuple(picture for picture in source.pictures.values() if part.id in picture.photo.of or picture.photo.id in part.photos)
    return PartEntry(part, name, kind if kind.lower() != name.lower() else "", state, replaces, tuple(figures), pictures)


def _title(source: Source, fact: Fact, part: Part) -> str:
    """The field's title, with its place where the part's own place does not say it."""
    title = source.vocabulary.field_title(fact.fact)
    return f"{title}, {place(fact.position)}" if fact.position and fact.position != part.position else title


def _owners(source: Source) -> dict[str, list[Fact]]:
    """Facts by the part they describe; those of no part under the empty name."""
    owned: dict[str, list[Fact]] = {}
    for fact in source.answer.facts:
        if fact.subject in ("car", "build", "fastener", "joint", "companion", "schedule"):
            continue
        owned.setdefault(_owner(source, fact), []).append(fact)
    return owned


def _owner(source: Source, fact: Fact) -> str:
    """The id of the part a fact describes: the part it came from, else the one of its kind at its place, else the only one."""
    if fact.source.get("list") == "parts":
        return str(fact.source.get("id") or "")
    same = [part for part in source.document.parts if part.kind == fact.subject and part.status != "removed"]
    for part in same:
        if part.position == fact.position:
            return part.id
    near = [part for part in same if fact.position.startswith(f"{part.position}_") or not part.position]
    return near[0].id if len(near) == 1 else ""


def _groups(source: Source, facts: Sequence[Fact]) -> tuple[Group, ...]:
    """Loose facts by subject, in the order they come; labelled ones (circuits, grounds) a line for each label."""
    subjects: dict[str, list[Fact]] = {}
    for fact in facts:
        subjects.setdefault(fact.subject, []).append(fact)
    return tuple(_group(source, subject, group) for subject, group in subjects.items())


def _group(source: Source, subject: str, facts: Sequence[Fact]) -> Group:
    title = typography.sentence(source.vocabulary.kind(subject).title)
    labelled: dict[str, list[str]] = {}
    for fact in facts:
        if fact.position and fact.position.partition(":")[0] not in PLACES:
            labelled.setdefault(place(fact.position), []).append(f"{source.vocabulary.field_title(fact.fact)} {fact.text}")
    if len(labelled) < 2:
        return Group(title, figures(source, facts))
    bare = figures(source, [fact for fact in facts if place(fact.position) not in labelled])
    return Group(title, bare + tuple((label, ", ".join(texts)) for label, texts in labelled.items()), lines=True)


def figures(source: Source, facts: Iterable[Fact]) -> tuple[tuple[str, str], ...]:
    """Facts as pairs; positions that share one value are named together."""
    merged: dict[tuple[str, str], list[str]] = {}
    for fact in facts:
        merged.setdefault((source.vocabulary.field_title(fact.fact), fact.text), []).append(place(fact.position))
    return tuple((f"{title}, {_places(places)}" if any(places) else title, text) for (title, text), places in merged.items())


def _places(places: Sequence[str]) -> str:
    if {"front left", "front right", "rear left", "rear right"} <= set(places):
        return "all four"
    return ", ".join(place for place in places if place)


def drawings(source: Source, system: str) -> tuple[Drawing, ...]:
    """The drawings of a system's findings; of findings at several places the tightest of each end of the car."""
    found: list[Drawing] = []
    results = list(source.answer.of_systems([system]))
    if system == "electrical":
        found += _load_sheet(source, results)
    for check in dict.fromkeys(result.check for result in results):
        same = sorted((result for result in results if result.check == check and result.series),
                      key=lambda result: (result.margin is None, result.margin if result.margin is not None else 0.0))
        ends: dict[str, Result] = {}
        for result in same:
            ends.setdefault(result.position.partition("_")[0], result)
        for result in list(ends.values())[:DRAWINGS_PER_CHECK]:
            found += [_of(drawing, result) for drawing in charts.drawings(_drawable(result.series), result.anchor, source.units)]
    return tuple(found)


def of_results(source: Source, results: Sequence[Result]) -> tuple[Drawing, ...]:
    """Every drawing of these results, at each of their places; circuits share one sheet."""
    found = _load_sheet(source, results, f"wiring-load-sheet-{results[0].anchor}") if results else []
    for result in results:
        found += [_of(drawing, result) for drawing in charts.drawings(_drawable(result.series), result.anchor, source.units)]
    return tuple(found)


def _drawable(series: object) -> list[object]:
    entries = series if isinstance(series, (list, tuple)) else [series]
    return [entry for entry in entries if not (isinstance(entry, dict) and entry.get("kind") == "wiring_loads")]


def _of(drawing: Drawing, result: Result) -> Drawing:
    return replace(drawing, check=result.anchor)


def _load_sheet(source: Source, results: Sequence[Result], key: str = "wiring-load-sheet") -> list[Drawing]:
    """One sheet of all circuits, gathered by name from every result that gives some."""
    circuits: dict[str, dict[str, object]] = {}
    for result in results:
        entries = result.series if isinstance(result.series, (list, tuple)) else [result.series]
        for entry in entries:
            if isinstance(entry, dict) and entry.get("kind") == "wiring_loads":
                for circuit in entry.get("circuits") or ():
                    known = {key: value for key, value in circuit.items() if value is not None}
                    circuits.setdefault(str(circuit.get("name")), {}).update(known)
    if not circuits:
        return []
    return list(charts.drawings({"kind": "wiring_loads", "circuits": list(circuits.values())}, key, source.units))
