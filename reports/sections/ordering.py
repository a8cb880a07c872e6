"""Ordering parts for this car: what to ask for at the counter, not what the car's papers would suggest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reports import typography
from reports.document import Part
from reports.source import Source

TITLE = "Ordering parts for this car"
#: Figures given along with an order, at most: enough to tell the part from its neighbors on the shelf.
FIGURES = 4


@dataclass(frozen=True, slots=True)
class Order:
    """One line of the list; `ask` is what to say at the counter."""

    part: Part
    name: str
    kind: str
    ask: str
    made: str
    figures: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Counter:
    """A system's lines: those where the papers would mislead, then the others."""

    title: str
    special: tuple[Order, ...]
    usual: tuple[Order, ...]


def build(source: Source) -> tuple[Counter, ...] | None:
    """The list by system; a part with nothing to ask for by is left out."""
    systems: dict[str, list[Order]] = {}
    for part in source.document.parts:
        if part.status != "removed" and any((part.order_as, part.part_number, part.supplier, part.maker)):
            systems.setdefault(source.system_of(part), []).append(_order(source, part))
    order = [system for system in source.systems_present() if system in systems]
    counters = tuple(_counter(source, system, systems[system]) for system in order)
    return counters or None


def _counter(source: Source, system: str, orders: Sequence[Order]) -> Counter:
    return Counter(source.vocabulary.system_title(system), tuple(order for order in orders if order.ask),
                   tuple(order for order in orders if not order.ask))


def _order(source: Source, part: Part) -> Order:
    figures = tuple((source.vocabulary.field_title(f"{part.kind}.{field}"), typography.typed(value))
                    for field, value in list(part.specs.items())[:FIGURES])
    name, kind = source.part_name(part), source.kind_and_place(part)
    return Order(part, name, kind if kind.lower() != name.lower() else "", part.order_as, part.maker, figures)
