"""The commands for archives: write a car's bag, verify bags, take one in."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from service.archive import handed, sealing
from service.archive.bagit import BadBag
from service.archive.restoring import Conflict, Restored
from service.archive.restoring import restore as take_in
from service.archive.unpacking import unpack
from service.archive.verifying import Finding, Report, bags
from service.archive.verifying import verify as verified
from service.archive.writing import SIGNATURE, NoCar
from service.archive.writing import archive as written
from service.bookbinding import give_document, stop
from service.document import DocumentError, load
from service.jobs import BookError, made_from
from service.settings import DEFAULT_DATA
from service.storage import documents, things
from service.storage.models import CARS
from service.storage.store import Store, open_store
from service.storage.things import SCOPES, Author
from service.web.problems import body, of_document

_FILE = click.Path(path_type=Path)
_HERE = Author("this machine", "this machine")


@contextmanager
def store_of(data: Path, database: str | None, files: str | None, *, must_be: bool = True) -> Iterator[Store]:
    """The store of a data folder, closed afterwards. With `must_be`, one that was there before."""
    if must_be and database is None and not (data / "records.sqlite3").is_file():
        raise click.UsageError(f"{data} holds no records; name with --data where they are kept")
    store = open_store(data, database, files)
    try:
        yield store
    finally:
        store.database.close()


def _options(command: Any) -> Any:
    command = click.option("--files", help="URL of the S3 bucket where photographs are.")(command)
    command = click.option("--database", help="URL of the PostgreSQL database.")(command)
    return click.option("--data", type=_FILE, show_default="~/.asfitted", help="Folder where records are kept.")(command)


@click.command()
@click.option("--car", help="Id of the car.")
@click.option("--all", "every", is_flag=True, help="Every car.")
@click.option("--out", required=True, type=_FILE, help="Folder for the bags.")
@click.option("--new-key", is_flag=True, help="Sign with a new key from now on; it is vouched for by the one before.")
@click.option("--json", "as_json", is_flag=True, help="Print where the bags are as JSON.")
@_options
def archive(car: str | None, every: bool, out: Path, new_key: bool, as_json: bool, data: Path | None, database: str | None, files: str | None) -> None:
    """Write the whole history of a car as one bag (BagIt 1.0), signed by the shop, readable without this program."""
    if bool(car) == every:
        raise click.UsageError("name one car with --car, or all with --all")
    with store_of(data or DEFAULT_DATA, database, files) as store:
        if new_key:
            sealing.rotate(store.folder / "keys")
        try:
            out.mkdir(parents=True, exist_ok=True)
            places = [written(store, one, out) for one in (_cars(store) if every else [str(car)])]
        except NoCar as error:
            raise click.UsageError(f"there is no car {error}") from error
        except OSError as error:
            stop(body(507 if error.errno == 28 else 422, f"{error.filename or out}: {error.strerror}"), as_json, out)
    click.echo(json.dumps([str(place) for place in places]) if as_json else "\n".join(f"Bag: {place}" for place in places))


def _cars(store: Store) -> list[str]:
    with store.database.reading() as connection:
        return [row.id for row in things.listed(connection, SCOPES[CARS], CARS)]


@click.command()
@click.argument("places", nargs=-1, required=True, type=_FILE, metavar="BAG|PDF|PACKET…")
@click.option("--json", "as_json", is_flag=True, help="Print the reports as JSON.")
@click.option("--key", help="The public key by which a bag must be signed, or that the one it is signed by leads back to.")
def verify(places: tuple[Path, ...], as_json: bool, key: str | None) -> None:
    """Verify bags: in folders, ZIP or tar files, or a folder of many; books (their PDF) and packets by what they carry.

    Ends with 1 when anything is changed, missing, added or broken. A history that was cut or altered is named at the event.
    """
    status, reports = 0, []
    for place in (bag for given in places for bag in bags(given)):
        report = handed.verify(place) if handed.is_book(place) or handed.is_packet(place) else verified(place)
        if key and (report.seal is None or key not in report.seal.line):
            report.findings.append(Finding("broken", SIGNATURE, f"it is signed by {report.seal.key if report.seal else 'nobody'}"))
        status = max(status, 1 if report.findings else 0)
        if as_json:
            reports.append(report.as_json())
        else:
            _print(report)
    if as_json:
        click.echo(json.dumps(reports, ensure_ascii=False, indent=2))
    raise SystemExit(status)


def _print(report: Report) -> None:
    if not report.findings:
        history = f"{report.events} events" if report.events or not report.build else "no history in it"
        whose = f"Build {report.build} of car {report.car}, {history}" if report.build else f"Car {report.car}, {history}"
        click.echo(f"{report.place}: whole. {whose}, signed by {report.seal.key if report.seal else 'nobody'}")
        return
    click.echo(f"{report.place}: {len(report.findings)} finding{'s' if len(report.findings) > 1 else ''}")
    for found in report.findings:
        click.echo(f"  {found.what}  {found.file}: {found.why}")


@click.command()
@click.argument("source", type=_FILE, metavar="BAG|PDF|PACKET")
@click.option("--out", type=_FILE, help="Only take the build document out of a PDF, into this file.")
@click.option("--json", "as_json", is_flag=True, help="Print what became of it as JSON.")
@_options
def restore(source: Path, out: Path | None, as_json: bool, data: Path | None, database: str | None, files: str | None) -> None:
    """Take in a bag: records, revisions, photographs, books. From a book's PDF or a packet: the build as it stands there.

    A packet’s photographs and papers come in as the clean copies that they are. Twice is the same as once. What is kept already is
    never overwritten: what differs is named. A PDF without --data is only read: its document is printed, or written with --out.
    """
    if out is not None or (source.suffix.lower() == ".pdf" and data is None and database is None):
        give_document(source, out, as_json=as_json)
        return
    with store_of(data or DEFAULT_DATA, database, files, must_be=False) as store:
        try:
            made = _book(store, source) if handed.is_book(source) else _packet(store, source) if handed.is_packet(source) else _told(take_in(store, source))
        except DocumentError as error:
            stop(of_document(error), as_json, source)
        except (BadBag, BookError) as error:
            stop(body(422, f"{source} cannot be taken in: {error}"), as_json, source)
        except Conflict as error:
            stop(body(409, f"{source} was not taken in: {error}"), as_json, source)
    click.echo(json.dumps(made, ensure_ascii=False) if as_json else made["said"])


def _told(done: Restored) -> dict[str, Any]:
    said = f"Car {done.car}: {done.new} events taken in, {done.before} were here" if done.new else f"Car {done.car}: all of it was here already"
    return {"car": done.car, "new": done.new, "before": done.before, "said": said}


def _book(store: Store, source: Path) -> dict[str, Any]:
    """The document of a book's PDF, taken in as `POST /v1/documents` would. Raises Conflict with what differs."""
    raw = made_from(source)
    loaded = load(raw)
    with store.database.writing() as connection:
        taken = documents.take(connection, _HERE, raw, loaded)
    return _said(taken, "Photographs and papers are not in a book’s PDF; a packet has copies of them." if raw.get("photos") or raw.get("papers") else "")


def _packet(store: Store, source: Path) -> dict[str, Any]:
    """A packet's build, with the clean copies of photographs and papers in it. Raises Conflict with what differs."""
    done = unpack(store, source, _HERE)
    count = f"{done.copies} photograph{'s' if done.copies != 1 else ''} or papers are" if done.copies != 1 else "1 photograph or paper is"
    note = f"{count} here as the packet’s clean cop{'ies' if done.copies != 1 else 'y'}: the originals stayed in the shop." if done.copies else ""
    return {**_said(done.taken, note), "copies": done.copies}


def _said(taken: documents.Imported, note: str) -> dict[str, Any]:
    if taken.differing:
        raise Conflict("; ".join(f"{item.pointer} {item.detail}" for item in taken.differing[:5]))
    said = f"Build {taken.build} of car {taken.car}: {'taken in' if taken.new else 'all of it was here already'}"
    return {"car": taken.car, "build": taken.build, "new": taken.new, "said": f"{said}. {note}" if note else said}

