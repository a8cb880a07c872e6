"""The vocabulary: every subject and field there is, found by walking the system modules in this package."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache
from typing import Any

from service.quantities import DIMENSIONS, UNITS
from service.vocabulary.core import SYSTEMS, Field, Kind, index
from service.vocabulary.spoken import ALSO_CALLED


def _declared() -> list[Kind]:
    kinds: list[Kind] = []
    for module in sorted(info.name for info in pkgutil.iter_modules(__path__) if info.name not in ("core", "spoken")):
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
    """`; did you mean …?` for an unknown name, or an empty string when nothing is near.

    What the trade also calls it comes first, then names that hold all its words, then those spelled like it.
    """
    names = list(known)
    wanted = _words(word)
    spoken = [name for name in _spoken().get(" ".join(word.casefold().split("_")), ()) if name in names]
    holding = sorted((name for name in names if wanted and wanted <= _words(name)), key=len)
    alike = get_close_matches(word, names, n=count, cutoff=0.55)
    found = list(dict.fromkeys([*spoken, *holding, *alike]))[:1 if spoken else count]
    return f"; did you mean {' or '.join(found)}?" if found else ""


def elsewhere(subject: str, field: str) -> str:
    """Where a field that `subject` does not have stands, by its words: `wheel_spacer.thickness` is `wheel.spacer_thickness`."""
    wanted, named = _words(f"{subject}_{field}"), _words(field)
    addresses = [(f"{kind.name}.{item.name}", _words(f"{kind.name}_{item.name}")) for kind in KINDS.values() for item in kind.fields]
    return " or ".join(address for address, words in addresses if words == wanted or named <= words < wanted)


def _words(name: str) -> frozenset[str]:
    return frozenset(name.casefold().split("_")) - {""}


@cache
def _spoken() -> Mapping[str, tuple[str, ...]]:
    """Kinds by what else they are called."""
    names = sorted({name for called in ALSO_CALLED.values() for name in called})
    return {name: tuple(kind for kind, called in ALSO_CALLED.items() if name in called) for name in names}


def scales_of(dimension: str) -> dict[str, tuple[float, float]]:
    """Each unit of a dimension: SI units in one of it (0 for a wire gauge, which has no scale), SI value where it reads zero.

    >>> scales_of("length")["in"]
    (0.0254, 0.0)
    """
    return {name: (unit.factor, unit.offset) for name, unit in UNITS[dimension].items()}


def describe() -> dict[str, Any]:
    """The whole vocabulary as JSON."""
    return {
        "format": "as-fitted/vocabulary/1",
        "systems": dict(SYSTEMS),
        "scales": {dimension: scales_of(dimension) for dimension in DIMENSIONS},
        "kinds": [{**KINDS[name].describe(), "also_called": list(ALSO_CALLED.get(name, ()))} for name in sorted(KINDS)],
    }
