"""Long work: making books. The only place, with the command line, that calls `reports`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from reports.edition import OWNER, view
from service.checks.answer import answer
from service.document import load
from service.vocabulary import describe


class BookError(Exception):
    """A book that cannot be made, with the reason and what would be right."""


def make_book(document: Mapping[str, Any], photos: Path, out: Path, *, paper: str = "letter", theme: str = "notebook", edition: str = OWNER,
              progress: Callable[[float], None] | None = None, found: Mapping[str, Any] | None = None, shop: Path | None = None) -> dict[str, Any]:
    """Make site and PDF in `out`; returns their paths and the page count. `found` is the document's answer when it is already there.

    An edition that does not show everything is checked anew, so that nothing it leaves out is told by a finding.

    Raises BookError when a photo is not there, theme or shop's file is no good, or the folder cannot be written; nothing half made is left.
    """
    from reports.book import MissingPhoto, make
    from reports.theme import BadTheme

    try:
        shown = view(document, edition)
        known = found if found and shown == dict(document) else answer(shown)
        made = make(shown, dict(known), describe(), photos, out, progress=progress, paper=paper, theme=theme, edition=edition, shop=shop)
    except (MissingPhoto, BadTheme) as error:
        raise BookError(str(error)) from error
    except OSError as error:
        raise BookError(f"the book could not be written to {out}: {error.strerror or error}") from error
    return {"pdf": str(made.pdf), "site": str(made.site), "pages": made.pages}


def owner_view(document: Mapping[str, Any]) -> dict[str, Any]:
    """The document as the owner's edition shows it."""
    return view(document, OWNER)


def made_from(book: Path) -> dict[str, Any]:
    """The document that a book's PDF was made from, checked against its checksum and judged like any other.

    Raises BookError when the file carries no record that can be trusted, DocumentError when the record is not valid here, and
    OSError when the file cannot be read.
    """
    from reports import embedded

    try:
        return load(embedded.document(book))
    except embedded.NoRecord as error:
        raise BookError(str(error)) from error
