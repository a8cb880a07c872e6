"""The sample car's book, made once for all tests that only read it."""

from __future__ import annotations

from pathlib import Path

import pytest

from reports.book import Book, make
from tests.reports import sample


@pytest.fixture(scope="session")
def photos(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample's photographs."""
    return sample.photo_folder(tmp_path_factory.mktemp("pictures"))


@pytest.fixture(scope="session")
def book(tmp_path_factory: pytest.TempPathFactory, photos: Path) -> Book:
    """The sample's book, the shop's edition, which holds everything: site and PDF."""
    return make(sample.document(), sample.ANSWER, sample.VOCABULARY, photos, tmp_path_factory.mktemp("books") / "sample", edition="shop")


@pytest.fixture(scope="session")
def pages(book: Book) -> dict[str, str]:
    """The site's pages by file name."""
    assert book.site
    return {page.name: page.read_text(encoding="utf-8") for page in sorted(book.site.parent.glob("*.html"))}


@pytest.fixture(scope="session")
def pdf_text(book: Book) -> str:
    """The PDF's text with all blanks made one."""
    from tests.reports.reading import squeeze, text_of_pdf

    assert book.pdf
    return squeeze(text_of_pdf(book.pdf))
