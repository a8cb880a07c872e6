"""What a recheck found, over all its builds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from service.checks.verdicts import program
from service.recheck.chunks import Chunks
from service.recheck.items import Item
from service.recheck.last import Last
from service.storage.found import Found


@dataclass(slots=True)
class Report:
    """Builds whose safety findings changed, what could not be read, and how many there were of the rest."""

    builds: int = 0
    first: int = 0
    others: int = 0
    changed: list[dict[str, Any]] = field(default_factory=list)
    unreadable: list[dict[str, Any]] = field(default_factory=list)

    @property
    def worse(self) -> bool:
        """Whether some safety finding got worse."""
        return any(change["worse"] for build in self.changed for change in build["safety"])

    def as_json(self) -> dict[str, Any]:
        """The report as JSON has it."""
        return {"program": program(), "builds": self.builds, "first": self.first, "others": self.others, "worse": self.worse, "changed": self.changed,
                "unreadable": self.unreadable}


def gather(chunks: Chunks, pieces: Iterable[list[Item]], last: Last) -> Report:
    """Gather what was found in all pieces, and keep it as what the next recheck compares with."""
    report = Report()
    for piece in pieces:
        new: dict[Item, Found] = {}
        for item, result in zip(piece, chunks.results(piece), strict=True):
            report.builds += 1
            if "unreadable" in result:
                report.unreadable.append(result)
                continue
            new[item] = Found(**result.pop("found"))
            report.first += result.pop("first")
            report.others += result["others"]
            if result["safety"]:
                report.changed.append(result)
        last.keep(new)
    return report
