"""The glovebox card: two pages whatever the car, what is recorded and nothing made up."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import html5lib
import page
import pytest
from pypdf import PdfReader

from reports.answer import Answer
from reports.book import Book
from reports.document import Document
from reports.glovebox import write
from reports.sections import glovebox
from reports.sections.glovebox import Row
from reports.source import Source
from reports.theme import Theme
from reports.vocabulary import Vocabulary
from tests.reports import sample
from tests.reports.reading import squeeze, text_of_pdf


def fact(address: str, printed: str, also: str | None = None, typed: Any = None) -> dict[str, Any]:
    return {"fact": address, "printed": printed, "also": also, "typed": typed if typed is not None else printed}


FACTS = [fact("tire.pressure@front", "32 psi", "221 kPa"), fact("tire.pressure@rear", "30 psi", "207 kPa"), fact("tire.size", "205/60R15"),
         fact("brake_fluid.grade", "dot 4", typed="dot_4"), fact("radiator.capacity", "9 qt", "8.5 L"), fact("fuel_tank.capacity", "12 gal", "45 L"),
         fact("engine.fuel", "gasoline regular", typed="gasoline_regular"), fact("circuit.fuse_rating@cooling fan", "20 A"),
         fact("circuit.fused@blower", "no", typed=False), fact("fastener.applied_torque@wheel nuts", "80 lb·ft", "108 N·m")]
PARTS = [{"id": "e", "kind": "engine", "name": "Six"}, {"id": "o", "kind": "engine_oil", "name": "20W-50 mineral", "notes": "5 qt with filter"},
         {"id": "t", "kind": "transmission", "name": "Four-speed"}, {"id": "r", "kind": "radiator", "name": "Radiator"},
         {"id": "j", "kind": "jack", "name": "Scissor jack", "notes": "Under the seam behind the front wheel, at the notch."},
         {"id": "c", "kind": "clutch", "name": "Clutch", "order_as": "The 9 in disc of the later van.", "part_number": "CL-9"}]
NUTS = [{"id": "n", "joint": "wheel nuts", "thread": "M12x1.5", "applied_torque": "80 lb-ft"}]


def source(document: dict[str, Any], facts: list[dict[str, Any]] | None = None) -> Source:
    return Source(Document.of(document), Answer.of({"facts": facts or [], "ready": {"for_road": True}}), Vocabulary(sample.VOCABULARY))


def card(facts: list[dict[str, Any]] = FACTS, **changes: Any) -> glovebox.Card:
    return glovebox.build(source(sample.document(**{"parts": PARTS, "fasteners": NUTS, **changes}), facts), "2026-05-09")


def test_what_is_recorded_stands_there() -> None:
    found = card()
    assert found.tires == (Row("Front", "32 psi (221 kPa)", "205/60R15"), Row("Rear", "30 psi (207 kPa)", "205/60R15"))
    assert found.nuts == (Row("Wheel nuts", "80 lb·ft (108 N·m)", "M12x1.5"),)
    assert found.fluids == (Row("Engine oil", "20W-50 mineral", "5 qt with filter"), Row("Coolant", "kind not recorded", "9 qt (8.5 L)"),
                            Row("Brake fluid", "DOT 4"), Row("Fuel", "Gasoline regular", "tank 12 gal (45 L)"))
    assert found.fuses == (Row("Cooling fan", "20 A"), Row("Blower", "no fuse"))
    assert found.jacking == (Row("Scissor jack", "Under the seam behind the front wheel, at the notch."),)
    assert found.orders == (Row("Clutch", "The 9 in disc of the later van.", "CL-9"),)
    assert found.people[0] == Row("Owner", "Ilsabet Corrane")


def test_what_a_car_must_have_is_named_when_nothing_is_recorded() -> None:
    assert card().unknown_fluids == ("transmission fluid", "coolant")
    assert card(parts=[]).unknown_fluids == ()


def test_a_size_without_a_pressure_says_so() -> None:
    assert card(facts=[fact("tire.size", "205/60R15")]).tires == (Row("All tires", "pressure not recorded", "205/60R15"),)


@pytest.mark.parametrize("joint", ["wheel nuts", "Front wheel bolts", "lug nuts, rear"])
def test_wheel_nuts_by_any_name(joint: str) -> None:
    assert card(facts=[], fasteners=[{"id": "n", "joint": joint}]).nuts[0].value == "torque not recorded"


@pytest.mark.parametrize("joint", ["wheel cylinder bolts", "flywheel bolts", "steering wheel nut"])
def test_other_nuts_are_not_wheel_nuts(joint: str) -> None:
    assert card(fasteners=[{"id": "n", "joint": joint}]).nuts == ()


def test_what_has_no_room_is_counted() -> None:
    many = [{"id": f"p{n}", "kind": "other", "name": f"Part {n}", "order_as": "long " * 100} for n in range(40)]
    found = card(parts=many)
    assert len(found.orders) == glovebox.ROWS
    assert found.more_orders == 40 - glovebox.ROWS
    assert all(len(row.value) <= glovebox.LETTERS + 2 for row in found.orders)


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("car", ["bare", "full", "hostile"])
def test_two_pages_whatever_the_car(car: str, paper: str, tmp_path: Path) -> None:
    hostile = "<b>&" + "w" * 4000 + " \u202e😀 "
    parts = {"bare": [], "full": [{"id": f"p{n}", "kind": "other", "name": "A part with a long name " * 2, "order_as": "words " * 60} for n in range(40)],
             "hostile": [{"id": f"p{n}", "kind": "engine_oil", "name": hostile, "order_as": hostile, "notes": hostile} for n in range(3)]}[car]
    facts = FACTS + [fact(f"circuit.fuse_rating@circuit number {n}", "20 A") for n in range(40)] if car == "full" else []
    made = write(source(sample.document(parts=parts, fasteners=[]), facts), Theme.load(), tmp_path, paper, "2026-05-09")
    assert made.pdf
    assert len(PdfReader(made.pdf).pages) == 2
    assert [page.validate_pdf(made.pdf, profile=profile).failures for profile in ("3a", "ua1")] == [[], []]
    html5lib.HTMLParser(strict=True).parse(made.page.read_text(encoding="utf-8"))
    assert squeeze("Ask the shop where this car may be lifted.") in squeeze(text_of_pdf(made.pdf))


def test_the_card_comes_with_the_book(book: Book) -> None:
    text = squeeze(text_of_pdf(book.out / "glovebox.pdf"))
    tree = html5lib.parse((book.out / "glovebox.html").read_text(encoding="utf-8"), namespaceHTMLElements=False)
    pieces = [squeeze(piece) for piece in tree.find("body").itertext() if piece.strip()]
    assert len(pieces) > 20
    assert [piece for piece in pieces if piece not in text] == []
    assert squeeze("Ask for the bar of the later wagon, 1 1/8 in.") in text
