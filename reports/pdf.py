"""The PDF: the same templates on paper, with contents, outline, running heads and tags; the same input gives the same bytes."""

from __future__ import annotations

import atexit
import gc
import hashlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from reports.conformance import Attachment, conform
from reports.context import Context
from reports.theme import PRINT_FONTS, Theme

#: The address that all of the book's own files are given while the PDF is made.
SHELF = "file:///book/"
SHEETS = ("base.css", "print.css")
PAGE_SIZES = {"letter": "8.5in 11in", "a4": "210mm 297mm"}


def write(context: Context, theme: Theme, photos: Path, out: Path, paper: str, day: str, attachments: Sequence[Attachment] = (),
          kept: Path | None = None, progress: Callable[[float], None] | None = None) -> int:
    """Write the PDF and return its page count; `photos` is the folder of the finished renditions, `day` the date of the record.

    Parts of the book are kept in the folder `kept`, if one is given, and taken from there when nothing in them has changed.
    """
    from reports.press import print_book

    pages = print_book(context, theme, photos, out, paper, kept, progress)
    conform(out, context.name, context.title, day, attachments)
    return pages


def lay_out(html: str, theme: Theme, paper: str, photos: Path, *, sheets: tuple[str, ...] = SHEETS, extra: str = "") -> Any:
    """The pages of an HTML text set with a theme's stylesheets; what it shows of `photos/` is looked for in `photos`."""
    from reports.leaf import Leaf

    sheet, fonts = _style(theme, paper, sheets, extra)
    with _collector_at_rest():
        return Leaf(html, SHELF, _shelf("photos/", photos)).render(stylesheets=[sheet], font_config=fonts)


def warm(theme: Theme, paper: str) -> None:
    """Get ready to lay out: the renderer, the styles and fonts of the book."""
    _style(theme, paper, SHEETS, "")


def put(rendered: Any, out: Path, html: str) -> None:
    """Write laid out pages as a tagged PDF for archives, numbered by its text."""
    identifier = hashlib.sha256(html.encode("utf-8", "backslashreplace")).hexdigest()[:32].encode()
    print_out(rendered, out, identifier)


def print_out(rendered: Any, out: Path, identifier: bytes, finisher: Any = None) -> None:
    """Write laid out pages as a tagged PDF for archives; `finisher` is called with the document and the file before it is written."""
    with _collector_at_rest():
        rendered.write_pdf(str(out), finisher=finisher, pdf_identifier=identifier, pdf_variant="pdf/a-3a", output_intent="srgb")


@lru_cache(maxsize=16)
def _style(theme: Theme, paper: str, sheets: tuple[str, ...], extra: str) -> tuple[Any, Any]:
    """The stylesheet as WeasyPrint reads it, with the theme's fonts; the same for every book of a theme."""
    from weasyprint import CSS

    text = style_text(theme, paper, sheets, extra)
    fonts = _fonts(theme)
    return CSS(string=text, base_url=SHELF, font_config=fonts, url_fetcher=_shelf("fonts/", PRINT_FONTS)), fonts


def style_text(theme: Theme, paper: str, sheets: tuple[str, ...] = SHEETS, extra: str = "") -> str:
    """The stylesheet of a theme on a paper."""
    return "\n".join([f"@page {{ size: {PAGE_SIZES[paper]} }}", *(theme.style(name) for name in sheets), extra])


def renderer() -> str:
    """What sets the pages, with its version."""
    return f"WeasyPrint {version('weasyprint')}"


@lru_cache(maxsize=4)
def _fonts(theme: Theme) -> Any:
    """The theme's fonts for print: those of the site unpacked beforehand, since unpacking takes longer than a small book."""
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    text = theme.style("fonts.css").replace('.woff2) format("woff2")', '.ttf) format("truetype")')
    CSS(string=text, base_url=SHELF, font_config=fonts, url_fetcher=_shelf("fonts/", PRINT_FONTS))
    return fonts


def _forget() -> None:
    _style.cache_clear()
    _fonts.cache_clear()


#: Fonts in use lie in a temporary folder that must go while the interpreter is still whole.
atexit.register(_forget)


@contextmanager
def _collector_at_rest() -> Iterator[None]:
    """Layout makes millions of objects that all live to the end; looking for garbage among them takes a third of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _shelf(prefix: str, folder: Path) -> Any:
    """A fetcher that knows one folder, by a name that stands for it, and nothing else.

    WeasyPrint names each picture in the PDF by its address: real paths would make the bytes differ from place to place.
    """
    from weasyprint.urls import URLFetcher

    class Shelf(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:
            if not url.startswith(SHELF + prefix):
                raise ValueError(f"{url} is not part of the book")
            return super().fetch((folder.resolve() / url.removeprefix(SHELF + prefix)).as_uri(), headers)

    return Shelf(allowed_protocols=("file",))
