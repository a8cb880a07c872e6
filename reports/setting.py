"""Setting one part in type: pages with placeholders, then their numbers, then a PDF that can be bound with the others."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from reports import pdf
from reports.parts import PLACEHOLDER, SCHEME
from reports.theme import Theme

#: Numbers of the structure tree for links, apart from those for pages: room for this many links a page.
LINKS, LINKS_A_PAGE = 100_000, 1_000
#: WeasyPrint lays out in pixels of 1/96 inch; PDF has points.
POINTS = 0.75


@dataclass(frozen=True, slots=True)
class Layout:
    """What a part tells once it is set: its pages, where its anchors are, whose page numbers it wants, its outline."""

    pages: int
    anchors: Mapping[str, int]
    wanted: tuple[str, ...]
    outline: list[Any] = field(default_factory=list)


@dataclass(slots=True)
class Set:
    """A part set in type, waiting for its numbers."""

    key: str
    rendered: Any
    layout: Layout


def lay_out(key: str, html: str, theme: Theme, paper: str, photos: Path) -> Set:
    """Set a part in type."""
    rendered = pdf.lay_out(html, theme, paper, photos)
    anchors: dict[str, int] = {}
    for number, page in enumerate(rendered.pages):
        for name in page.anchors:
            anchors.setdefault(name, number)
    wanted = dict.fromkeys(target for page in rendered.pages for target, _ in _open_boxes(page) if target)
    return Set(key, rendered, Layout(len(rendered.pages), anchors, tuple(wanted), _outline(rendered.make_bookmark_tree(POINTS, transform_pages=True))))


def print_out(part: Set, start: int, numbers: Mapping[str, int], out: Path) -> None:
    """Write a set part as PDF: its first page is page `start` of the book, `numbers` gives the page of each anchor it wants."""
    for offset, page in enumerate(part.rendered.pages):
        for target, box in _open_boxes(page):
            number = numbers.get(target) if target else start + offset
            _fill(box, str(number) if number else "", beside=bool(target) and box.text != PLACEHOLDER)

    def finish(document: Any, file: Any) -> None:
        _number(file, part.key, start)

    pdf.print_out(part.rendered, out, part.key.encode(), finish)


def _open_boxes(page: Any) -> Iterator[tuple[str, Any]]:
    """The boxes of a page that wait for a number, each with the anchor it is the page of; no anchor for the page's own."""
    from weasyprint.formatting_structure.boxes import MarginBox, TextBox

    for child in page._page_box.children:
        margin = isinstance(child, MarginBox)
        for box in child.descendants() if hasattr(child, "descendants") else ():
            if not isinstance(box, TextBox) or PLACEHOLDER not in box.text:
                continue
            if margin and box.text == PLACEHOLDER:
                yield "", box
            elif not margin and str(box.element_tag).endswith("::after") and (box.element.get("href") or "").startswith(SCHEME):
                yield box.element.get("href").removeprefix(SCHEME), box


def _fill(box: Any, number: str, beside: bool) -> None:
    """Put the number where its placeholder is; one that stands alone keeps its right edge."""
    text = box.text.replace(PLACEHOLDER, number) if number else ""
    if not beside:
        box.position_x += box.width * (1 - len(text) / len(box.text))
    box.text = box.pango_layout.text = text or "\u200b"


def _number(file: Any, key: str, start: int) -> None:
    """Make what must be unique in the bound book so: table headers by the part's name, structure numbers by its first page; links inner ones."""
    link = LINKS + (start - 1) * LINKS_A_PAGE
    for entry in file.objects:
        if not isinstance(entry, dict):
            continue
        if entry.get("S") in ("/TH", "/TD"):
            _own_headers(entry, key)
        elif entry.get("Type") == "/Page" and "StructParents" in entry:
            entry["StructParents"] += start - 1
        elif entry.get("Type") == "/Annot":
            _inner_link(entry)
            if "StructParent" in entry:
                entry["StructParent"] = link + entry["StructParent"]
        elif "Nums" in entry:
            pages = len(file.page_references)
            entry["Nums"][::2] = [number + start - 1 if number < pages else link + number for number in entry["Nums"][::2]]


def _own_headers(entry: Any, key: str) -> None:
    from pydyf import String

    if "ID" in entry:
        entry["ID"] = String(f"{key} {entry['ID'].string}")
    headers = entry.get("A", {}).get("Headers")
    if headers:
        headers[:] = [String(f"{key} {header.string}") for header in headers]


def _inner_link(entry: Any) -> None:
    from pydyf import String

    target = entry.get("A", {}).get("URI")
    if target is not None and target.string.startswith(SCHEME):
        del entry["A"]
        entry["Dest"] = String(target.string.removeprefix(SCHEME))
        entry["Contents"] = String("To another page of the book")


def _outline(tree: list[Any]) -> list[Any]:
    """The part's outline as plain lists: title, page, x, y, children."""
    return [[title, page, round(x, 2), round(y, 2), _outline(children)] for title, (page, x, y), children, _ in tree]
