"""The printed book in parts that can be set apart: each begins a page and depends on the others by page numbers alone.

Setting a part in type takes nearly all of the time of a book; parts can be set side by side, and one that has not changed
need not be set again. A number that is not known while a part is set stands there as `PLACEHOLDER`, of the same width
whatever it turns out to be, and links name their target as `book:anchor`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reports import qr
from reports.context import Context, Section
from reports.theme import Theme

#: Stands for a page number while a part is set.
PLACEHOLDER = "000"
#: How a link inside the book is written while its parts are apart.
SCHEME = "book:"
#: Weights at which a part is large enough: records and drawings of a chapter, checks of a section, rows of photographs.
CHAPTER_WEIGHT, CHECKS, ROWS = 8, 14, 12
#: Sections that are parts of their own; others are joined with their neighbors.
_ALONE = frozenset({"glance", "fixes", "ordering", "inputs"})


@dataclass(frozen=True, slots=True)
class Piece:
    """A section, or what a part shows of it; `continues` when an earlier part began it."""

    section: Section
    continues: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """One part; the first one is the cover with the contents and has no pieces."""

    key: str
    pieces: tuple[Piece, ...]


def divide(context: Context) -> list[Part]:
    """The book's parts in their order."""
    parts = [Part("front", ())]
    for run in _runs(context.sections):
        parts += [Part(f"{run[0].key}-{number}", pieces) for number, pieces in enumerate(_pieces(run), 1)]
    return parts


def page(context: Context, theme: Theme, part: Part) -> str:
    """A part as an HTML page."""
    def href(section: str, anchor: str = "") -> str:
        return f"{SCHEME}{anchor or section}"

    environment = theme.environment(href, book=context, medium="pdf", photo_folder="photos", qr=qr.code)
    return theme.painted(environment.get_template("book.html").render(part=part))


def _runs(sections: Sequence[Section]) -> Iterator[list[Section]]:
    """Sections that are divided together: the chapters of one heading, a large section, small ones side by side."""
    run: list[Section] = []
    for section in sections:
        if run and not _belong(run[-1], section):
            yield run
            run = []
        run.append(section)
    if run:
        yield run


def _belong(before: Section, section: Section) -> bool:
    if before.parent or section.parent:
        return before.parent == section.parent
    large = _ALONE | {"findings", "photographs"}
    return before.key not in large and section.key not in large


def _pieces(run: Sequence[Section]) -> Iterator[tuple[Piece, ...]]:
    first = run[0]
    if first.parent:
        yield from _chapters(run)
    elif first.key == "findings":
        yield from _findings(first)
    elif first.key == "photographs":
        yield from _photographs(first)
    else:
        yield tuple(Piece(section) for section in run)


def _chapters(run: Sequence[Section]) -> Iterator[tuple[Piece, ...]]:
    """Chapters together until they have some weight."""
    held: list[Piece] = []
    weight = 0
    for section in run:
        held.append(Piece(section, continues=section is not run[0]))
        weight += len(section.content.parts) + len(section.content.groups) + 2 * len(section.content.drawings)
        if weight >= CHAPTER_WEIGHT:
            yield tuple(held)
            held, weight = [], 0
    if held:
        yield tuple(held)


def _findings(section: Section) -> Iterator[tuple[Piece, ...]]:
    """Systems together until they have some checks; counts stand in the first part, what to measure in the last."""
    content = section.content
    groups: list[list[object]] = [[]]
    checks = 0
    for system in content.systems:
        if checks >= CHECKS:
            groups.append([])
            checks = 0
        groups[-1].append(system)
        checks += len(system.checks) if hasattr(system, "checks") else len(system[1])
    for number, group in enumerate(groups):
        shown = replace(content, systems=tuple(group), counts=content.counts if number == 0 else {}, attention=content.attention if number == 0 else (),
                        measure_next=content.measure_next if number == len(groups) - 1 else ())
        yield (Piece(replace(section, content=shown), continues=number > 0),)


def _photographs(section: Section) -> Iterator[tuple[Piece, ...]]:
    rows = section.content.rows
    for start in range(0, len(rows), ROWS):
        yield (Piece(replace(section, content=replace(section.content, rows=rows[start:start + ROWS])), continues=start > 0),)
