"""The vocabulary: every subject and field there is, found by walking the system modules in this package."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache
from typing import Any

from service.vocabulary.core import SYSTEMS, Field, Kind, index


def _declared() -> list[Kind]:
    kinds: list[Kind] = []
    for module in sorted(info.name for info in pkgutil.iter_modules(__path__) if info.name != "core"):
        kinds.extend(importlib.import_module(f"{__name__}.{module}").KINDS)
    return kinds


#: Every kind by name.
KINDS: Mapping[str, Kind] = index(_declared())


@cache
def find(subject: str, field: str) -> Field | None:
    """The field `subject.field`, or None."""
    kind = KINDS.get(subject)
    return kind.by_name.get(field) if kind else None


def nearest(word: str, known: Any, count: int = 3) -> str:
    """`; did you mean …?` for an unknown name, or an empty string when nothing is near."""
    found = get_close_matches(word, list(known), n=count, cutoff=0.55)
    return f"; did you mean {' or '.join(found)}?" if found else ""


def describe() -> dict[str, Any]:
    """The whole vocabulary as JSON."""
    return {
        "format": "as-fitted/vocabulary/1",
        "systems": dict(SYSTEMS),
        "kinds": [KINDS[name].describe() for name in sorted(KINDS)],
    }
