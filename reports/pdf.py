"""The PDF: the same templates on paper, with contents, outline, running heads and tags; the same input gives the same bytes."""

from __future__ import annotations

import atexit
import gc
import hashlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import Any

from reports.conformance import Attachment, conform
from reports.context import Context
from reports.theme import FONTS, Theme

#: The address that all of the book's own files are given while the PDF is made.
SHELF = "file:///book/"
PAGE_SIZES = {"letter": "8.5in 11in", "a4": "210mm 297mm"}


def write(context: Context, theme: Theme, photos: Path, out: Path, paper: str, day: str, attachments: Sequence[Attachment] = ()) -> int:
    """Write the PDF and return its page count; `photos` is the folder of the finished renditions, `day` the date of the record.

    WeasyPrint is imported here so that everything but the PDF works where its libraries are not installed.
    """
    from weasyprint import HTML

    html = page(context, theme)
    style, sheet, fonts = _style(theme, paper)
    identifier = hashlib.sha256((html + style).encode()).hexdigest()[:32].encode()
    with _collector_at_rest():
        rendered = HTML(string=html, base_url=SHELF, url_fetcher=_shelf("photos/", photos)).render(stylesheets=[sheet], font_config=fonts)
        rendered.write_pdf(str(out), pdf_identifier=identifier, pdf_variant="pdf/a-3a", output_intent="srgb")
    conform(out, context.name, context.title, day, attachments)
    return len(rendered.pages)


@lru_cache(maxsize=4)
def _style(theme: Theme, paper: str) -> tuple[str, Any, Any]:
    """The stylesheet as text and as WeasyPrint reads it, with its fonts unpacked; the same for every book of a theme."""
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    style = "\n".join(theme.style(name) for name in ("fonts.css", "base.css", "print.css"))
    style = f"@page {{ size: {PAGE_SIZES[paper]} }}\n" + style
    return style, CSS(string=style, base_url=SHELF, font_config=fonts, url_fetcher=_shelf("fonts/", FONTS)), fonts


#: Unpacked fonts lie in a temporary folder that must go while the interpreter is still whole.
atexit.register(_style.cache_clear)


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


def page(context: Context, theme: Theme) -> str:
    """The whole book as one HTML page whose links stay inside it."""
    def href(section: str, anchor: str = "") -> str:
        return f"#{anchor or section}"

    environment = theme.environment(href, book=context, medium="pdf", photo_folder="photos")
    return theme.painted(environment.get_template("book.html").render())
