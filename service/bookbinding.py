"""The commands that make the book and take the record out of it again."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import click

from reports.edition import EDITIONS, OWNER
from service.document import DocumentError, load
from service.files import photo_folder, read_document
from service.jobs import BookError, made_from, make_book, make_packet
from service.listing import print_problem
from service.settings import DEFAULT_DATA, SHOP_FILE, THEMES, kept_folder, shop_of
from service.storage import things
from service.storage.documents import export
from service.storage.handout import hand_out
from service.storage.store import open_store
from service.web.problems import body, of_document

_FILE = click.Path(path_type=Path)


def stop(problem: dict[str, Any], as_json: bool, file: Path) -> None:
    """Print a problem, as JSON or for people, and end with status 2."""
    if as_json:
        click.echo(json.dumps(problem, ensure_ascii=False, indent=2))
    elif problem.get("errors"):
        print_problem(file, problem)
    else:
        click.echo(f"Error: {problem['detail']}", err=True)
    raise SystemExit(2)


@contextmanager
def source_of(given: str, photos: Path | None, data: Path, database: str | None, files: str | None) -> Iterator[tuple[dict[str, Any], Path, str]]:
    """The document of a file or a stored build, the folder of its photographs, and the sealed lines of its car's history (a file has none).

    Raises DocumentError for a document that is not valid, BookError when there is neither a file nor a build of this name.
    """
    if given == "-" or Path(given).is_file() or Path(given).suffix or len(Path(given).parts) > 1:
        yield read_document(Path(given)), photos or photo_folder(Path(given)), ""
        return
    if database is None and not (data / "records.sqlite3").is_file():
        raise BookError(f"there is no file {given}, and {data} holds no builds; name a file, or with --data where builds are kept")
    store = open_store(data, database, files)
    try:
        with store.database.reading() as connection:
            kept = export(connection, given)
            history = things.history(connection, kept["car"]["id"]) if kept else ""
        if kept is None:
            raise BookError(f"there is neither a file nor, in {data if database is None else 'the database'}, a build {given}")
        with TemporaryDirectory(prefix="asfitted-") as folder:
            handed = hand_out(store, kept, Path(folder))
            if handed.missing:
                count = len(handed.missing)
                click.echo(f"{count} file{'s were' if count > 1 else ' was'} never sent and left out of the book", err=True)
            yield load(handed.document), Path(folder), history
    finally:
        store.database.close()


def _making(command: Callable[..., None]) -> Callable[..., None]:
    """The options that all commands share which make a book."""
    for option in (
        click.option("--json", "as_json", is_flag=True, help="Print where it is as JSON."),
        click.option("--edition", type=click.Choice(EDITIONS), default=OWNER, show_default=True,
                     help="owner: to hand over; shop: with suppliers, internal notes and the shop's papers."),
        click.option("--shop", type=_FILE, help=f"The shop's file: name, address, logo, colors (default: {SHOP_FILE} in the data folder)."),
        click.option("--theme", default=THEMES[0], show_default=True, help=f"One of {', '.join(THEMES)}, or the folder of a theme of your own."),
        click.option("--address", default="", help="Address of the car's page on the web: printed as a QR code."),
        click.option("--paper", type=click.Choice(["letter", "a4"]), default="letter", show_default=True),
        click.option("--files", help="URL of the S3 bucket where photographs of stored builds are."),
        click.option("--database", help="URL of the PostgreSQL database where stored builds are."),
        click.option("--data", default=DEFAULT_DATA, show_default="~/.asfitted", type=_FILE, help="Folder where stored builds are."),
        click.option("--photos", type=_FILE, help="Folder that photo and paper files are relative to (default: beside the document)."),
    ):
        command = option(command)
    return command


def _made(make: Callable[..., dict[str, Any]], source: str, out: Path, photos: Path | None, data: Path, database: str | None, files: str | None,
          as_json: bool, shop: Path | None, **options: Any) -> dict[str, Any]:
    """Make it with a bar that shows how far it is, or stop with what is wrong."""
    made: dict[str, Any] = {}
    try:
        with source_of(source, photos, data, database, files) as (document, folder, history), \
                click.progressbar(length=100, label="Making the book", file=sys.stderr) as bar:
            known = shop or (Path(file) if (file := shop_of(data)) else None)
            made = make(document, folder, out, shop=known, kept=kept_folder(), history=history, **options,
                        progress=lambda share: bar.update(max(0, int(share * 100) - bar.pos)))
    except DocumentError as error:
        stop(of_document(error), as_json, Path(source))
    except BookError as error:
        stop(body(422, str(error)), as_json, Path(source))
    return made


@click.command()
@click.argument("source", metavar="FILE|BUILD")
@click.option("--out", required=True, type=_FILE, help="Folder for the book.")
@_making
def book(source: str, out: Path, as_json: bool, **options: Any) -> None:
    """Make the build book of a document, or of a stored build by its id: an HTML site, a PDF, and a card for the glovebox."""
    made = _made(make_book, source, out, as_json=as_json, **options)
    if as_json:
        click.echo(json.dumps(made, indent=2))
    else:
        click.echo(f"Book: {made['pdf']} ({made['pages']} pages)\nSite: {made['site']}\nCard: {out / 'glovebox.pdf'}")


@click.command()
@click.argument("source", metavar="FILE|BUILD")
@click.option("--out", required=True, type=_FILE, help="File for the packet, a ZIP.")
@_making
def packet(source: str, out: Path, as_json: bool, **options: Any) -> None:
    """Make everything that is handed over, as one ZIP: book, site, card, photographs, papers, record, checksums."""
    made = _made(make_packet, source, out, as_json=as_json, **options)
    click.echo(json.dumps(made, indent=2) if as_json else f"Packet: {made['packet']}")


def give_document(file: Path, out: Path | None, *, as_json: bool) -> None:
    """Print the build document of a book's PDF, checked against its checksum, or write it to `out`. Stops with what is wrong."""
    text = ""
    try:
        text = json.dumps(made_from(file), ensure_ascii=False, indent=1) + "\n"
        if out:
            out.write_text(text, encoding="utf-8")
    except DocumentError as error:
        stop(of_document(error), as_json, file)
    except BookError as error:
        stop(body(422, str(error)), as_json, file)
    except OSError as error:
        stop(body(422, f"{error.filename or out}: {error.strerror}"), as_json, file)
    click.echo(f"Document: {out}" if out else text, nl=bool(out))
