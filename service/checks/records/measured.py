"""Whether a finding rests on something that was measured on this car.

A measurement counts, and so do the measurements of a recorded fix; a fastener that was tightened (the torque tool is the
instrument); and a spec whose basis says that it was taken from the car (`measured, clamp meter`; `all new, looked at`)
rather than from a drawing, a maker's sheet, a decision or an estimate. What was computed counts by what it was computed from.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

#: How a basis begins, or one of its phrases, when somebody took the value from the car. Common practice.
CHECKED = ("measured", "weighed", "counted", "checked", "tested", "looked at", "read off")
_PHRASES = re.compile(r"[,;:(]")


def from_the_car(document: Mapping[str, Any]) -> set[tuple[str, str]]:
    """The records that hold what was measured: (list, id)."""
    found = {("measurements", entry["id"]) for entry in document.get("measurements") or ()}
    found |= {("specs", entry["id"]) for entry in document.get("specs") or () if is_checked(entry.get("basis"))}
    return found | {("fasteners", entry["id"]) for entry in document.get("fasteners") or () if is_tightened(entry)}


@lru_cache(maxsize=4096)
def is_checked(basis: str | None) -> bool:
    """Whether a basis says that the value was taken from the car.

    >>> is_checked("measured, tape; ride height"), is_checked("all new, looked at"), is_checked("estimate"), is_checked("not measured")
    (True, True, False, False)
    """
    return any(phrase.strip().lower().startswith(CHECKED) for phrase in _PHRASES.split(basis or ""))


def is_tightened(fastener: Mapping[str, Any]) -> bool:
    """Whether an applied torque is recorded."""
    return fastener.get("applied_torque") not in (None, "")


def rests_on(result: Mapping[str, Any], measured: set[tuple[str, str]]) -> bool:
    """Whether some input of a result comes from one of these records."""
    return any((entry["from"].get("list"), entry["from"].get("id")) in measured for entry in result["inputs"])
