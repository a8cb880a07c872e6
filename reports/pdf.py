"""The PDF: the same templates on paper, with contents, outline, running heads and tags; the same input gives the same bytes."""

from __future__ import annotations

import hashlib
from pathlib import Path

from reports.context import Context
from reports.theme import FONTS, Theme

PAGE_SIZES = {"letter": "8.5in 11in", "a4": "210mm 297mm"}


def write(context: Context, theme: Theme, photos: Path, out: Path, paper: str) -> int:
    """Write the PDF and return its page count; `photos` is the folder of the finished renditions.

    WeasyPrint is imported here so that everything but the PDF works where its libraries are not installed.
    """
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import URLFetcher

    html = page(context, theme)
    fonts = FontConfiguration()
    style = "\n".join(theme.style(name) for name in ("fonts.css", "base.css", "print.css"))
    style = f"@page {{ size: {PAGE_SIZES[paper]} }}\n" + style
    base = photos.parent.resolve().as_uri() + "/"
    fetch = URLFetcher(allowed_protocols=("file",))
    sheet = CSS(string=style, base_url=FONTS.parent.resolve().as_uri() + "/", font_config=fonts, url_fetcher=fetch)
    rendered = HTML(string=html, base_url=base, url_fetcher=fetch).render(stylesheets=[sheet], font_config=fonts)
    identifier = hashlib.sha256((html + style).encode()).hexdigest()[:32].encode()
    rendered.write_pdf(str(out), pdf_identifier=identifier, pdf_tags=True)
    return len(rendered.pages)


def page(context: Context, theme: Theme) -> str:
    """The whole book as one HTML page whose links stay inside it."""
    def href(section: str, anchor: str = "") -> str:
        return f"#{anchor or section}"

    environment = theme.environment(href, book=context, medium="pdf", photo_folder="photos")
    return environment.get_template("book.html").render()
