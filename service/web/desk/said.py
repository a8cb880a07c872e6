"""What a record says already, as the control of a question takes it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.document.titles import written
from service.web.desk.questions import Question


def said(question: Question, record: Mapping[str, Any]) -> Any:
    """The answer that stands in a record: text; for a quantity its number and unit; for a place its name and label; for records their ids.

    >>> said(Question("specs.diameter", "diameter", "quantity", options=[("in", "in")]), {"specs": {"diameter": "1 1/4 in"}})
    ('1 1/4', 'in')
    """
    found: Any = record
    for key in question.name.split(".", 1):
        found = found.get(key) if isinstance(found, Mapping) else None
    return _WAYS.get(question.way, _text)(found, question)


def _text(found: Any, question: Question) -> str:
    return written(found)


def _quantity(found: Any, question: Question) -> tuple[str, str]:
    if isinstance(found, Mapping):
        give = str(found.get("tolerance") or "").removesuffix(f" {found.get('unit')}")
        return f"{found.get('value', '')}{f' ± {give}' if give else ''}", str(found.get("unit") or "")
    text = written(found)
    for unit in sorted((key for key, _ in question.options), key=len, reverse=True):
        if text.endswith(f" {unit}") and unit != "1":
            return text.removesuffix(f" {unit}"), unit
    # A unit in another spelling stands with its number; it is sent back as it was written.
    return text, ""


def _place(found: Any, question: Question) -> tuple[str, str]:
    text = found or ""
    if not question.options:
        return "", text
    name, _, label = text.partition(":")
    return (name, label) if name in dict(question.options) else ("", text)


def _several(found: Any, question: Question) -> list[str]:
    return [str(item) for item in found or ()]


def _flag(found: Any, question: Question) -> str:
    return "" if found is None else "no" if found in (False, "no") else "yes"


_WAYS: Mapping[str, Any] = {"quantity": _quantity, "position": _place, "records": _several, "absent": _several, "flag": _flag}
