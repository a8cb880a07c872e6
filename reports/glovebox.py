"""The glovebox card as files: two printed pages and one page for a screen that needs nothing beside it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from markupsafe import Markup

from reports import pdf, qr
from reports.conformance import conform
from reports.sections import glovebox
from reports.source import Source
from reports.theme import Theme

PAGES = 2
#: Sizes of type tried in turn, in points, until the card has room on its two pages.
SIZES = (10.5, 9.2, 8.0, 7.0)
_PAPER = "@page {{ size: {size}; margin: 0.75in; @top-left {{ content: none }} @top-right {{ content: none }} @bottom-right {{ content: none }} }}"


@dataclass(frozen=True, slots=True)
class Card:
    """The two files."""

    pdf: Path | None
    page: Path


def write(source: Source, theme: Theme, out: Path, paper: str, day: str, *, with_pdf: bool = True) -> Card:
    """Write `glovebox.html` and, if asked, `glovebox.pdf` below `out`."""
    card = glovebox.build(source, day)
    name = source.document.car.name
    page = out / "glovebox.html"
    page.write_text(_html(theme, card, name, "site", source.address), encoding="utf-8")
    if not with_pdf:
        return Card(None, page)
    file = out / "glovebox.pdf"
    _print(_html(theme, card, name, "pdf", source.address), theme, file, paper)
    conform(file, f"{name}: glovebox card", "Pressures, fluids, torques, fuses, what to order as what, whom to call", day)
    return Card(file, page)


def _print(html: str, theme: Theme, file: Path, paper: str) -> None:
    rendered: Any = None
    for size in SIZES:
        extra = f"{_PAPER.format(size=pdf.PAGE_SIZES[paper])}\nhtml {{ font-size: {size}pt; line-height: 1.4 }}"
        rendered = pdf.lay_out(html, theme, paper, file.parent, sheets=("base.css", "print.css", "card.css"), extra=extra)
        if len(rendered.pages) <= PAGES:
            break
    pdf.put(rendered, file, html)


def _nowhere(section: str, anchor: str = "") -> str:
    return ""


def _html(theme: Theme, card: glovebox.Card, name: str, medium: str, address: str) -> str:
    environment = theme.environment(_nowhere, card=card, name=name, medium=medium, address=address, qr=qr.code,
                                    style=Markup(theme.style("base.css") + theme.style("card.css")))  # noqa: S704 (our own stylesheet)
    return theme.painted(environment.get_template("glovebox.html").render())
