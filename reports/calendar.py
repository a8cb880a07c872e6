"""The dated part of the service plan as an iCalendar file (RFC 5545): days, not hours, and the same bytes for the same plan."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from uuid import NAMESPACE_URL, uuid5

from reports import typography
from reports.document import Document
from reports.sections.service import Plan, Step

#: RFC 5545, section 3.1: a line holds at most 75 octets; what follows is carried over with a blank.
LINE = 75
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
#: The stamp of a plan whose document carries no date: the Gregorian calendar's first leap year of the Unix age.
UNDATED = date(1972, 1, 1)


def calendar(document: Document, plan: Plan) -> str:
    """The file's text, with one all-day event for each dated step; repeating steps repeat by years."""
    stamp = _stamp(document)
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//As Fitted//Build book//EN", "CALSCALE:GREGORIAN", "METHOD:PUBLISH"]
    for step in plan.dated:
        lines += _event(document, step, stamp)
    return "".join(_folded(line) for line in [*lines, "END:VCALENDAR"])


def _event(document: Document, step: Step, stamp: date) -> Iterator[str]:
    assert step.day
    name = uuid5(NAMESPACE_URL, f"as-fitted:{document.car.id}:{document.build.id}:{step.key}")
    yield "BEGIN:VEVENT"
    yield f"UID:{name}"
    yield f"DTSTAMP:{stamp:%Y%m%d}T000000Z"
    yield f"DTSTART;VALUE=DATE:{step.day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{step.day + timedelta(days=1):%Y%m%d}"
    if step.years:
        yield f"RRULE:FREQ=YEARLY;INTERVAL={step.years}"
    yield f"SUMMARY:{_text(f'{document.car.name}: {step.what}')}"
    said = ". ".join(typography.sentence(word) for word in (step.when if step.when != step.next else "", step.why) if word)
    yield f"DESCRIPTION:{_text(f'{said}. Common practice; the maker of a part comes first.'.removeprefix('. '))}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _text(text: str) -> str:
    """A TEXT value (RFC 5545, section 3.3.11)."""
    plain = typography.plain(text).replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return re.sub(r"\r\n|\r|\n", r"\\n", plain)


def _folded(line: str) -> str:
    """A content line with its end, carried over where it is too long, never within a character."""
    out, width = [], 0
    for character in line:
        size = len(character.encode())
        if width + size > LINE:
            out.append("\r\n ")
            width = 1
        out.append(character)
        width += size
    return "".join(out) + "\r\n"


def _stamp(document: Document) -> date:
    """The latest day of the job, so that the same document gives the same file."""
    build = document.build
    days = [build.delivered_on, build.opened_on, *(drive.at for drive in document.drives), *(signoff.at for signoff in document.signoffs),
            *(measurement.taken_at for measurement in document.measurements)]
    found = [text[:10] for text in days if _DAY.match(text)]
    try:
        return date.fromisoformat(max(found)) if found else UNDATED
    except ValueError:
        return UNDATED
