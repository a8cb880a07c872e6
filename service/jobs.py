"""Long work: making books. The only place, with the command line, that calls `reports`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from service.checks.answer import answer
from service.vocabulary import describe


class BookError(Exception):
    """A book that cannot be made, with the reason and what would be right."""


def make_book(document: Mapping[str, Any], photos: Path, out: Path, *, paper: str = "letter", progress: Callable[[float], None] | None = None,
              found: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """Make site and PDF in `out`; returns their paths and the page count. `found` is the answer when it is already there.

    Raises BookError when a photo is not there or the folder cannot be written; nothing half made is left.
    """
    from reports.book import MissingPhoto, make

    try:
        made = make(dict(document), dict(found or answer(document)), describe(), photos, out, progress=progress, paper=paper)
    except MissingPhoto as error:
        raise BookError(str(error)) from error
    except OSError as error:
        raise BookError(f"the book could not be written to {out}: {error.strerror or error}") from error
    return {"pdf": str(made.pdf), "site": str(made.site), "pages": made.pages}
