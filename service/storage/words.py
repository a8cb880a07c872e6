"""The words by which cars, builds and records are found, and where in a record a word stands. Values only, no database."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.document.titles import written

_WORD = re.compile(r"[^\W_]+", re.UNICODE)
#: A word longer than this is found by its beginning.
LONGEST = 60
#: What is searched of each list, in words. A dot goes into an object.
SEARCHED: Mapping[str, tuple[str, ...]] = {
    "cars": ("make", "model", "year", "body", "serial", "vin", "color", "owner.name", "owner.contact"),
    "builds": ("title", "use", "notes"),
    "parts": ("kind", "position", "name", "maker", "part_number", "serial", "supplier", "order_as", "notes"),
    "fixes": ("title", "system", "problem", "cause", "remedy", "next_mechanic"),
    "fasteners": ("joint", "system", "thread", "notes"),
    "specs": ("notes",),
    "measurements": ("notes",),
    "tasks": ("title", "notes"),
    "drives": ("observations",),
    "signoffs": ("item", "by", "statement"),
    "photos": ("caption",),
    "papers": ("title", "kind"),
    "visits": ("title", "notes"),
}
#: Keys that are also found written without their dashes and dots.
CODES = frozenset({"serial", "vin", "part_number"})
#: Letters that are letters of their own where they come from, and are typed like this where they are not on the keyboard.
_ELSEWHERE = str.maketrans({"ø": "o", "đ": "d", "ð": "d", "ł": "l", "ħ": "h", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th"})
_AROUND = 60


def words(raw: str) -> list[str]:
    """The words of a text, folded so that case, accents and dashes make no difference.

    >>> words("Tröge HS-5540/C")
    ['troge', 'hs', '5540', 'c']
    """
    folded = "".join(letter for letter in unicodedata.normalize("NFKD", raw.casefold()) if not unicodedata.combining(letter)).translate(_ELSEWHERE)
    return [word[:LONGEST] for word in _WORD.findall(folded)]


def texts(name: str, body: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """What is searched of an entry of the list `name`: key and text."""
    for key in SEARCHED.get(name, ()):
        value: Any = body
        for step in key.split("."):
            value = value.get(step) if isinstance(value, Mapping) else None
        text = written(value).replace("_", " ")
        if text:
            yield key, text


def of(name: str, body: Mapping[str, Any]) -> list[str]:
    """The words by which an entry of the list `name` is found, each once.

    >>> of("parts", {"kind": "battery", "part_number": "VH-70"})
    ['battery', 'vh', '70', 'vh70']
    """
    found: dict[str, None] = {}
    for key, text in texts(name, body):
        own = words(text)
        found.update(dict.fromkeys(own))
        if key in CODES and len(own) > 1:
            found["".join(own)[:LONGEST]] = None
    return list(found)


def spot(name: str, body: Mapping[str, Any], asked: Sequence[str]) -> tuple[str, str] | None:
    """Where the first of the words asked for stands in an entry: its key, and the text around it.

    >>> spot("fixes", {"title": "Shake", "remedy": "A shim of 2 mm under the mount"}, ["shim"])
    ('remedy', 'A shim of 2 mm under the mount')
    """
    found = list(texts(name, body))
    for word in asked:
        for key, text in found:
            place = _place(key, text, word)
            if place is not None:
                return key, _around(text, place)
    return None


def _place(key: str, text: str, word: str) -> int | None:
    composed = unicodedata.normalize("NFC", text)
    for match in _WORD.finditer(composed):
        if any(own.startswith(word) for own in words(match.group())):
            return match.start()
    return 0 if key in CODES and "".join(words(text)).startswith(word) else None


def _around(text: str, place: int) -> str:
    start, end = max(0, place - _AROUND), place + _AROUND * 2
    return f"{'…' if start else ''}{' '.join(text[start:end].split())}{'…' if end < len(text) else ''}"
