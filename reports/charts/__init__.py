"""Drawings from plain numbers. A result's `series` names its drawing; the module of that name in this package draws it."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import isfinite
from typing import Any

from markupsafe import Markup

_TOOLS = frozenset({"sheet", "plot", "limit_strip", "mark"})
#: Rows that one sheet has room for on a page; a drawing of more goes on in a second sheet, to the same scale.
MOST_ROWS = 34


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished drawing: SVG, what it is called, what to see in it, and its numbers as pairs (name, value)."""

    svg: Markup
    title: str
    caption: str
    numbers: tuple[tuple[str, str], ...] = ()
    to_scale: bool = False
    anchor: str = ""
    check: str = ""


def kinds() -> frozenset[str]:
    """The names of all drawings there are."""
    return frozenset(module.name for module in pkgutil.iter_modules(__path__)) - _TOOLS


def drawings(series: Any, key: str, system: str) -> Iterator[Drawing]:
    """The drawings of a result's series, one or several; unknown kinds and unfit numbers give none.

    `key` makes ids unique within the book, `system` is `us` or `metric`.
    """
    entries = series if isinstance(series, (list, tuple)) else [series] if series else []
    for index, entry in enumerate(entries):
        if not isinstance(entry, Mapping) or entry.get("kind") not in kinds() or not _finite(entry):
            continue
        sheets = _sheets(entry)
        for number, sheet in enumerate(sheets, 1):
            drawn = draw(sheet, "-".join([key, *([str(index)] if index else []), *([f"sheet-{number}"] if number > 1 else [])]), system)
            if drawn:
                yield replace(drawn, title=f"{drawn.title}, sheet {number} of {len(sheets)}") if len(sheets) > 1 else drawn


def _module(series: Mapping[str, Any]) -> Any:
    return importlib.import_module(f"reports.charts.{series['kind']}")


def _sheets(series: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """A series whose rows do not fit on one sheet as several; `whole` then holds all rows, for a common scale."""
    name = getattr(_module(series), "ROWS", "")
    rows = series.get(name)
    if not isinstance(rows, (list, tuple)) or len(rows) <= MOST_ROWS:
        return [series]
    rows = _module(series).in_order(series)
    return [{**series, name: rows[start:start + MOST_ROWS], "whole": rows} for start in range(0, len(rows), MOST_ROWS)]


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing | None:
    """One drawing, or None when the numbers it needs are not all there."""
    module = _module(series)
    if not all(_there(series, name) for name in module.NEEDS):
        return None
    drawing: Drawing | None = module.draw(series, f"drawing-{key}", system)
    return replace(drawing, anchor=f"drawing-{key}") if drawing else None


def _there(series: Mapping[str, Any], name: str) -> bool:
    value = series.get(name)
    return value is not None and (not isinstance(value, (list, dict)) or len(value) > 0)


def _finite(value: Any) -> bool:
    if isinstance(value, float):
        return isfinite(value)
    if isinstance(value, Mapping):
        return all(_finite(item) for item in value.values())
    if isinstance(value, (list, tuple)):
        return all(_finite(item) for item in value)
    return True
