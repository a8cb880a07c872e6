"""What was changed and why: each trouble with its cause, its remedy, the numbers before and after, its photographs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reports import typography
from reports.anchors import anchor
from reports.document import Fix
from reports.photos import Picture
from reports.source import Source
from reports.vocabulary import Address, place

TITLE = "What was changed and why"


@dataclass(frozen=True, slots=True)
class Change:
    """One measured figure before and after; either may be empty."""

    title: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class FixEntry:
    """A fix as printed."""

    fix: Fix
    system: str
    anchor: str
    open: bool
    changes: tuple[Change, ...]
    parts: tuple[str, ...]
    figures: tuple[tuple[str, str], ...]
    pictures: tuple[Picture, ...]


def build(source: Source) -> tuple[FixEntry, ...] | None:
    """The fixes in the document's order, None when there are none."""
    entries = tuple(_entry(source, index, fix) for index, fix in enumerate(source.document.fixes, 1))
    return entries or None


def _entry(source: Source, index: int, fix: Fix) -> FixEntry:
    pictures = tuple(picture for picture in source.pictures.values()
                     if fix.id in picture.photo.of or picture.photo.id in fix.photos)
    parts = tuple(source.part_name(source.parts[key]) if key in source.parts else key for key in fix.parts_added)
    system = source.vocabulary.system_title(fix.system) if fix.system else ""
    changes = _changes(source, fix)
    return FixEntry(fix, system, anchor("fixes", fix.id or str(index)), not is_closed(fix), changes, parts, _figures(fix, system, changes, parts), pictures)


def _figures(fix: Fix, system: str, changes: Sequence[Change], parts: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """What stands beside the fix: where, when, the numbers before and after, the parts."""
    pairs = [("system", system), ("touches safety", "yes" if fix.safety else ""), ("found", typography.date(fix.found_at)),
             ("resolved", typography.date(fix.resolved_at)),
             *((change.title, " → ".join(text for text in (change.before, change.after) if text)) for change in changes), ("parts", "; ".join(parts))]
    return tuple((name, value) for name, value in pairs if value)


def is_closed(fix: Fix) -> bool:
    """Whether the trouble is resolved."""
    return bool(fix.resolved_at) or fix.status in ("resolved", "closed", "done")


def _changes(source: Source, fix: Fix) -> tuple[Change, ...]:
    """Before and after side by side for the same fact, in the order recorded."""
    pairs: dict[str, list[str]] = {}
    for side, keys in enumerate((fix.before, fix.after)):
        for key in keys:
            measurement = source.measurements.get(key)
            if measurement:
                pairs.setdefault(measurement.fact, ["", ""])[side] = measurement.printed
    return tuple(Change(_title(source, fact), before, after) for fact, (before, after) in pairs.items())


def _title(source: Source, fact: str) -> str:
    address = Address.of(fact)
    title = source.vocabulary.field_title(fact)
    return f"{title}, {place(address.position)}" if address.position else title


def by_part(source: Source) -> dict[str, tuple[Fix, ...]]:
    """The fixes that brought each part, by the part's id."""
    found: dict[str, tuple[Fix, ...]] = {}
    for fix in source.document.fixes:
        for key in fix.parts_added:
            found[key] = (*found.get(key, ()), fix)
    return found
