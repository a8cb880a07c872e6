"""RFC 7396 merge patches."""

from __future__ import annotations

from typing import Any


def merged(target: Any, patch: Any) -> Any:
    """`target` with `patch` applied (RFC 7396, section 2): null removes, objects merge, everything else replaces.

    >>> merged({"a": "b", "c": {"d": "e", "f": "g"}}, {"a": "z", "c": {"f": None}})
    {'a': 'z', 'c': {'d': 'e'}}
    """
    if not isinstance(patch, dict):
        return patch
    result = dict(target) if isinstance(target, dict) else {}
    for name, value in patch.items():
        if value is None:
            result.pop(name, None)
        else:
            result[name] = merged(result.get(name), value)
    return result
