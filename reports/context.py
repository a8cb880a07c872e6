"""What the templates get: the book's sections in order, each with its content, and which picture stands where."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from reports import cautions, typography
from reports.photos import Picture
from reports.sections import findings, fixes, glance, inputs, ordering, photographs, road_test, service, settings, signatures, systems, tightening, visits, work
from reports.source import Source


@dataclass(frozen=True, slots=True)
class Section:
    """One section: `key` names its template and anchor, `parent` the heading it stands under in the contents."""

    key: str
    template: str
    title: str
    content: Any
    parent: str = ""

    @property
    def file(self) -> str:
        """The section's page on the site."""
        return f"{self.key}.html"


@dataclass(frozen=True, slots=True)
class CautionSet:
    """Cautions of one or more systems."""

    title: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plate:
    """Where a picture is shown: the section's key and, among the plates, its number."""

    section: str
    number: int = 0


@dataclass(frozen=True)
class Context:
    """The whole book, ready for the templates."""

    name: str
    year: str
    title: str
    cover: Picture | None
    sections: tuple[Section, ...]
    places: dict[str, Plate]
    source: Source

    def section(self, key: str) -> Section:
        """The section of that key; KeyError when the book has none."""
        return next(section for section in self.sections if section.key == key)

    def has(self, key: str) -> bool:
        """Whether the book has that section."""
        return any(section.key == key for section in self.sections)


def build(source: Source) -> Context:
    """Choose the cover, hand each picture to one place, and build every section that has content."""
    cover = _cover(source)
    places = {cover.photo.id: Plate("cover")} if cover else {}
    fix_entries = _claim_fixes(fixes.build(source), places)
    chapters = _claim_leads(systems.build(source), places)
    plates = photographs.build(source, places)
    if plates:
        places |= {key: Plate("photographs", number) for key, number in plates.numbers.items()}
    sections = tuple(_sections(source, fix_entries, chapters, plates))
    car = source.document.car
    return Context(car.name, typography.year(source.document.build.delivered_on), source.document.build.title, cover, sections, places, source)


def _sections(source: Source, fix_entries: Any, chapters: Any, plates: Any) -> Iterator[Section]:
    yield Section("glance", "glance", glance.TITLE, glance.build(source))
    for chapter in chapters or ():
        yield Section(f"system-{typography.slug(chapter.key)}", "system", chapter.title, chapter, systems.TITLE)
    rest: list[tuple[str, str, Callable[[Source], Any]]] = [
        ("fixes", fixes.TITLE, lambda _: fix_entries), ("ordering", ordering.TITLE, ordering.build),
        ("findings", findings.TITLE, findings.build), ("tightening", tightening.TITLE, tightening.build),
        ("settings", settings.TITLE, settings.build), ("service", service.TITLE, service.build), ("cautions", "Cautions", _cautions),
        ("work", work.TITLE, work.build), ("road-test", road_test.TITLE, road_test.build),
        ("visits", visits.title(source), visits.build),
        ("photographs", photographs.TITLE, lambda _: plates), ("signatures", signatures.TITLE, signatures.build),
        ("inputs", inputs.TITLE, inputs.build)]
    for key, title, make in rest:
        content = make(source)
        if content:
            yield Section(key, key, title, content)


def _cautions(source: Source) -> tuple[CautionSet, ...]:
    general = CautionSet("", cautions.GENERAL)
    sets = cautions.for_systems(source.systems_present())
    return (general, *(CautionSet(", ".join(source.vocabulary.system_title(name) for name in names), sentences) for names, sentences in sets))


def _cover(source: Source) -> Picture | None:
    """The photograph of the whole car: of the car or build itself, else of nothing in particular, else the first."""
    pictures = list(source.pictures.values())
    whole = [picture for picture in pictures if {source.document.car.id, source.document.build.id} & set(picture.photo.of)]
    free = [picture for picture in pictures if not picture.photo.of]
    return next(iter(whole or free or pictures), None)


def _claim_fixes(entries: Any, places: dict[str, Plate]) -> Any:
    """Each fix keeps the pictures that no earlier place shows."""
    claimed = []
    for entry in entries or ():
        kept = tuple(picture for picture in entry.pictures if picture.photo.id not in places)
        places |= {picture.photo.id: Plate("fixes") for picture in kept}
        claimed.append(replace(entry, pictures=kept))
    return tuple(claimed) or None


def _claim_leads(chapters: Any, places: dict[str, Plate]) -> Any:
    """Each chapter opens with one photograph of one of its parts, a landscape where there is one."""
    opened = []
    for chapter in chapters or ():
        free = [picture for entry in chapter.parts for picture in entry.pictures if picture.photo.id not in places]
        lead = next((picture for picture in free if picture.shape == "landscape"), free[0] if free else None)
        if lead:
            places[lead.photo.id] = Plate(f"system-{typography.slug(chapter.key)}")
        opened.append(replace(chapter, lead=lead))
    return tuple(opened) or None
