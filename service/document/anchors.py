"""Permanent names of records in a book: the anchor depends on the record's list and id and on nothing else."""

from __future__ import annotations

import re
from zlib import crc32

#: The word that begins the anchor of a record of each list.
WORDS = {"parts": "part", "specs": "stated", "measurements": "measured", "fixes": "fix", "fasteners": "joint", "tasks": "step", "drives": "drive",
         "signoffs": "signed", "photos": "photo", "papers": "paper", "visits": "visit"}
_SIMPLE = re.compile(r"[a-z0-9]+(?:[ _.@-][a-z0-9]+)*\Z")
_SLUG = re.compile(r"[^a-z0-9]+")


def anchor(records: str, id: str) -> str:
    """The anchor of a record in every book of its build.

    >>> anchor("parts", "p-bar"), anchor("parts", "Bar/1")
    ('part-p-bar', 'part-bar-1-733ce83b')
    """
    name = _SLUG.sub("-", id.lower()).strip("-")[:60]
    plain = _SIMPLE.match(id) and name
    return f"{WORDS[records]}-{name}" if plain else f"{WORDS[records]}-{name or 'x'}-{crc32(id.encode()):08x}"
