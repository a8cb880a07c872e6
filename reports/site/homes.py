"""Where things stand on the site: the page and anchor of every record, finding and section. Addresses depend on ids alone, so that links stay."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from reports import typography
from reports.anchors import anchor
from reports.answer import Result
from reports.context import Context
from reports.sections.fixes import FixEntry

#: The section that tells of the records of a list; parts, fixes and photographs have homes of their own.
_SECTIONS = {"specs": "inputs", "measurements": "inputs", "papers": "inputs", "fasteners": "tightening", "tasks": "work", "drives": "road-test",
             "signoffs": "signatures", "visits": "visits"}


def check_file(check: str) -> str:
    """The page of a check: `check-driveline-critical-speed.html`."""
    return f"check-{typography.slug(check)}.html"


def fix_file(fix_anchor: str) -> str:
    """The page of a fix: `fix-x-1.html`."""
    return f"{fix_anchor}.html"


@dataclass(frozen=True)
class Homes:
    """Addresses within the site of one book."""

    context: Context

    @cached_property
    def _keys(self) -> frozenset[str]:
        return frozenset(section.key for section in self.context.sections)

    @cached_property
    def _anchors(self) -> dict[str, str]:
        """The page of each anchor that is not told by its section's key: findings by check, fixes each on its own."""
        pages = {result.anchor: check_file(result.check) for result in self.context.source.answer.results}
        return pages | {entry.anchor: fix_file(entry.anchor) for entry in self._fixes}

    @cached_property
    def _fixes(self) -> tuple[FixEntry, ...]:
        content: tuple[FixEntry, ...] = self.context.section("fixes").content if "fixes" in self._keys else ()
        return content

    def href(self, section: str, place: str = "") -> str:
        """The address of a section of the book, or of an anchor in it."""
        if place in self._anchors:
            page = self._anchors[place]
            return page if page == fix_file(place) else f"{page}#{place}"
        page = "index.html" if section in ("cover", "index") else f"{section}.html"
        return f"{page}#{place}" if place else page

    def result(self, result: Result) -> str:
        """The address of a finding."""
        return f"{check_file(result.check)}#{result.anchor}"

    def record(self, records: str, key: str) -> str:
        """The address of a record, empty where the book does not tell of it."""
        if records == "parts" and key in self.context.source.parts:
            section = f"system-{typography.slug(self.context.source.system_of(self.context.source.parts[key]))}"
        elif records == "photos" and key in self.context.places:
            section = self.context.places[key].section
        elif records == "fixes" and anchor(records, key) in self._anchors:
            return self._anchors[anchor(records, key)]
        else:
            section = _SECTIONS.get(records, "")
        known = section == "cover" or section in self._keys
        return self.href(section, anchor(records, key)) if known and key else ""
