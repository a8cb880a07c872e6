"""One car, one bag: everything that is known of a car, written so that it can be read without this program."""

from __future__ import annotations

import hashlib
import io
import json
import os
import re
import shutil
import time
from collections.abc import Iterable, Mapping
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import IO, Any

from service.archive import bagit, sealing
from service.checks.answer import answer, catalog
from service.document import load
from service.document.json_schema import build_schema
from service.document.records import LISTS
from service.pictures import SUFFIXES
from service.storage import books, chain, documents, files, things
from service.storage.disk import sync
from service.storage.store import Store
from service.vocabulary import describe

EVENTS, RECORDS, SIGNATURE = "data/events.jsonl", "data/records.jsonl", "signature.txt"
HEAD, COUNT = "History-Head", "History-Events"
#: Seconds after which a bag that is still being written is one that was cut off.
_CUT_OFF = 24 * 3600
_README = """This folder is the history of one car, kept by As Fitted.

It is a BagIt bag (RFC 8493). It can be read without any program of ours:

  builds/*/document.json   each build as one document: what was fitted, measured, tightened, fixed, photographed, signed
  builds/*/answer.json     what was computed about that build, with numbers, limits, reasons and sources
  books/                   books that went out with the car, as they were
  files/                   original photographs and papers, byte for byte, named by the SHA-256 by which documents name them.
                           An original can tell where and by whom it was taken: give it to nobody who should not know
  events.jsonl             who did what when, one event a line, oldest first. "previous" is the SHA-256 of the line before
                           it, newline included; of the first, sixty-four zeros
  records.jsonl            line n is the record as event n left it; its SHA-256, newline included, stands in that event as "record"
  schemas/                 the form of a build document (JSON Schema), every word it can use, and every check with its formula

Has anything changed? In the folder above this one:

  sha256sum -c manifest-sha256.txt
  sha256sum -c tagmanifest-sha256.txt

Is the history whole? Line 1's sum must be what line 2 names as "previous", and so on; the last line's sum is History-Head in bag-info.txt:

  sed -n 1p data/events.jsonl | sha256sum

Who signed it? signature.txt has an Ed25519 public key and signatures of the two tagmanifest files, in base64.
Calculated results are checks on paper. They replace no inspection and no road test.
"""


class NoCar(LookupError):
    """There is no such car."""


def archive(store: Store, car: str, out: Path) -> Path:
    """Write a car's bag below `out`, whole or not at all; returns its folder. A bag of the same state that is there already is left.

    Raises NoCar, OSError.
    """
    with store.database.reading() as connection:
        rows = things.of_car(connection, car)
        if not rows:
            raise NoCar(car)
        builds = things.builds_of(connection, car, len(rows))
        exported = {row.id: documents.export(connection, row.id) or {} for row in builds}
        abouts = {sha256: about for document in exported.values() for sha256 in _named(document) if (about := files.find(connection, sha256))}
        kept = books.handed_over(connection, car)
    place = out / f"{slug(car)}-{rows[-1].event:06d}"
    if place.exists():
        return place
    _sweep(out)
    work = out / f".{place.name}.part-{os.getpid()}"
    shutil.rmtree(work, ignore_errors=True)
    try:
        bag = _Bag(work)
        _history(bag, rows)
        _builds(bag, exported)
        for about in abouts.values():
            bag.add(f"data/files/{about.sha256}.{SUFFIXES[about.type]}", store.files.original(about.sha256))
        _books(bag, store.folder / "books", kept)
        bag.close(car, rows, sealing.keys(store.folder / "keys"))
        work.rename(place)
        sync(out)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return place


def _sweep(out: Path) -> None:
    """Remove what was cut off: no car takes this long."""
    for part in out.glob(".*.part-*"):
        with suppress(OSError):
            if time.time() - part.stat().st_mtime > _CUT_OFF:
                shutil.rmtree(part)


