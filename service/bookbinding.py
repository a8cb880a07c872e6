"""The commands that make the book and take the record out of it again."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import click

from reports.edition import EDITIONS, OWNER
from service.document import DocumentError
from service.files import photo_folder, read_document
from service.jobs import BookError, made_from, make_book
from service.listing import print_problem
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


@click.command()
@click.argument("file", type=_FILE)
@click.option("--out", required=True, type=_FILE, help="Folder for the book.")
@click.option("--photos", type=_FILE, help="Folder that photo files are relative to (default: beside the document).")
@click.option("--paper", type=click.Choice(["letter", "a4"]), default="letter", show_default=True)
@click.option("--edition", type=click.Choice(EDITIONS), default=OWNER, show_default=True,
              help="owner: to hand over; shop: with suppliers, internal notes and the shop's papers.")
@click.option("--json", "as_json", is_flag=True, help="Print where the book is as JSON.")
def book(file: Path, out: Path, photos: Path | None, paper: str, edition: str, as_json: bool) -> None:
    """Make the build book of a document: an HTML site and a PDF."""
    made: dict[str, Any] = {}
    try:
        document = read_document(file)
        with click.progressbar(length=100, label="Making the book", file=sys.stderr) as bar:
            made = make_book(document, photos or photo_folder(file), out, paper=paper, edition=edition,
                             progress=lambda share: bar.update(max(0, int(share * 100) - bar.pos)))
    except DocumentError as error:
        stop(of_document(error), as_json, file)
    except BookError as error:
        stop(body(422, str(error)), as_json, file)
    if as_json:
        click.echo(json.dumps(made, indent=2))
    else:
        click.echo(f"Book: {made['pdf']} ({made['pages']} pages)\nSite: {made['site']}")


@click.command()
@click.argument("file", type=_FILE)
@click.option("--out", type=_FILE, help="File for the document (default: print it).")
@click.option("--json", "as_json", is_flag=True, help="Print a problem as JSON.")
def restore(file: Path, out: Path | None, as_json: bool) -> None:
    """Take the build document out of a book's PDF, checked against its checksum."""
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
