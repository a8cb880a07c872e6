"""The book: document, answer, vocabulary and photographs in; a site, a PDF, a card for the glovebox and a packet out, nothing half written."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from reports import context, embedded, qr
from reports import glovebox as card
from reports import packet as packer
from reports import pdf as printer
from reports import photos as darkroom
from reports import site as website
from reports.answer import Answer
from reports.conformance import latest_day
from reports.document import Document
from reports.edition import OWNER, SHOP, judge_history, view
from reports.packet import MissingPaper
from reports.photos import MissingPhoto
from reports.source import Source
from reports.theme import Theme
from reports.vocabulary import Vocabulary

__all__ = ["Book", "MissingPaper", "MissingPhoto", "make"]

Progress = Callable[[float], None]
PAPERS = ("letter", "a4")


@dataclass(frozen=True, slots=True)
class Book:
    """What was made: the PDF, the site's first page, the packet, the PDF's page count; None for what was not asked for."""

    out: Path
    pdf: Path | None
    site: Path | None
    pages: int | None
    packet: Path | None = None


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked for and how it is to look."""

    pdf: bool
    site: bool
    packet: bool
    paper: str
    theme: Theme
    kept: Path | None
    home: str


def make(document: Mapping[str, Any], answer: Mapping[str, Any], vocabulary: Mapping[str, Any], photos: Path, out: Path, *,
         progress: Progress | None = None, pdf: bool = True, site: bool = True, packet: bool = False, paper: str = "letter", theme: str = "notebook",
         edition: str = OWNER, address: str = "", home: str = "", shop: Path | None = None, kept: Path | None = None,
         history: str = "") -> Book:
    """Make the book of one build in the folder `out`: `book.pdf`, `site/`, the glovebox card, and `packet.zip` if asked.

    `photos` is the folder that the `file` of photo and paper records is relative to; `progress(share)` is called with the share
    of the work done. Raises MissingPhoto or MissingPaper before anything is written when a record names a file that is not
    there, and ValueError for an unknown paper, edition or theme, or an `address` of the car's page that a QR code cannot lead to.
    `home` is the address, from within the site, of a page of all cars, which the site then leads back to (`reports.site.shop`).
    `theme` is the name of one that comes along or a folder, `shop` a shop's file (`reports.theme`). What is made shows what
    `edition` may see; the answer must be that of the document as the edition sees it (`reports.edition.view`). The same input
    gives the same bytes, whether or not pictures and pages of an earlier book are found in the folder `kept`, where those of
    this one are left. `history` are lines of the car's history as that edition carries them; ValueError when they show more.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper {paper!r} is none of {', '.join(PAPERS)}")
    document = view(document, edition)
    judge_history(history, edition)
    wish = Wish(pdf or packet, site or packet, packet, paper, Theme.load(theme, shop), kept, home)
    source = Source(Document.of(document), Answer.of(answer), Vocabulary(vocabulary), whole=edition == SHOP, address=qr.checked(address))
    darkroom.check(source.document.photos, photos)
    if packet:
        packer.check(source.document.papers, photos)
    out = Path(out)
    out.parent.mkdir(parents=True, exist_ok=True)
    work = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    try:
        pages = _make(source, embedded.Record(document, answer, history), photos, work, wish, progress or _quiet)
        _deliver(work, out)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return Book(out, out / "book.pdf" if wish.pdf else None, out / "site" / "index.html" if wish.site else None, pages,
                out / "packet.zip" if packet else None)


def _make(source: Source, record: embedded.Record, photos: Path, work: Path, wish: Wish, progress: Progress) -> int | None:
    """Fill the work folder; returns the PDF's page count."""
    pictures = darkroom.develop(source.document.photos, photos, work / "site" / "photos", lambda share: progress(0.3 * share),
                               wish.kept / "photos" if wish.kept else None)
    if wish.theme.shop and wish.theme.shop.logo:
        darkroom.logo(wish.theme.shop.logo, work / "site" / "photos" / wish.theme.shop.logo_file)
    source, day = replace(source, pictures=pictures), latest_day(record.document)
    book = context.build(source)
    pages = None
    if wish.site:
        website.write(book, wish.theme, work / "site", wish.home)
        progress(0.4)
    card.write(source, wish.theme, work, wish.paper, day, with_pdf=wish.pdf)
    if wish.pdf:
        pages = printer.write(book, wish.theme, work / "site" / "photos", work / "book.pdf", wish.paper, day,
                              embedded.files(record),
                              kept=wish.kept / "parts" if wish.kept else None, progress=lambda share: progress(0.42 + 0.53 * share))
        progress(0.95)
    if not wish.site:
        shutil.rmtree(work / "site")
    if wish.packet:
        packer.write(source, wish.theme, work, photos, work / "packet.zip", day, record)
    progress(1.0)
    return pages


def _deliver(work: Path, out: Path) -> None:
    """Put the finished pieces in place; other things that `out` may hold stay as they are."""
    out.mkdir(exist_ok=True)
    for piece in sorted(work.iterdir()):
        target = out / piece.name
        if target.is_dir():
            shutil.rmtree(target)
        piece.replace(target)


def _quiet(share: float) -> None:
    """Progress that nobody watches."""
