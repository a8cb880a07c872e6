"""A record's place in a book is called the same by the service and by the book."""

from __future__ import annotations

import pytest

from reports import anchors as book
from service.document import anchors


def test_the_words_are_the_books() -> None:
    assert anchors.WORDS == book.WORDS


@pytest.mark.parametrize("id", ["p-bar", "Bar/1", "…", "parts-1", "a b", "3d0c1c44-7a86-4c4e-9a51-5f0f6a4f7c10", "x" * 200, "Ölkühler", "a--b"])
def test_the_anchors_are_the_books(id: str) -> None:
    assert anchors.anchor("parts", id) == book.anchor("parts", id)
