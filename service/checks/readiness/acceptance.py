"""Accepting a finding by name and reason, and what cannot be accepted.

A sign-off whose item is `accept:<check>` (`accept:<check>@<position>` where the finding has a place) and whose statement
gives the reason. The finding keeps its verdict; a fail is never accepted.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.checks.readiness.items import lacking, named
from service.document.address import normal

PREFIX = "accept:"


@dataclass(frozen=True, slots=True)
class Acceptances:
    """Those that count (with name and reason), and those that say too little; both by finding."""

    whole: Mapping[str, Mapping[str, Any]]
    short: Mapping[str, Mapping[str, Any]]

    def covers(self, finding: str) -> bool:
        """Whether somebody accepted this finding, named as in `key_of`."""
        return finding in self.whole


def acceptances(document: Mapping[str, Any]) -> Acceptances:
    """The acceptances of a document; of two for one finding the later in the list counts."""
    whole: dict[str, Mapping[str, Any]] = {}
    short: dict[str, Mapping[str, Any]] = {}
    for entry in document.get("signoffs") or ():
        item = entry["item"].strip()
        if item.casefold().startswith(PREFIX):
            (short if lacking(entry, ("by", "statement")) else whole)[_key(item[len(PREFIX):])] = entry
    return Acceptances(whole, {key: entry for key, entry in short.items() if key not in whole})


def _key(finding: str) -> str:
    check, at, position = finding.partition("@")
    return (normal(check) or "") + at + (normal(position) or "")


def key_of(result: Mapping[str, Any]) -> str:
    """How a finding is named in a sign-off that accepts it."""
    return f"{result['check']}@{result['position']}" if result["position"] else str(result["check"])


def remarks(found: Acceptances, results: list[Mapping[str, Any]], core_titles: Mapping[str, str]) -> Iterator[str]:
    """What is said of the acceptances: those that count, those that cannot, those that name nothing.

    `core_titles` are the titles of core checks that gave no result, by check.
    """
    by_key = {key_of(item): item for item in results}
    counted = [f"{named([by_key[key]])[0] if key in by_key else core_titles[key]} ({entry['by'].strip()}: {entry['statement'].strip().rstrip('.')})"
               for key, entry in found.whole.items() if key in core_titles or (key in by_key and by_key[key]["verdict"] in ("unknown", "caution"))]
    if counted:
        yield f"Accepted by name: {'; '.join(counted)}."
    for key, entry in found.whole.items():
        if key in by_key and by_key[key]["verdict"] == "fail":
            yield f"{entry['by'].strip()} accepted a finding that fails, and a fail cannot be accepted: {named([by_key[key]])[0]}."
        elif key not in by_key and key not in core_titles:
            yield f"{entry['item'].strip()} names no finding of this car."
    for key, entry in found.short.items():
        if key in by_key or key in core_titles:
            what = named([by_key[key]])[0] if key in by_key else core_titles[key]
            yield f"An acceptance without {' and '.join(lacking(entry, ('by', 'statement')))} does not count: {what}."
