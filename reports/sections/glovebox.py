"""The glovebox card: what is asked for beside the road, on two pages. Only what is recorded, and what of that a stranger needs."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from reports import typography
from reports.document import Fastener, Part
from reports.source import Source
from reports.vocabulary import place

TITLE = "Glovebox card"
#: Fluids in the order of the walk round the car: kinds of part, what they are called, the fact that gives their quantity.
FLUIDS = (("engine_oil", "Engine oil", ""), ("transmission_fluid", "Transmission fluid", ""), ("gear_oil", "Gear oil", ""),
          ("coolant", "Coolant", "radiator.capacity"), ("brake_fluid", "Brake fluid", ""), ("power_steering_fluid", "Power steering fluid", ""))
#: Rows that a page has room for, and letters that a row has room for; the rest stands in the book.
ROWS, LETTERS, NAME_LETTERS = 14, 150, 60
#: Fluids that a car must have when a part of that kind is on it.
_NEEDED = {"engine": ("engine_oil", "engine oil"), "transmission": ("transmission_fluid", "transmission fluid"), "axle": ("gear_oil", "axle oil"),
           "radiator": ("coolant", "coolant"), "master_cylinder": ("brake_fluid", "brake fluid"),
           "power_steering_pump": ("power_steering_fluid", "power steering fluid")}
_WHEEL_NUT = re.compile(r"\b(?<!steering )wheel (nut|bolt|stud)s?\b|\blug (nut|bolt)s?\b", re.IGNORECASE)
_JACKING = re.compile(r"\bjack(ing|ed)?\b|\blift(ing)?\b.*\b(point|pad|here)s?\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Row:
    """One line: what, and up to two things said of it."""

    name: str
    value: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Card:
    """Content of the card. `jacking` is empty when nothing is recorded, which the card then says; `more_*` count what had no room."""

    identity: tuple[Row, ...]
    tires: tuple[Row, ...]
    nuts: tuple[Row, ...]
    fluids: tuple[Row, ...]
    unknown_fluids: tuple[str, ...]
    fuses: tuple[Row, ...]
    more_fuses: int
    jacking: tuple[Row, ...]
    orders: tuple[Row, ...]
    more_orders: int
    people: tuple[Row, ...]
    for_road: bool
    as_of: str


def build(source: Source, as_of: str) -> Card:
    """The card of a car; `as_of` is the date of the record."""
    fuses, orders = _fuses(source), _orders(source)
    return Card(_fit(_identity(source)), _fit(_tires(source)), _fit(_nuts(source.document.fasteners, source)), _fit(_fluids(source)),
                _unknown_fluids(source), _fit(fuses[:ROWS]), max(0, len(fuses) - ROWS), _fit(_jacking(source)), _fit(orders[:ROWS]),
                max(0, len(orders) - ROWS), _fit(_people(source)), source.answer.for_road, typography.date(as_of))


def _fit(rows: Iterable[Row]) -> tuple[Row, ...]:
    """The rows with as much text as they have room for."""
    return tuple(Row(_short(row.name, NAME_LETTERS), _short(row.value), _short(row.note)) for row in rows)


def _identity(source: Source) -> tuple[Row, ...]:
    car = source.document.car
    use = typography.words(source.document.build.use)
    pairs = (("serial number", car.serial), ("identification number", car.vin), ("color", car.color), ("built for", use), ("mass", _fact(source, "car.mass")))
    return tuple(Row(name, value) for name, value in pairs if value)


def _fact(source: Source, address: str) -> str:
    fact = source.facts.get(address)
    return fact.text if fact else ""


def _choice(source: Source, address: str) -> str:
    """A choice in words: `DOT 4`, `ethylene`."""
    fact = source.facts.get(address)
    return typography.typed(fact.typed or fact.printed) if fact else ""


def _tires(source: Source) -> tuple[Row, ...]:
    """Pressures by place, places of one pressure and size together; a size without a pressure says that it is not recorded."""
    facts = [fact for fact in source.answer.facts if fact.subject == "tire" and fact.field in ("pressure", "size")]
    sizes = {fact.position: fact.text for fact in facts if fact.field == "size"}
    pressures = {fact.position: fact.text for fact in facts if fact.field == "pressure"}
    together: dict[tuple[str, str], list[str]] = {}
    for position in pressures or sizes:
        size = sizes.get(position) or sizes.get(position.partition("_")[0]) or sizes.get("", "")
        together.setdefault((pressures.get(position) or "pressure not recorded", size), []).append(place(position) or "all tires")
    return tuple(Row(typography.sentence(", ".join(places)), value, note) for (value, note), places in together.items())


def _nuts(fasteners: Iterable[Fastener], source: Source) -> tuple[Row, ...]:
    rows = []
    for fastener in fasteners:
        if _WHEEL_NUT.search(fastener.joint):
            torque = _fact(source, f"fastener.applied_torque@{fastener.joint}") or _fact(source, f"fastener.specified_torque@{fastener.joint}")
            said = typography.typed(fastener.applied_torque or fastener.specified_torque)
            rows.append(Row(typography.sentence(fastener.joint), torque or said or "torque not recorded", typography.typed(fastener.thread)))
    return tuple(rows)


def _fluids(source: Source) -> tuple[Row, ...]:
    rows = [row for kind, title, quantity in FLUIDS if (row := _fluid(source, kind, title, quantity))]
    tank, fuel = _fact(source, "fuel_tank.capacity"), _choice(source, "engine.fuel") or _choice(source, "fuel_system.fuel")
    if tank or fuel:
        rows.append(Row("Fuel", typography.sentence(fuel) or "kind not recorded", f"tank {tank}" if tank else ""))
    if battery := _fact(source, "battery.capacity"):
        rows.append(Row("Battery", battery))
    return tuple(rows)


def _fluid(source: Source, kind: str, title: str, quantity: str) -> Row | None:
    """A fluid by its part and its facts; None when neither tells of it."""
    parts = [part for part in source.document.parts if part.kind == kind and part.status == "fitted"]
    grade = _choice(source, f"{kind}.grade") or _choice(source, f"{kind}.glycol_type")
    said = "; ".join(dict.fromkeys(_words(part) for part in parts))
    named = said or grade
    amount = _fact(source, quantity) if quantity else ""
    notes = "; ".join(dict.fromkeys(part.notes for part in parts if part.notes))
    if not (named or amount):
        return None
    return Row(title, f"{named}, {grade}" if said and grade and grade.lower() not in said.lower() else named or "kind not recorded",
               "; ".join(text for text in (amount, notes) if text))


def _unknown_fluids(source: Source) -> tuple[str, ...]:
    """Fluids that the car must have and the record says nothing of."""
    fitted = {part.kind for part in source.document.parts if part.status == "fitted"}
    told = fitted | {fact.subject for fact in source.answer.facts}
    return tuple(title for kind, (fluid, title) in _NEEDED.items() if kind in fitted and fluid not in told)


def _words(part: Part) -> str:
    return part.order_as or ", ".join(word for word in (part.name, part.maker, part.part_number) if word)


def _fuses(source: Source) -> list[Row]:
    ratings = [fact for fact in source.answer.facts if fact.subject == "circuit" and fact.field == "fuse_rating"]
    unfused = [fact for fact in source.answer.facts if fact.subject == "circuit" and fact.field == "fused" and typography.typed(fact.typed) == "no"]
    return [Row(typography.sentence(place(fact.position)), fact.text) for fact in ratings] + [
        Row(typography.sentence(place(fact.position)), "no fuse") for fact in unfused]


def _jacking(source: Source) -> tuple[Row, ...]:
    """What the record says of lifting the car: texts of parts that speak of it, and the jack itself."""
    found = [Row(source.part_name(part), part.notes or part.order_as) for part in source.document.parts
             if part.status == "fitted" and (part.kind == "jack" or _JACKING.search(part.notes))]
    return tuple(found[:4])


def _orders(source: Source) -> list[Row]:
    parts = [part for part in source.document.parts if part.order_as and part.status != "removed"]
    return [Row(source.part_name(part), part.order_as, part.part_number if part.part_number not in part.order_as else "") for part in parts]


def _people(source: Source) -> tuple[Row, ...]:
    """The owner, then whoever signed, with what they signed for."""
    owner = source.document.car.owner
    signed: dict[str, list[str]] = {}
    for signoff in source.document.signoffs:
        if signoff.by and not signoff.item.startswith("accept:"):
            signed.setdefault(f"{signoff.by}, {signoff.role}" if signoff.role else signoff.by, []).append(signoff.item.replace("_", " "))
    rows = [Row("Owner", str(owner["name"]), str(owner.get("contact") or ""))] if owner.get("name") else []
    return tuple(rows + [Row("Built and signed by", who, "for " + ", ".join(dict.fromkeys(items))) for who, items in list(signed.items())[:4]])


def _short(text: str, letters: int = LETTERS) -> str:
    """As much as there is room for, cut between words."""
    plain = " ".join(typography.clean(text).split())
    return plain if len(plain) <= letters else plain[:letters].rsplit(" ", 1)[0].rstrip(",;:.") + " …"
