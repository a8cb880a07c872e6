"""The words that the site's search looks through, as a plain script: a page opened from a folder may not fetch data, but may load scripts."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator

from reports import typography
from reports.context import Context
from reports.site import timeline
from reports.site.homes import Homes
from reports.source import Source, texts

#: One entry: address, title, the chapter it stands in, and the text that is searched besides the title.
Entry = tuple[str, str, str, str]


def script(entries: Iterable[Entry]) -> str:
    """`search-index.js`: one global with all entries; ASCII only, so that no reader can mistake its encoding."""
    known = [{"id": index, "href": href, "title": typography.clean(title), "where": where, "text": typography.clean(text)}
             for index, (href, title, where, text) in enumerate(entries) if href]
    return f"window.BOOK_INDEX = {json.dumps(known, ensure_ascii=True, separators=(',', ':'))};\n"


def of_many(context: Context, homes: Homes) -> Iterator[Entry]:
    """The words that a search over many cars looks through: the parts, without their figures, and what was put right."""
    yield from _parts(context.source, homes, brief=True)
    yield from _fixes(context.source, homes, {section.key: section.title for section in context.sections})


def entries(context: Context, homes: Homes) -> Iterator[Entry]:
    """The words that the search of one car's site looks through."""
    source = context.source
    titles = {section.key: section.title for section in context.sections}
    for section in context.sections:
        yield homes.href(section.key), section.title, section.parent, ""
    yield from _parts(source, homes)
    yield from _findings(source, homes, titles)
    yield from _fixes(source, homes, titles)
    yield from _readings(source, homes, titles)
    yield from _records(source, homes, titles)
    yield from _photographs(context, homes)
    for group in context.section("cautions").content if context.has("cautions") else ():
        for sentence in group.sentences:
            yield homes.href("cautions"), group.title or titles["cautions"], titles["cautions"], sentence
    if timeline.has_days(source):
        yield "timeline.html", timeline.TITLE, "", ""


def _parts(source: Source, homes: Homes, *, brief: bool = False) -> Iterator[Entry]:
    for part in source.document.parts:
        words = texts(source.kind_and_place(part), part.maker, part.part_number, part.serial, part.supplier, part.order_as)
        if not brief:
            words += texts(part.notes, *(f"{source.vocabulary.field_title(f'{part.kind}.{field}')} {typography.typed(value)}"
                                         for field, value in part.specs.items()))
        yield homes.record("parts", part.id), source.part_name(part), source.vocabulary.system_title(source.system_of(part)), " · ".join(words)


def _findings(source: Source, homes: Homes, titles: dict[str, str]) -> Iterator[Entry]:
    for result in source.answer.results:
        words = texts(result.verdict, source.vocabulary.system_title(result.system), result.summary)
        yield homes.result(result), source.result_title(result.address), titles.get("findings", ""), " · ".join(words)


def _fixes(source: Source, homes: Homes, titles: dict[str, str]) -> Iterator[Entry]:
    for fix in source.document.fixes:
        words = texts(fix.problem, fix.cause, fix.remedy, fix.next_mechanic)
        yield homes.record("fixes", fix.id), fix.title, titles.get("fixes", ""), " · ".join(words)


def _readings(source: Source, homes: Homes, titles: dict[str, str]) -> Iterator[Entry]:
    for measurement in source.document.measurements:
        words = texts(measurement.printed, measurement.instrument, measurement.condition, measurement.taken_by, measurement.notes)
        yield (homes.record("measurements", measurement.id), typography.sentence(source.vocabulary.fact_title(measurement.fact)),
               titles.get("inputs", ""), " · ".join(words))
    for spec in source.document.specs:
        words = texts(typography.typed(spec.value), typography.words(spec.basis), spec.notes)
        yield homes.record("specs", spec.id), typography.sentence(source.vocabulary.fact_title(spec.fact)), titles.get("inputs", ""), " · ".join(words)


def _records(source: Source, homes: Homes, titles: dict[str, str]) -> Iterator[Entry]:
    document = source.document
    for fastener in document.fasteners:
        words = texts(fastener.thread, typography.typed(fastener.class_), typography.typed(fastener.applied_torque), fastener.lubricant, fastener.tool,
                      fastener.by, fastener.notes)
        yield homes.record("fasteners", fastener.id), typography.sentence(fastener.joint), titles.get("tightening", ""), " · ".join(words)
    for task in document.tasks:
        yield homes.record("tasks", task.id), task.title, titles.get("work", ""), " · ".join(texts(task.by, task.notes))
    for drive in document.drives:
        yield homes.record("drives", drive.id), typography.date(drive.at), titles.get("road-test", ""), drive.observations
    for signoff in document.signoffs:
        yield homes.record("signoffs", signoff.id), typography.sentence(typography.words(signoff.item)), titles.get("signatures", ""), \
            " · ".join(texts(signoff.by, signoff.role, signoff.statement))
    for visit in document.visits:
        yield homes.record("visits", visit.id), visit.title or typography.date(visit.opened_on), titles.get("visits", ""), \
            " · ".join(texts(*visit.fixes, visit.notes))


def _photographs(context: Context, homes: Homes) -> Iterator[Entry]:
    for key, picture in context.source.pictures.items():
        yield homes.record("photos", key), picture.photo.caption or "Photograph", "Photograph", typography.date(picture.photo.taken_at)
