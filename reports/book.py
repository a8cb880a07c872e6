"""The book: document, answer, vocabulary and photographs in; a site and a PDF out, nothing half written."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reports import context, embedded
from reports import pdf as printer
from reports import photos as darkroom
from reports import site as website
from reports.answer import Answer
from reports.conformance import latest_day
from reports.document import Document
from reports.edition import OWNER, SHOP, view
from reports.photos import MissingPhoto
from reports.source import Source
from reports.theme import Theme
from reports.vocabulary import Vocabulary

__all__ = ["Book", "MissingPhoto", "make"]

Progress = Callable[[float], None]
PAPERS = ("letter", "a4")


@dataclass(frozen=True, slots=True)
class Book:
    """What was made: the PDF, the site's first page, the PDF's page count; None for what was not asked for."""

    out: Path
    pdf: Path | None
    site: Path | None
    pages: int | None


def make(document: Mapping[str, Any], answer: Mapping[str, Any], vocabulary: Mapping[str, Any], photos: Path, out: Path, *,
         progress: Progress | None = None, pdf: bool = True, site: bool = True, paper: str = "letter", theme: str = "notebook",
         edition: str = OWNER, shop: Path | None = None) -> Book:
    """Make the book of one build in the folder `out`: `book.pdf` and `site/`.

    `photos` is the folder that the photo records' `file` is relative to; `progress(share)` is called with the share of the work done.
    Raises MissingPhoto before anything is written when a photo record names a file that is not there, and ValueError for
    an unknown paper, edition or theme; `theme` is the name of one that comes along or a folder, `shop` a shop's file
    (`reports.theme`). What is made shows what `edition` may see; the answer must be that of the document as the edition
    sees it (`reports.edition.view`). The same input gives the same bytes.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper {paper!r} is none of {', '.join(PAPERS)}")
    document = view(document, edition)
    typed = Document.of(document)
    darkroom.check(typed.photos, photos)
    out = Path(out)
    out.parent.mkdir(parents=True, exist_ok=True)
    work = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    try:
        pages = _make(document, typed, answer, vocabulary, photos, work, progress or _quiet, pdf, site, paper, Theme.load(theme, shop), edition)
        _deliver(work, out)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return Book(out, out / "book.pdf" if pdf else None, out / "site" / "index.html" if site else None, pages)


def _make(given: Mapping[str, Any], document: Document, answer: Mapping[str, Any], vocabulary: Mapping[str, Any], photos: Path, work: Path, progress: Progress,
          with_pdf: bool, with_site: bool, paper: str, theme: Theme, edition: str) -> int | None:
    """Fill the work folder; returns the PDF's page count."""
    pictures = darkroom.develop(document.photos, photos, work / "site" / "photos",
                                lambda share: progress(0.3 * share))
    if theme.shop and theme.shop.logo:
        darkroom.logo(theme.shop.logo, work / "site" / "photos" / theme.shop.logo_file)
    book = context.build(Source(document, Answer.of(answer), Vocabulary(vocabulary), pictures, whole=edition == SHOP))
    pages = None
    if with_site:
        website.write(book, theme, work / "site")
        progress(0.4)
    if with_pdf:
        pages = printer.write(book, theme, work / "site" / "photos", work / "book.pdf", paper, latest_day(given), embedded.files(given, answer))
    if not with_site:
        shutil.rmtree(work / "site")
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
