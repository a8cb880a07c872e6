"""Is a bag whole? Every file against every manifest, the signature, the history's chain: what is changed, missing or added is named."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from service.archive import bagit, sealing
from service.archive.bagit import BadBag
from service.archive.containers import Container, opened
from service.archive.sealing import Seal
from service.archive.writing import COUNT, EVENTS, HEAD, RECORDS, SIGNATURE
from service.storage import chain
from service.storage.chain import Event


@dataclass(frozen=True, slots=True)
class Finding:
    """What is wrong with a bag: `changed`, `missing`, `added`, `broken` or `refused`, of which file, and why."""

    what: str
    file: str
    why: str


@dataclass(slots=True)
class Report:
    """What was found of one bag, book or packet (`build`: the one that a book is of). No findings: it is whole."""

    place: str
    car: str | None = None
    build: str | None = None
    events: int = 0
    seal: Seal | None = None
    findings: list[Finding] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        """The report as JSON has it."""
        return {**asdict(self), "whole": not self.findings}


def verify(place: Path) -> Report:
    """Verify a bag in a folder, a ZIP or a tar file. What cannot be read is a finding too."""
    try:
        with opened(place) as container:
            return judge(container, str(place))
    except BadBag as error:
        return Report(str(place), findings=[Finding("refused", place.name, str(error))])


def judge(container: Container, place: str) -> Report:
    """Verify what was opened, wherever its bytes are."""
    report = Report(place)
    try:
        report.findings.extend(_found(container, report))
    except BadBag as error:
        report.findings.append(Finding("refused", Path(place).name, str(error)))
    return report


def bags(place: Path) -> list[Path]:
    """The bags at a place: the place itself, or, where it is a folder that is none, what stands in it."""
    if not place.is_dir() or (place / "bagit.txt").exists():
        return [place]
    inside = sorted(path for path in place.iterdir() if not path.name.startswith(".") and (path.is_dir() or path.suffix in (".zip", ".tar", ".gz", ".tgz")))
    return inside or [place]


def _found(container: Container, report: Report) -> Iterator[Finding]:
    if not bagit.is_version(container.text("bagit.txt")):
        yield Finding("broken", "bagit.txt", "it declares no bag of version 1.0 in UTF-8")
    if "fetch.txt" in container.sizes:
        yield Finding("refused", "fetch.txt", "it names files elsewhere, which are never fetched")
    sums: dict[str, dict[str, str]] = {}
    payload = {name for name in container.sizes if name.startswith(bagit.PAYLOAD)}
    yield from _against(container, "manifest", payload, sums)
    own = {name for name in container.sizes if "/" not in name and name != SIGNATURE and not name.startswith("tagmanifest-")}
    yield from _against(container, "tagmanifest", own | {name for name in container.sizes if "/" in name} - payload, sums)
    info = bagit.labels(container.text("bag-info.txt"))
    report.car, oxum = info.get("External-Identifier"), f"{sum(container.sizes[name] for name in payload)}.{len(payload)}"
    if info.get("Payload-Oxum", oxum) != oxum:
        yield Finding("broken", "bag-info.txt", f"it counts {info['Payload-Oxum']} (bytes.files), and {oxum} are there")
    yield from _signature(container, report)
    yield from _history(container, info, report)


def _against(container: Container, prefix: str, there: set[str], sums: dict[str, dict[str, str]]) -> Iterator[Finding]:
    """Files against the manifests of one kind."""
    listed = [(name, algorithm) for name, algorithm in bagit.manifests(container.sizes, prefix) if algorithm in hashlib.algorithms_available]
    if not listed:
        yield Finding("missing", f"{prefix}-sha256.txt", "without a manifest nobody can tell whether files changed")
    told: set[tuple[str, str]] = set()
    for name, algorithm in listed:
        entries = bagit.entries(name, container.text(name))
        for path in sorted(there - set(entries)):
            told.add(("added", path))
        for path, wanted in sorted(entries.items()):
            if path not in container.sizes or path not in there:
                told.add(("missing", path))
            elif algorithm in bagit.ALGORITHMS and _sums(container, path, sums)[algorithm] != wanted:
                told.add(("changed", path))
    why = {"added": "no manifest lists it", "missing": "a manifest lists it", "changed": "it is not what the manifest says it was"}
    for what, path in sorted(told):
        yield Finding(what, path, why[what])


def _sums(container: Container, path: str, sums: dict[str, dict[str, str]]) -> dict[str, str]:
    if path not in sums:
        try:
            with container.reading(path) as content:
                sums[path] = bagit.digests(content)[0]
        except BadBag:
            sums[path] = dict.fromkeys(bagit.ALGORITHMS, "unreadable")
    return sums[path]


def _signature(container: Container, report: Report) -> Iterator[Finding]:
    if SIGNATURE not in container.sizes:
        yield Finding("missing", SIGNATURE, "nobody signed this bag")
        return
    signed = {name: container.text(name).encode() for name, _ in bagit.manifests(container.sizes, "tagmanifest")}
    report.seal = sealing.judged(container.text(SIGNATURE), signed)
    if not report.seal.holds:
        yield Finding("broken", SIGNATURE, "the signature does not hold: it or the tag manifests were altered")


def _history(container: Container, info: dict[str, str], report: Report) -> Iterator[Finding]:
    try:
        events, bodies = history(container)
    except (BadBag, ValueError) as error:
        yield Finding("broken", EVENTS, str(error))
        return
    report.events = len(events)
    if info.get(COUNT, str(len(events))) != str(len(events)):
        yield Finding("broken", EVENTS, f"bag-info.txt counts {info[COUNT]} events, and {len(events)} are there")
    if len(bodies) != len(events):
        yield Finding("broken", RECORDS, f"there are {len(events)} events and {len(bodies)} records")
    for found in chain.breaks(events, bodies=bodies if len(bodies) == len(events) else None, head=info.get(HEAD)):
        yield Finding("broken", EVENTS, f"event {found.event}: {found.why}")


def history(container: Container) -> tuple[list[Event], list[str]]:
    """A bag's events and the records that they left. Raises BadBag, ValueError for what is none."""
    lines = container.text(EVENTS).split("\n")
    bodies = container.text(RECORDS).split("\n")
    if lines.pop() or bodies.pop():
        raise BadBag("the last line of the history has no end: it was cut")
    events = []
    for number, text in enumerate(lines, 1):
        try:
            events.append(chain.read(json.loads(text)))
        except (ValueError, TypeError) as error:
            raise BadBag(f"line {number} is no event: {error}") from error
    return events, bodies
