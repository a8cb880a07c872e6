"""Records in the words in which one is picked from among them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.checks.speak import title_of
from service.document.titles import title_of as record_title
from service.document.titles import written


def named(name: str, record: Mapping[str, Any]) -> str:
    """A record of the list `name` in words; what states a fact by the fact's title.

    >>> named("measurements", {"fact": "driveline.shaft_slope", "value": "2.4 deg"})
    'slope of the shaft tube (driveline measurements): 2.4 deg'
    """
    return f"{title_of(record['fact'])}: {written(record['value'])}" if "fact" in record else record_title(name, record)
