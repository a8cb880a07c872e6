"""What a car, a build or a record is called in one line, wherever it stands among others: histories, search, lists of parts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

_LONGEST = 160


def title_of(name: str, record: Mapping[str, Any]) -> str:
    """The title of an entry of the list `name` (`cars` and `builds` too).

    >>> title_of("parts", {"kind": "anti_roll_bar", "position": "front", "maker": "Tarn & Daughters", "part_number": "TD-114"})
    'anti roll bar, front: Tarn & Daughters TD-114'
    >>> title_of("measurements", {"fact": "driveline.shaft_slope", "value": "2.4 deg"})
    'driveline.shaft_slope = 2.4 deg'
    """
    title = " ".join(_TITLES[name](record).split()) or str(record.get("id") or "")
    return title if len(title) <= _LONGEST else title[:_LONGEST - 1] + "…"


def _texts(record: Mapping[str, Any], *keys: str) -> str:
    return " ".join(str(record[key]) for key in keys if record.get(key) not in (None, ""))


def _part(record: Mapping[str, Any]) -> str:
    kind = ", ".join(str(record[key]).replace("_", " ") for key in ("kind", "position") if record.get(key))
    called = _texts(record, "name") or _texts(record, "maker", "part_number")
    return f"{kind}: {called}" if called else kind


def _stated(record: Mapping[str, Any]) -> str:
    return f"{record.get('fact')} = {written(record.get('value'))}"


def written(value: Any) -> str:
    """A wire value as one text.

    >>> written({"value": "1 1/8", "unit": "in"}), written([2.48, 1.0]), written(True)
    ('1 1/8 in', '2.48, 1.0', 'yes')
    """
    if isinstance(value, Mapping):
        return _texts(value, "value", "unit")
    if isinstance(value, list):
        return ", ".join(written(item) for item in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def _drive(record: Mapping[str, Any]) -> str:
    return ", ".join(text for text in (_texts(record, "at"), written(record.get("distance")), _texts(record, "observations")) if text)


_TITLES: Mapping[str, Callable[[Mapping[str, Any]], str]] = {
    "cars": lambda record: _texts(record, "year", "make", "model"),
    "builds": lambda record: _texts(record, "title") or _texts(record, "use"),
    "parts": _part,
    "specs": _stated,
    "measurements": _stated,
    "fixes": lambda record: _texts(record, "title"),
    "fasteners": lambda record: ", ".join(text for text in (_texts(record, "joint"), written(record.get("thread"))) if text),
    "tasks": lambda record: _texts(record, "title"),
    "drives": _drive,
    "signoffs": lambda record: ": ".join(text for text in (_texts(record, "item"), _texts(record, "by")) if text),
    "photos": lambda record: _texts(record, "caption") or _texts(record, "file"),
    "papers": lambda record: _texts(record, "title") or _texts(record, "kind"),
    "visits": lambda record: ", ".join(text for text in (_texts(record, "title"), _texts(record, "delivered_on") or _texts(record, "opened_on")) if text),
}
