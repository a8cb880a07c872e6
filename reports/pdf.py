"""The PDF: the same templates on paper, with contents, outline, running heads and tags; the same input gives the same bytes."""

from __future__ import annotations

import gc
import hashlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from reports.context import Context
from reports.theme import FONTS, Theme

#: The address that all of the book's own files are given while the PDF is made.
SHELF = "file:///book/"
PAGE_SIZES = {"letter": "8.5in 11in", "a4": "210mm 297mm"}


def write(context: Context, theme: Theme, photos: Path, out: Path, paper: str) -> int:
    """Write the PDF and return its page count; `photos` is the folder of the finished renditions.

    WeasyPrint is imported here so that everything but the PDF works where its libraries are not installed.
    """
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration

    html = page(context, theme)
    fonts = FontConfiguration()
    style = "\n".join(theme.style(name) for name in ("fonts.css", "base.css", "print.css"))
    style = f"@page {{ size: {PAGE_SIZES[paper]} }}\n" + style
    fetch = _shelf({"photos/": photos, "fonts/": FONTS})
    sheet = CSS(string=style, base_url=SHELF, font_config=fonts, url_fetcher=fetch)
    identifier = hashlib.sha256((html + style).encode()).hexdigest()[:32].encode()
    with _collector_at_rest():
        rendered = HTML(string=html, base_url=SHELF, url_fetcher=fetch).render(stylesheets=[sheet], font_config=fonts)
        rendered.write_pdf(str(out), pdf_identifier=identifier, pdf_tags=True)
    return len(rendered.pages)


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


def _shelf(folders: Mapping[str, Path]) -> Any:
    """A fetcher that knows the folders by name and nothing else.

    Names stand for folders because WeasyPrint names each picture in the PDF by its address: real paths would make the bytes
    differ from place to place.
    """
    from weasyprint.urls import URLFetcher

    class Shelf(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:
            name = url.removeprefix(SHELF)
            folder = next((path for prefix, path in folders.items() if name.startswith(prefix)), None)
            if not url.startswith(SHELF) or folder is None:
                raise ValueError(f"{url} is not part of the book")
            return super().fetch((folder.resolve() / name.partition("/")[2]).as_uri(), headers)

    return Shelf(allowed_protocols=("file",))


def page(context: Context, theme: Theme) -> str:
    """The whole book as one HTML page whose links stay inside it."""
    def href(section: str, anchor: str = "") -> str:
        return f"#{anchor or section}"

    environment = theme.environment(href, book=context, medium="pdf", photo_folder="photos")
    return environment.get_template("book.html").render()
