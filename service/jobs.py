"""Long work: making books and sites. The only place, with the command line and `shop_site`, that calls `reports`."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from reports.edition import OWNER, SHOP, view
from service.checks.answer import answer
from service.document import load
from service.storage import chain
from service.storage.disk import put_in_place
from service.vocabulary import describe


class BookError(Exception):
    """A book that cannot be made, with the reason and what would be right."""


def make_book(document: Mapping[str, Any], photos: Path, out: Path, *, paper: str = "letter", theme: str = "notebook",
              edition: str = OWNER, packet: bool = False, address: str = "", shop: Path | None = None, kept: Path | None = None,
              progress: Callable[[float], None] | None = None, found: Mapping[str, Any] | None = None, history: str = "") -> dict[str, Any]:
    """Make site, PDF, glovebox card and, if asked, the packet in `out`; returns their paths and the page count.

    `found` is the document's answer when it is already there; `kept` a folder where pictures and pages are kept for the next book.
    `history` are the sealed lines of the car's events, of which the edition carries what it may show.
    An edition that does not show everything is checked anew, so that nothing it leaves out is told by a finding. Raises BookError
    when a photo or a paper is not there, theme or shop's file is no good, or the folder cannot be written; nothing half made is left.
    """
    from reports.book import make

    with _told(out):
        shown = view(document, edition)
        known = found if found and shown == dict(document) else answer(shown)
        made = make(shown, dict(known), describe(), photos, out, progress=progress, paper=paper, theme=theme, edition=edition, packet=packet,
                    address=address, shop=shop, kept=kept, history=_shown(history, edition))
    return {"pdf": str(made.pdf), "site": str(made.site), "pages": made.pages} | ({"packet": str(made.packet)} if packet else {})


def make_site(document: Mapping[str, Any], photos: Path, out: Path, *, edition: str, theme: str = "notebook", home: str = "", shop: Path | None = None,
              kept: Path | None = None, progress: Callable[[float], None] | None = None) -> Path:
    """Make the site alone, as the folder `out`; returns its first page. `home`: see `reports.book.make`. Raises BookError."""
    from reports.book import make

    with _told(out):
        shown = view(document, edition)
        out.parent.mkdir(parents=True, exist_ok=True)
        with TemporaryDirectory(prefix=f".{out.name}-", dir=out.parent) as work:
            make(shown, answer(shown), describe(), photos, Path(work), pdf=False, theme=theme, edition=edition, home=home, shop=shop, kept=kept,
                 progress=progress)
            put_in_place(Path(work) / "site", out)
    return out / "index.html"


@contextmanager
def _told(out: Path) -> Iterator[None]:
    """What goes wrong with a book, said in terms of our own."""
    from reports.packet import MissingPaper
    from reports.photos import MissingPhoto
    from reports.qr import NoAddress
    from reports.theme import BadTheme

    try:
        yield
    except (MissingPhoto, MissingPaper, NoAddress, BadTheme) as error:
        raise BookError(str(error)) from error
    except OSError as error:
        raise BookError(f"the book could not be written to {out}: {error.strerror or error}") from error


def _shown(history: str, edition: str) -> str:
    """The lines of a history as that edition carries them."""
    if edition == SHOP or not history:
        return history
    events = [chain.read(json.loads(text)) for text in history.split("\n")[:-1]]
    return "".join(chain.line(event) for event in chain.owners(events))


def make_packet(document: Mapping[str, Any], photos: Path, out: Path, **options: Any) -> dict[str, Any]:
    """Make the packet alone, as the file `out`; returns its path and the page count of the book in it. Options and errors as of `make_book`."""
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        with TemporaryDirectory(prefix=f".{out.name}-", dir=out.parent) as work:
            made = make_book(document, photos, Path(work) / "book", packet=True, **options)
            Path(made["packet"]).replace(out)
    except OSError as error:
        raise BookError(f"the packet could not be written to {out}: {error.strerror or error}") from error
    return {"packet": str(out), "pages": made["pages"]}


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
