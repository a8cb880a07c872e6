"""Ordering parts for this car: what to ask for at the counter, not what the car's papers would suggest.

A part is told of at length where its record says what to ask for, where a fix changed it, or where it took the place of another;
the others stand in a table. The bolts follow, then what the papers list and the car has not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from reports import typography
from reports.anchors import anchor
from reports.document import Fastener, Fix, Part
from reports.sections.fixes import by_part
from reports.source import Source
from reports.vocabulary import Address, place

TITLE = "Ordering parts for this car"
#: Figures given along with an order, at most: enough to tell the part from its neighbors on the shelf.
FIGURES = 4
#: Figures in which a part differs from the one before it, told at most.
DIFFERENCES = 3


@dataclass(frozen=True, slots=True)
class Order:
    """One line of the list; `ask` is what to say at the counter, `not_this` what not to be sold, `changed` the fixes that changed it (title, words, anchor)."""

    part: Part
    name: str
    kind: str
    ask: str
    made: str
    figures: tuple[tuple[str, str], ...]
    not_this: str = ""
    changed: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Bolt:
    """The bolts of a joint: what to ask for, and what to mind."""

    joint: str
    ask: str
    mind: str


@dataclass(frozen=True, slots=True)
class Counter:
    """A system's lines: those where the papers would mislead, then the others, then its bolts."""

    title: str
    special: tuple[Order, ...]
    usual: tuple[Order, ...]
    bolts: tuple[Bolt, ...]


@dataclass(frozen=True, slots=True)
class Ordering:
    """Content of the section; `gone` lists what the papers show and the car has not: (name, what stands there now)."""

    papers: str
    counters: tuple[Counter, ...]
    gone: tuple[tuple[str, str], ...]


def build(source: Source) -> Ordering | None:
    """The list by system; None when there is neither part nor bolt."""
    changes = by_part(source)
    parts: dict[str, list[Order]] = {}
    for part in source.document.parts:
        if part.status != "removed":
            parts.setdefault(source.system_of(part), []).append(_order(source, part, changes.get(part.id, ())))
    bolts: dict[str, list[Bolt]] = {}
    for fastener in source.document.fasteners:
        if fastener.thread:
            bolts.setdefault(fastener.system or "fasteners", []).append(_bolt(source, fastener))
    order = [system for system in [*source.systems_present(), "fasteners"] if system in parts or system in bolts]
    counters = tuple(_counter(source, system, parts.get(system, ()), bolts.get(system, ())) for system in dict.fromkeys(order))
    return Ordering(source.document.car.name, counters, _gone(source)) if counters else None


def _counter(source: Source, system: str, orders: Sequence[Order], bolts: Sequence[Bolt]) -> Counter:
    special = [order for order in orders if order.part.order_as or order.changed or order.not_this]
    return Counter(source.vocabulary.system_title(system), tuple(special), tuple(order for order in orders if order not in special), tuple(bolts))


def _order(source: Source, part: Part, fixes: Sequence[Fix]) -> Order:
    name, kind = source.part_name(part), source.kind_and_place(part)
    figures = _figures(source, part)
    changed = tuple((fix.title, fix.next_mechanic or fix.remedy, anchor("fixes", fix.id)) for fix in fixes)
    return Order(part, name, kind if kind.lower() != name.lower() else "", part.order_as or _asked(part, name, figures), part.maker, figures,
                 _not_this(source, part), changed)


def _asked(part: Part, name: str, figures: Sequence[tuple[str, str]]) -> str:
    """What to ask for where the record does not say: by maker and number, else by its figures, else by name."""
    if part.part_number:
        return " ".join(word for word in (part.maker, part.part_number) if word)
    size = ", ".join(f"{title} {value}" for title, value in figures)
    return ", ".join(word for word in (part.maker, size) if word) or f"{name}; no number is recorded, take the old one along"


def _figures(source: Source, part: Part) -> tuple[tuple[str, str], ...]:
    return tuple((source.vocabulary.field_title(f"{part.kind}.{field}"), typography.typed(value)) for field, value in list(part.specs.items())[:FIGURES])


def _not_this(source: Source, part: Part) -> str:
    """The part that this one took the place of, and in what it differs."""
    old = source.parts.get(part.replaces) or next((other for other in source.document.parts if _gave_way(other, part)), None)
    if not old or old.id == part.id:
        return ""
    differences = _differences(source, old, part)
    if not differences and (old.maker, old.part_number) == (part.maker, part.part_number):
        return ""
    numbers = " ".join(word for word in (old.maker, old.part_number) if word)
    said = f"{source.part_name(old)}{f' ({numbers})' if numbers else ''}, which it replaced"
    return ": ".join(word for word in (said, "; ".join(differences)) if word)


def _gave_way(old: Part, new: Part) -> bool:
    """Whether a removed part stood where the new one stands."""
    return old.status == "removed" and old.kind == new.kind != "other" and _base(old.position) == _base(new.position)


def _base(position: str) -> str:
    return position.partition(":")[0]


def _differences(source: Source, old: Part, new: Part) -> list[str]:
    """`bore 22 mm, not 19 mm` for the figures that both state and that differ."""
    found = [f"{source.vocabulary.field_title(f'{new.kind}.{field}')} {typography.typed(value)}, not {typography.typed(old.specs[field])}"
             for field, value in new.specs.items() if field in old.specs and typography.typed(old.specs[field]) != typography.typed(value)]
    return found[:DIFFERENCES]


def _bolt(source: Source, fastener: Fastener) -> Bolt:
    """Thread, length and class as they are asked for; what is special about them."""
    class_ = typography.typed(fastener.class_)
    length = f" × {typography.typed(fastener.length)}" if fastener.length else ""
    count = f"{fastener.count} × " if fastener.count else ""
    ask = f"{count}{fastener.thread}{length}" + (f", class {class_}" if class_ and class_ != "unmarked" else "")
    result = source.answer.find(f"fasteners.length_to_order@{fastener.joint}")
    special = bool(result and isinstance(result.series, Mapping) and result.series.get("special"))
    mind = ["not a length, thread or class of every shelf: order ahead" if special else "",
            "tightened by angle: new bolts each time" if fastener.extra_angle else "",
            "head unmarked: do not trust its strength" if class_ == "unmarked" else "", "length not recorded: measure before ordering" if not length else ""]
    return Bolt(fastener.joint, ask, "; ".join(word for word in mind if word))


def _gone(source: Source) -> tuple[tuple[str, str], ...]:
    """Removed parts with what stands there now, then what is deliberately not fitted."""
    rows = []
    for old in (part for part in source.document.parts if part.status == "removed"):
        new = next((part for part in source.document.parts if part.status != "removed" and (part.replaces == old.id or _gave_way(old, part))), None)
        rows.append((source.part_name(old), source.part_name(new) if new else "nothing: taken off"))
    rows += [(_absent(source, name), "nothing: deliberately not fitted") for name in source.document.absent]
    return tuple(rows)


def _absent(source: Source, name: str) -> str:
    address = Address.of(name)
    if address.field:
        return source.vocabulary.fact_title(name)
    title = source.vocabulary.kind(address.subject).title
    return f"{title}, {place(address.position)}" if address.position else title
