"""What is wrong with a text that is no JSON, in the words of somebody who writes it by hand."""

from __future__ import annotations

import json
import re

#: Quotation marks that word processors and phones put in place of the straight one.
_CURLED = re.compile("[\u2018\u2019\u201c\u201d\u201e\u00ab\u00bb]")
#: How much of the line is shown before and after the place.
_SHOWN = 30


def explain(text: str, error: json.JSONDecodeError) -> str:
    """Where reading stopped, what stands there, and what would be right."""
    place = _place(text, error.pos)
    line, column = text.count("\n", 0, place) + 1, place - text.rfind("\n", 0, place)
    return f"not JSON at line {line}, column {column}: {_advice(text, place, error.msg)}{_shown(text, place)}"


def _place(text: str, place: int) -> int:
    """The first sign at or after the place where reading stopped; the comma itself where one too many is what stopped it."""
    while place < len(text) and text[place].isspace():
        place += 1
    before = len(text[:place].rstrip()) - 1
    return before if text[place:place + 1] in ("]", "}") and text[before:before + 1] == "," else place


def _advice(text: str, place: int, found: str) -> str:
    at, before = text[place:place + 1], text[:place].rstrip()[-1:]
    if not at:
        return "it ends too early; a } or ] is missing" if text.strip() else "there is nothing in it"
    if found.startswith(("Unterminated", "Invalid control")):
        return "the text that begins or goes on here has no closing quote"
    if found.startswith("Invalid \\"):
        return "a backslash stands in a text only before \" or another backslash"
    if _CURLED.match(at) or at == "'":
        return 'quotes are straight and double: "'
    if at in "/#":
        return "JSON takes no comments"
    if at == ",":
        return "nothing comes after this comma: take it out"
    if found.startswith("Extra data"):
        return "the document ends before this"
    if at.isalnum() or at in "._":
        return 'words and quantities stand in double quotes, for example "58 in"'
    if found.startswith("Expecting ':'"):
        return "a colon is wanted after a name"
    return "a comma is missing before this" if found.startswith("Expecting ','") and at in '"{[' else f"{before or 'here'} is followed by {at}"


def _shown(text: str, place: int) -> str:
    begin = max(text.rfind("\n", 0, place) + 1, place - _SHOWN)
    end = min((text + "\n").index("\n", place), place + _SHOWN)
    return f"; it reads {text[begin:end].strip()!r}" if text[begin:end].strip() else ""
