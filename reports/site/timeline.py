"""The job day by day: what was found, fitted, measured, tightened, put right, driven and signed, with the photographs of the day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from reports import typography
from reports.context import Context
from reports.photos import Picture
from reports.site.homes import Homes
from reports.source import Source

TITLE = "Day by day"
#: Names listed on one line at most; the rest is counted.
NAMES = 6


@dataclass(frozen=True, slots=True)
class Item:
    """One thing named on a line, with its address (empty: none)."""

    text: str
    href: str


@dataclass(frozen=True, slots=True)
class Line:
    """What was done that day: the word for it, the things, how many more, by whom, and what was said of it."""

    word: str
    items: tuple[Item, ...]
    more: int = 0
    by: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True)
class Day:
    """One day; `day` is `2026-03-02`."""

    day: str
    lines: tuple[Line, ...]
    pictures: tuple[Picture, ...]


@dataclass(frozen=True, slots=True)
class _Event:
    day: str
    word: str
    item: Item
    by: str = ""
    said: str = ""


#: What happens on a day, in the order in which it is told.
_ORDER = ("Work begun", "Trouble found", "Fitted", "Measured", "Tightened", "Put right", "Done", "Driven", "Signed", "Promised", "Handed over")


def has_days(source: Source) -> bool:
    """Whether anything in the document carries a date."""
    return next(_events(source, lambda records, key: ""), None) is not None or any(_day(p.photo.taken_at) for p in source.pictures.values())


def build(context: Context, homes: Homes) -> tuple[tuple[str, tuple[Day, ...]], ...]:
    """The days in order, by month."""
    events: dict[str, list[_Event]] = {}
    for event in _events(context.source, homes.record):
        events.setdefault(event.day, []).append(event)
    pictures: dict[str, list[Picture]] = {}
    for picture in context.source.pictures.values():
        if _day(picture.photo.taken_at):
            pictures.setdefault(_day(picture.photo.taken_at), []).append(picture)
    months: dict[str, list[Day]] = {}
    for day in sorted({*events, *pictures}):
        told = Day(day, tuple(_lines(events.get(day, []))), tuple(pictures.get(day, [])))
        months.setdefault(typography.month(day), []).append(told)
    return tuple((month, tuple(days)) for month, days in months.items())


def _day(text: str) -> str:
    return text[:10] if typography.date(text) != typography.clean(text) else ""


def _lines(events: Sequence[_Event]) -> Iterator[Line]:
    for word in _ORDER:
        people: dict[tuple[str, str], list[Item]] = {}
        for event in events:
            if event.word == word:
                people.setdefault((event.by, event.said), []).append(event.item)
        for (by, said), items in people.items():
            shown = NAMES if len(items) > NAMES + 1 else len(items)
            yield Line(word, tuple(items[:shown]), len(items) - shown, by, said)


def _events(source: Source, home: Any) -> Iterator[_Event]:
    """Everything of the document that carries a date."""
    for day, word, item, by, said in (*_of_the_work(source, home), *_of_the_record(source, home)):
        if _day(day):
            yield _Event(_day(day), word, item, by, said)


def _of_the_work(source: Source, home: Any) -> Iterator[tuple[str, str, Item, str, str]]:
    document = source.document
    build = document.build
    for day, word in ((build.opened_on, "Work begun"), ("" if build.delivered_on else build.promised_on, "Promised"), (build.delivered_on, "Handed over")):
        yield day, word, Item(build.title or document.car.name, ""), "", ""
    for part in document.parts:
        if part.status in ("fitted", "removed"):
            yield part.fitted_on, "Fitted", Item(source.part_name(part), home("parts", part.id)), part.fitted_by, ""
    for task in document.tasks:
        yield task.done_at, "Done", Item(task.title, home("tasks", task.id)), task.by, ""
    for drive in document.drives:
        yield drive.at, "Driven", Item(typography.typed(drive.distance) or "a drive", home("drives", drive.id)), drive.by, drive.observations


def _of_the_record(source: Source, home: Any) -> Iterator[tuple[str, str, Item, str, str]]:
    document = source.document
    for measurement in document.measurements:
        title = source.vocabulary.fact_title(measurement.fact)
        yield measurement.taken_at, "Measured", Item(title, home("measurements", measurement.id)), measurement.taken_by, ""
    for fastener in document.fasteners:
        yield fastener.at, "Tightened", Item(fastener.joint, home("fasteners", fastener.id)), fastener.by, ""
    for fix in document.fixes:
        yield fix.found_at, "Trouble found", Item(fix.title, home("fixes", fix.id)), "", ""
        yield fix.resolved_at, "Put right", Item(fix.title, home("fixes", fix.id)), "", ""
    for signoff in document.signoffs:
        item = source.result_title(signoff.accepts) if signoff.accepts else signoff.item
        yield signoff.at, "Signed", Item(typography.words(item), home("signoffs", signoff.id)), signoff.by, ""
