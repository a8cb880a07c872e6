"""A page of the book as the renderer takes it: HTML that is XML too, and the few rules that HTML brings along.

The renderer reads HTML letter by letter in Python and matches every element against the rules for forms, notes and all writing
directions, of which the book has none. Together that was a fifth of the time of setting a page.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Any
from xml.etree import ElementTree

from cssselect2 import ElementWrapper
from weasyprint import CSS, HTML

#: What HTML's elements look like when no stylesheet says otherwise (HTML Living Standard, 15 Rendering), as far as text goes.
BY_ITSELF = """
[hidden], area, base, head, link, meta, script, source, style, template, title, track { display: none }
address, article, aside, blockquote, body, dd, details, div, dl, dt, figure, figcaption, footer, h1, h2, h3, h4, h5, h6, header, hgroup, hr,
html, main, nav, ol, p, pre, section, summary, ul { display: block }
li { display: list-item }
table { display: table; border-spacing: 2px; border-collapse: separate; box-sizing: border-box; text-indent: initial; border-color: gray }
caption { display: table-caption }
colgroup { display: table-column-group } col { display: table-column }
thead { display: table-header-group; vertical-align: middle; border-color: inherit }
tbody { display: table-row-group; vertical-align: middle; border-color: inherit }
tfoot { display: table-footer-group; vertical-align: middle; border-color: inherit }
tr { display: table-row; vertical-align: inherit; border-color: inherit }
td, th { display: table-cell; padding: 1px; vertical-align: inherit; border-color: gray }
th { font-weight: bold }
blockquote, dl, figure, ol, p, pre, ul { margin-top: 1em; margin-bottom: 1em }
blockquote, figure { margin-left: 40px; margin-right: 40px }
body { margin: 8px }
dd { margin-left: 40px } ol, ul { padding-left: 40px; counter-reset: list-item; break-before: avoid }
h1 { font-size: 2em; margin: .67em 0; bookmark-level: 1 } h2 { font-size: 1.5em; margin: .83em 0; bookmark-level: 2 }
h3 { font-size: 1.17em; margin: 1em 0; bookmark-level: 3 } h4 { margin: 1.33em 0; bookmark-level: 4 }
h5 { font-size: .83em; margin: 1.67em 0; bookmark-level: 5 } h6 { font-size: .67em; margin: 2.33em 0; bookmark-level: 6 }
h1, h2, h3, h4, h5, h6 { font-weight: bold; bookmark-label: content(text); hyphens: manual; break-after: avoid; break-inside: avoid }
address, cite, dfn, em, i, var { font-style: italic } b, strong { font-weight: bold }
code, kbd, pre, samp { font-family: monospace } pre { white-space: pre }
small, sub, sup { font-size: smaller } sub { vertical-align: sub; line-height: normal } sup { vertical-align: super; line-height: normal }
a[href], ins, u { text-decoration: underline } del, s { text-decoration: line-through } mark { background: yellow; color: black }
q::before { content: open-quote } q::after { content: close-quote }
br::before { content: "\\A"; white-space: pre-line } wbr::before { content: "\\200B" }
hr { border: 1px inset gray; margin: .5em auto }
ol { list-style-type: decimal } ul { list-style-type: disc }
li::marker { font-variant-numeric: tabular-nums; white-space: pre; text-transform: none }
img, svg { overflow: hidden }
@page {
  margin: 75px;
  @top-left { text-align: left; vertical-align: middle } @top-center { text-align: center; vertical-align: middle }
  @top-right { text-align: right; vertical-align: middle } @bottom-left { text-align: left; vertical-align: middle }
  @bottom-center { text-align: center; vertical-align: middle } @bottom-right { text-align: right; vertical-align: middle }
}
"""
#: Letters that a column of a table has room for, and one beside the text; classes of what stands beside.
LONGEST_CELL, LONGEST_NOTE = 600, 1500
BESIDE = frozenset({"side", "third"})
_DOCTYPE = re.compile(r"(?i)\A\s*<!doctype html>\s*(?=<html)")


class Leaf(HTML):  # type: ignore[misc]
    """HTML from a template of the book. One that is not well-formed XML, as a shop's own theme may write, is read as HTML."""

    def __init__(self, text: str, base_url: str, url_fetcher: Any):
        root = read(text)
        if root is None:
            super().__init__(string=text, base_url=base_url, url_fetcher=url_fetcher)
            return
        _unfold(root)
        self.base_url, self.url_fetcher, self.media_type = base_url, url_fetcher, "print"
        self.wrapper_element = ElementWrapper.from_html_root(root, content_language=None)
        self.etree_element = self.wrapper_element.etree_element

    def _ua_stylesheets(self, forms: bool = False) -> list[Any]:
        return [_by_itself()]


def read(text: str) -> ElementTree.Element | None:
    """The page's tree, None when it is no XML; one with a DOCTYPE that could define entities is not even tried."""
    bare, found = _DOCTYPE.subn("", text)
    try:
        return ElementTree.fromstring(bare) if found else None  # noqa: S314 (no DOCTYPE, no entities)
    except ElementTree.ParseError:
        return None


def _unfold(root: ElementTree.Element) -> None:
    """Set what is too long for a column below one another and not side by side.

    A table's row over many pages is set again for each of them, and what floats over more than a page stops the renderer.
    """
    for table in root.iter("table"):
        if any(sum(map(len, cell.itertext())) > LONGEST_CELL for cell in table.iter() if cell.tag in ("td", "th")):
            heads = ["".join(cell.itertext()) for cell in table.iterfind("thead/tr/th")]
            rows = [line for row in table.iterfind("tbody/tr") for line in _lines(row, heads)]
            title = [_named("p", caption) for caption in table.iterfind("caption")]
            table.tag, table[:] = "div", title + rows
    for element in root.iter():
        if (element.tag == "figure" or element.get("class") in BESIDE) and sum(map(len, element.itertext())) > LONGEST_NOTE:
            element.set("class", f"{element.get('class', '')} unfolded".strip())


def _lines(row: ElementTree.Element, heads: list[str]) -> Iterator[ElementTree.Element]:
    """A row's cells, each a paragraph after its column's name; the first without."""
    for number, cell in enumerate(row):
        if not "".join(cell.itertext()).strip():
            continue
        line = _named("p", cell)
        if number and number < len(heads):
            head = ElementTree.Element("span", {"class": "run"})
            head.text, head.tail, line.text = heads[number], f" {line.text or ''}", ""
            line.insert(0, head)
        yield line


def _named(tag: str, element: ElementTree.Element) -> ElementTree.Element:
    """The element's content under another tag."""
    made = ElementTree.Element(tag)
    made.text, made[:] = element.text, list(element)
    return made


@lru_cache(maxsize=1)
def _by_itself() -> Any:
    return CSS(string=BY_ITSELF)
