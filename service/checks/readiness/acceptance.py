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
    """What is said of the acceptances: those that count, those that cannot, those that name nothing or say too little.

    `core_titles` are the titles of core checks that gave no result, by check.
    """
    by_key = {key_of(item): item for item in results}
    titles = {**core_titles, **{key: named([item])[0] for key, item in by_key.items()}}
    verdicts = {key: by_key[key]["verdict"] if key in by_key else "unknown" for key in titles}
    for key, entry in found.whole.items():
        who, why = entry["by"].strip(), entry["statement"].strip().rstrip(".")
        if key not in titles:
            yield f"“{entry['item'].strip()}” names no finding of this car."
        elif verdicts[key] == "fail":
            yield f"{who} accepted “{titles[key]}”, but it fails, and a fail cannot be accepted."
        elif verdicts[key] != "pass":
            yield f"{who} accepted “{titles[key]}”: {why}."
    for key, entry in found.short.items():
        what = titles.get(key, entry["item"].strip())
        yield f"“{what}” was accepted without {' and '.join(lacking(entry, ('by', 'statement')))}, which does not count."
