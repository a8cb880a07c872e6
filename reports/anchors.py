"""Permanent names of records: what a link into the book is called depends on the record's id and on nothing else."""

from __future__ import annotations

from reports import typography

#: The word that begins the anchor of a record of each list.
WORDS = {"parts": "part", "specs": "stated", "measurements": "measured", "fixes": "fix", "fasteners": "joint", "tasks": "step", "drives": "drive",
         "signoffs": "signed", "photos": "photo", "papers": "paper", "visits": "visit"}


def anchor(records: str, key: str) -> str:
    """The anchor of the record `key` of a list of the document: `part-p-bar`."""
    return f"{WORDS[records]}-{typography.slug(key)}"
