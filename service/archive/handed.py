"""What was handed over, a book's PDF or a packet, judged by what it carries: its files against their checksums, its history's chain."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from reports import embedded
from reports.embedded import ANSWER, DOCUMENT, HISTORY, SUMS, NoRecord
from service.archive.bagit import BadBag
from service.archive.containers import Container, opened
from service.archive.verifying import Finding, Report
from service.storage import chain
from service.storage.chain import Event, OwnersEvent

BOOK = "book.pdf"


def is_book(place: Path) -> bool:
    """Whether a place is a book's PDF, by its name."""
    return place.suffix.lower() == ".pdf"


def is_packet(place: Path) -> bool:
    """Whether a place is a packet, packed or not: it holds a build document and is no bag."""
    try:
        with opened(place) as container:
            return "bagit.txt" not in container.sizes and DOCUMENT in container.sizes
    except BadBag:
        return False


def verify(place: Path) -> Report:
    """Verify a book's PDF or a packet. What cannot be read is a finding too."""
    report = Report(str(place))
    try:
        report.findings.extend(_book(place, report) if is_book(place) else _packet(place, report))
    except (BadBag, NoRecord) as error:
        report.findings.append(Finding("refused", place.name, str(error)))
    except OSError as error:
        report.findings.append(Finding("refused", place.name, error.strerror or str(error)))
    return report


def _book(place: Path, report: Report) -> Iterator[Finding]:
    held = embedded.attached(place)
    if DOCUMENT not in held:
        raise NoRecord(f"it carries no build document ({DOCUMENT}); only a book made by this program does")
    found = {name: hashlib.sha256(data).hexdigest() for name, data in held.items() if name != SUMS}
    yield from _against(embedded.checksums(held.get(SUMS, b"")), found)
    yield from _record(held, report)


def _packet(place: Path, report: Report) -> Iterator[Finding]:
    with opened(place) as container:
        listed = embedded.checksums(container.text(SUMS).encode())
        yield from _against(listed, {name: _sum(container, name) for name in container.sizes if name != SUMS})
        held = {name: content_of(container, name) for name in (DOCUMENT, ANSWER, HISTORY) if name in container.sizes}
        held[SUMS] = "".join(f"{listed[name]}  {name}\n" for name in held if name in listed).encode()
        yield from _record(held, report)
        if BOOK in container.sizes:
            with TemporaryDirectory(prefix="asfitted-") as folder:
                yield from _book_of(container, Path(folder) / BOOK, held)


def _book_of(container: Container, book: Path, held: Mapping[str, bytes]) -> Iterator[Finding]:
    """The book in a packet carries what the packet holds."""
    with container.reading(BOOK) as content, book.open("wb") as file:
        shutil.copyfileobj(content, file)
    inside = embedded.attached(book, (DOCUMENT, ANSWER, HISTORY))
    for name in (DOCUMENT, ANSWER, HISTORY):
        if inside.get(name) != held.get(name):
            yield Finding("changed", name, f"{BOOK} carries another")


def _sum(container: Container, name: str) -> str:
    with container.reading(name) as content:
        return hashlib.file_digest(content, "sha256").hexdigest()  # type: ignore[arg-type]


def content_of(container: Container, name: str) -> bytes:
    """A file of a container, whole."""
    with container.reading(name) as content:
        return content.read()


def _against(listed: Mapping[str, str], found: Mapping[str, str]) -> Iterator[Finding]:
    if not listed:
        yield Finding("missing", SUMS, "without checksums nobody can tell whether files changed")
        return
    for name in sorted({*listed, *found}):
        if name not in found:
            yield Finding("missing", name, f"{SUMS} lists it")
        elif name not in listed:
            yield Finding("added", name, f"{SUMS} does not list it")
        elif listed[name] != found[name]:
            yield Finding("changed", name, f"it is not what {SUMS} says it was")


def _record(held: Mapping[str, bytes], report: Report) -> Iterator[Finding]:
    """The document, the answer and the history: whether they can be read, whose they are, whether the history is whole."""
    objects: dict[str, Any] = {}
    for name in (DOCUMENT, ANSWER):
        try:
            objects[name] = json.loads(held[name])
        except KeyError:
            yield Finding("missing", name, "a book carries it")
        except ValueError:
            yield Finding("broken", name, "it is no JSON")
    document = objects.get(DOCUMENT)
    if isinstance(document, dict):
        report.car, report.build = ((document.get(part) or {}).get("id") for part in ("car", "build"))
    if HISTORY in held:
        yield from _history(held, report)


def _history(held: Mapping[str, bytes], report: Report) -> Iterator[Finding]:
    events, bad = _events(held[HISTORY])
    report.events, found = len(events), [*chain.breaks(events)]
    if bad:
        yield Finding("broken", HISTORY, bad)
    for item in found:
        yield Finding("broken", HISTORY, f"event {item.event}: {item.why}")
    if events and report.car is not None and events[0].car != report.car:
        yield Finding("broken", HISTORY, f"it is that of the car {events[0].car}, the record that of {report.car}")
    listed = embedded.checksums(held.get(SUMS, b"")).get(HISTORY)
    if not bad and not found and listed != hashlib.sha256(held[HISTORY]).hexdigest():
        last = events[-1].event if events else 0
        yield Finding("broken", HISTORY, f"event {last}: the chain did not end with this event: it was altered, or those after it were cut off or added")


def _events(lines: bytes) -> tuple[list[Event | OwnersEvent], str]:
    """The events of a history, and what is wrong with the first line that is none."""
    events: list[Event | OwnersEvent] = []
    *whole, rest = lines.decode("utf-8", "replace").split("\n")
    for number, text in enumerate([*whole, rest] if rest else whole, 1):
        try:
            events.append(chain.read_line(text if number > len(whole) else f"{text}\n"))
        except ValueError as error:
            return events, f"event {number}: it was altered or cut: {error}"
    return events, ""
