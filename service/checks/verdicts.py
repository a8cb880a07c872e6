"""An answer cut down to its verdicts, what changed from one to another, and which program gave it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

#: By finding (`driveline.joint_angles`, `brakes.heat@front`): its verdict, and whether it is a safety finding.
Verdicts = Mapping[str, tuple[str, bool]]
_RANK = {None: 0, "pass": 0, "unknown": 1, "caution": 2, "fail": 3}
#: What an answer depends on, besides the build: modules and tables below the service.
_JUDGES = ("calc", "checks", "document", "quantities", "vocabulary", "notation.py")


class Change(NamedTuple):
    """One finding whose verdict is another; None where the check gave no result."""

    finding: str
    safety: bool
    before: str | None
    after: str | None

    @property
    def worse(self) -> bool:
        """Whether it is worse than it was; a finding that is no longer made is not."""
        return _RANK[self.after] > _RANK[self.before]


def name_of(result: Mapping[str, Any]) -> str:
    """A result's finding, by check and position."""
    return f"{result['check']}@{result['position']}" if result["position"] else str(result["check"])


def verdicts(results: Iterable[Mapping[str, Any]]) -> dict[str, tuple[str, bool]]:
    """The verdicts of an answer's results."""
    return {name_of(result): (result["verdict"], result["safety"]) for result in results}


def changes(before: Verdicts, after: Verdicts) -> Iterator[Change]:
    """Every finding whose verdict differs, those of the later answer first."""
    for finding in dict.fromkeys([*after, *before]):
        was, now = before.get(finding, (None, False)), after.get(finding, (None, False))
        if was[0] != now[0]:
            yield Change(finding, was[1] or now[1], was[0], now[0])


@cache
def program() -> str:
    """What judges, as a checksum of its own text: a changed limit, table or formula is another program."""
    found, service = hashlib.sha256(), Path(__file__).resolve().parents[1]
    for place in (service / name for name in _JUDGES):
        for file in sorted(place.rglob("*")) if place.is_dir() else [place]:
            if file.suffix in (".py", ".csv", ".json"):
                found.update(file.relative_to(service).as_posix().encode() + b"\0" + file.read_bytes() + b"\0")
    return found.hexdigest()
