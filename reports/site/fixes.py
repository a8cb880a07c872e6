"""A page for each fix: the trouble, its cause and remedy, the numbers before and after, and the checks that look after it now."""

from __future__ import annotations

from dataclasses import dataclass

from reports.answer import Result
from reports.charts import Drawing
from reports.context import Context
from reports.document import Part
from reports.sections import systems
from reports.sections.fixes import FixEntry
from reports.site.checks import names_fact

#: Drawings on a fix's page at most.
DRAWINGS = 2


@dataclass(frozen=True, slots=True)
class FixSheet:
    """A fix as its page prints it."""

    entry: FixEntry
    parts: tuple[Part, ...]
    results: tuple[Result, ...]
    drawings: tuple[Drawing, ...]


def build(context: Context, entry: FixEntry) -> FixSheet:
    """The fix with its parts and with the findings that use its readings or its parts."""
    source, fix = context.source, entry.fix
    keys = frozenset((*fix.before, *fix.after, *fix.parts_added))
    results = [result for result in source.answer.results if keys and names_fact(result, keys, frozenset())]
    own = [result for result in results if result.system == fix.system]
    return FixSheet(entry, tuple(source.parts[key] for key in fix.parts_added if key in source.parts), tuple(results),
                    systems.of_results(source, own)[:DRAWINGS])
