"""Reading what was made: text of a PDF and of a page, with typographic signs made plain."""

from __future__ import annotations

import re
from pathlib import Path

import html5lib
from pypdf import PdfReader

_PLAIN = str.maketrans({"\u2212": "-", "\u202f": " ", "\u200a": " ", "\u2009": " ", "\u00a0": " ", "\u2044": "/", "\u200b": None, "\u00ad": None})


def squeeze(text: str) -> str:
    """Text without blanks of any kind, so that line ends do not matter."""
    return re.sub(r"\s+", "", text.translate(_PLAIN))


def text_of_pdf(file: Path) -> str:
    """All text of a PDF by pypdf, an independent reader."""
    return "\n".join(page.extract_text() for page in PdfReader(file).pages)


def text_of_page(page: str) -> str:
    """All text of an HTML page by html5lib, an independent parser."""
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    return " ".join(tree.find("body").itertext())
