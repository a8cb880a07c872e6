"""Two editions: every field of every record is decided in one place, and what stays in the shop is nowhere in what is handed over."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from pypdf import PdfReader

from reports import edition
from reports.book import Book
from service.document import load
from service.document.records import DOCUMENT, KEYS
from service.jobs import made_from, make_book
from tests.reports import sample
from tests.reports.reading import squeeze, text_of_page, text_of_pdf

#: Keys whose text means something to the program; all others get a marker.
MEANT = {"id", "kind", "position", "system", "specs", "quantity", "status", "fact", "value", "tolerance", "file", "sha256", "edition", "class", "item",
         "count", "length", "lubricant", "specified_torque", "applied_torque", "extra_angle", "recheck_after", "thread", "estimate", "distance"}
DATES = {"fitted_on", "at", "taken_at", "found_at", "resolved_at", "rechecked_at", "done_at", "opened_on", "delivered_on"}
LISTS = {"photos", "of", "parts_added", "before", "after", "needs_parts", "fixes", "facts"}


def marker(name: str, key: str) -> str:
    return f"Zq{name}Zq{key.replace('_', 'Zq')}Zq"


def marked() -> dict[str, Any]:
    """The sample with a marker in every text of every record, and a line for the shop besides."""
    document = sample.document(visits=[{"id": "v-1", "fixes": ["A seal wept\nShop: ZqShopZqLineZq"], "notes": "Before", "opened_on": "2018-02-12",
                                        "facts": [{"fact": "driveline.shaft_slope", "value": "2.0 deg", "at": "2018-06-01"}]}])
    for name, keys in KEYS.items():
        for record in document[name]:
            record.update({key: marker(name, key) for key in keys if key not in MEANT | DATES | LISTS | {"safety", "supersedes", "replaces"}})
            if "notes" in record:
                record["notes"] += "\nShop: ZqShopZqLineZq\nand after"
    for part in document["parts"]:
        part["specs"] = {}
    for photo in document["photos"]:
        photo["of"] = ["a-2"]
    document["absent"] = []
    return load(document)


@pytest.fixture(scope="module", params=edition.EDITIONS)
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, photos: Path) -> tuple[str, Path]:
    out = tmp_path_factory.mktemp("edition") / request.param
    make_book(marked(), photos, out, edition=request.param)
    return request.param, out


def everything(out: Path) -> dict[str, str]:
    """All text of a book by where it stands, attached files, file names and metadata included."""
    found = {"pdf": squeeze(text_of_pdf(out / "book.pdf"))}
    found |= {name: data[0].decode() for name, data in PdfReader(out / "book.pdf").attachments.items()}
    with pikepdf.open(out / "book.pdf") as pdf:
        found["objects"] = squeeze(" ".join(repr(item) for item in pdf.objects if not isinstance(item, pikepdf.Stream)))
        found["metadata"] = pdf.Root.Metadata.read_bytes().decode()
    for file in (out / "site").rglob("*"):
        found[file.name] = squeeze(text_of_page(text := file.read_text(encoding="utf-8")) + text) if file.suffix in (".html", ".js", ".json", ".ics") else ""
    return found


def test_every_field_of_the_format_is_decided() -> None:
    fields = {**{name: set(keys) for name, keys in KEYS.items()},
              **{name: set(DOCUMENT.fields[name].schema.fields) for name in ("car", "build")}}
    decided = {name: edition.SHOWN[name] | edition.WITHHELD.get(name, frozenset()) for name in edition.SHOWN}
    assert decided == fields
    assert all(not edition.SHOWN[name] & withheld for name, withheld in edition.WITHHELD.items())
    assert set(DOCUMENT.fields) == set(edition.SHOWN) | edition.PLAIN


def test_what_stays_in_the_shop_is_nowhere_in_the_owners(made: tuple[str, Path]) -> None:
    name, out = made
    secret = [marker(where, key) for where, keys in edition.WITHHELD.items() for key in keys] + ["ZqShopZqLineZq", "Bill nobody else", "papers/bill.pdf"]
    for place, text in everything(out).items():
        found = [word for word in secret if squeeze(word) in text or word in place]
        assert not found or name == "shop", (place, found)


def test_the_shops_holds_everything(made: tuple[str, Path]) -> None:
    name, out = made
    texts = everything(out)
    for where, keys in edition.SHOWN.items():
        for key in keys | (edition.WITHHELD.get(where, frozenset()) if name == "shop" else frozenset()):
            if marker(where, key) in json.dumps(marked()):
                assert marker(where, key) in texts["build.json"], (where, key)
    assert (marker("parts", "supplier") in texts["pdf"]) is (marker("tasks", "notes") in texts["pdf"]) is ("ZqShopZqLineZq" in texts["pdf"]) is (name == "shop")
    assert (squeeze("Shop’s edition") in texts["pdf"]) is (name == "shop")


def test_the_pdf_alone_restores_what_its_edition_holds(made: tuple[str, Path]) -> None:
    name, out = made
    assert made_from(out / "book.pdf") == edition.view(marked(), name)


def test_the_owners_view_is_a_valid_document_and_its_own_view() -> None:
    shown = edition.view(marked(), "owner")
    assert load(shown) == shown
    assert edition.view(shown, "owner") == shown
    assert [paper["id"] for paper in shown["papers"]] == ["a-1"]


def test_lines_for_the_shop() -> None:
    document = {"build": {"notes": "Fast car.\nSHOP: he haggles.\n shop: twice\nWorkshop: at home.\nThe end."}}
    assert edition.view(document, "owner")["build"]["notes"] == "Fast car.\nWorkshop: at home.\nThe end."
    assert edition.view(document, "shop") == document


def test_a_field_nobody_decided_on_stays_in_the_shop() -> None:
    assert edition.view({"parts": [{"id": "p", "price": "12"}], "invoices": [{"id": "i"}]}, "owner") == {"parts": [{"id": "p"}], "invoices": [{}]}


def test_pictures_of_a_shop_paper_name_it_no_more() -> None:
    document = {"papers": [{"id": "a", "edition": "shop"}], "photos": [{"id": "f", "of": ["a", "b"]}]}
    assert edition.view(document, "owner") == {"papers": [], "photos": [{"id": "f", "of": ["b"]}]}


def test_there_is_no_third_edition(book: Book) -> None:
    with pytest.raises(ValueError, match="'press' is none of owner, shop"):
        edition.view({}, "press")