def slug(name: str) -> str:
    """A name as one of a folder; what cannot stand there is made unlike any other by a hash.

    >>> slug("breyfell-ostrelle-1973"), slug("car 1")
    ('breyfell-ostrelle-1973', 'car-1-106ba0e4')
    """
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip(".-")[:100] or "car"
    return plain if plain == name else f"{plain}-{hashlib.sha256(name.encode()).hexdigest()[:8]}"


def _named(document: Mapping[str, Any]) -> list[str]:
    return [record["sha256"] for name in ("photos", "papers") for record in document.get(name) or () if record.get("sha256")]


class _Bag:
    """A bag being written: files are through to the disk before it gets its name."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.sums, self.sizes = folder, dict[str, dict[str, str]](), dict[str, int]()

    def add(self, name: str, content: bytes | str | IO[bytes]) -> None:
        """Write a file and remember its checksums."""
        stream = io.BytesIO(content.encode() if isinstance(content, str) else content) if isinstance(content, bytes | str) else content
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        self.sums[name], self.sizes[name] = bagit.digests(stream)
        stream.seek(0)
        with path.open("wb") as file:
            shutil.copyfileobj(stream, file, 1 << 20)
            file.flush()
            os.fsync(file.fileno())

    def close(self, car: str, rows: Any, known: list[Any]) -> None:
        """Write what tells about the bag: its manifests and their signature."""
        self.add("data/README.txt", _README)
        for name, made in _schemas().items():
            self.add(f"data/schemas/{name}", made)
        payload = dict(self.sums)
        self.add("bagit.txt", bagit.VERSION)
        self.add("bag-info.txt", bagit.tags((
            ("External-Identifier", car), ("Bagging-Date", rows[-1].at[:10]), ("Bag-Software-Agent", "As Fitted"),
            ("Payload-Oxum", f"{sum(self.sizes[name] for name in payload)}.{len(payload)}"), (COUNT, str(rows[-1].event)), (HEAD, rows[-1].hash))))
        for algorithm in bagit.ALGORITHMS:
            self.add(f"manifest-{algorithm}.txt", bagit.manifest(payload, algorithm))
        tagged = {name: sums for name, sums in self.sums.items() if name not in payload}
        signed = {f"tagmanifest-{algorithm}.txt": bagit.manifest(tagged, algorithm).encode() for algorithm in bagit.ALGORITHMS}
        for name, content in signed.items():
            self.add(name, content)
        self.add(SIGNATURE, sealing.statement(known, signed))
        for path in (self.folder, *(path for path in self.folder.rglob("*") if path.is_dir())):
            sync(path)


@cache
def _schemas() -> dict[str, str]:
    """The same in every bag."""
    made = {"build.json": build_schema(), "vocabulary.json": describe(), "catalog.json": catalog()}
    return {name: json.dumps(content, ensure_ascii=False, indent=1) + "\n" for name, content in made.items()}


def _history(bag: _Bag, rows: Iterable[Any]) -> None:
    rows = list(rows)
    bag.add(EVENTS, "".join(chain.line(things.event_of(row._mapping)) for row in rows))
    bag.add(RECORDS, "".join(f"{row.body}\n" for row in rows))


def _builds(bag: _Bag, exported: Mapping[str, Mapping[str, Any]]) -> None:
    for build, document in exported.items():
        assert set(LISTS) - {"visits"} <= set(document)
        bag.add(f"data/builds/{slug(build)}/document.json", json.dumps(document, ensure_ascii=False, indent=1) + "\n")
        bag.add(f"data/builds/{slug(build)}/answer.json", json.dumps(answer(load(document)), ensure_ascii=False, indent=1) + "\n")


def _books(bag: _Bag, folder: Path, kept: Iterable[Any]) -> None:
    for row in kept:
        bag.add(f"data/books/{row.id}.json", json.dumps(dict(row._mapping), ensure_ascii=False, indent=1, sort_keys=True) + "\n")
        for path in sorted(path for path in (folder / row.id).rglob("*") if path.is_file()):
            with path.open("rb") as content:
                bag.add(f"data/books/{row.id}/{path.relative_to(folder / row.id).as_posix()}", content)
