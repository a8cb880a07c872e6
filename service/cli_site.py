"""The command for sites: of one car, or of every car that was handed over."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from reports.edition import EDITIONS, PUBLIC
from service.bookbinding import source_of, stop
from service.cli_archive import store_of
from service.document import DocumentError
from service.jobs import BookError, make_site
from service.settings import DEFAULT_DATA, SHOP_FILE, THEMES, kept_folder, shop_of
from service.shop_site import Look, Made, make_shop_site
from service.web.problems import body, of_document

_FILE = click.Path(path_type=Path)


@click.command()
@click.argument("source", metavar="[FILE|BUILD]", required=False)
@click.option("--all", "every", is_flag=True, help="Every car that was handed over, on one page with a search; made again, only what changed is.")
@click.option("--out", required=True, type=_FILE, help="Folder for the site.")
@click.option("--edition", type=click.Choice((PUBLIC, *EDITIONS)), default=PUBLIC, show_default=True,
              help="public: the owner's edition without owner and VIN (names in notes stay); owner; shop: everything.")
@click.option("--theme", default=THEMES[0], show_default=True, help=f"One of {', '.join(THEMES)}, or the folder of a theme of your own.")
@click.option("--shop", type=_FILE, help=f"The shop's file: name, address, logo, colors (default: {SHOP_FILE} in the data folder).")
@click.option("--photos", type=_FILE, help="Folder that photo files are relative to (default: beside the document).")
@click.option("--data", default=DEFAULT_DATA, type=_FILE, show_default="~/.asfitted", help="Folder where stored builds are.")
@click.option("--database", help="URL of the PostgreSQL database where stored builds are.")
@click.option("--files", help="URL of the S3 bucket where photographs of stored builds are.")
@click.option("--json", "as_json", is_flag=True, help="Print what was made as JSON.")
def site(source: str | None, every: bool, out: Path, edition: str, theme: str, shop: Path | None, photos: Path | None, data: Path, database: str | None,
         files: str | None, as_json: bool) -> None:
    """Make the site of a document or stored build, or of the whole shop: plain pages that need no server.

    Of the whole shop each book's pages stand in cars/CAR/BUILD/, an address that stays. Ends with 1 when a car's pages could not be made.
    """
    if every == bool(source):
        raise click.UsageError("name one file or build, or every car with --all")
    known = shop or (Path(file) if (file := shop_of(data)) else None)
    try:
        if source:
            with source_of(source, photos, data, database, files) as (document, folder, _):
                first = make_site(document, folder, out, edition=edition, theme=theme, shop=known, kept=kept_folder())
            click.echo(json.dumps({"site": str(first)}) if as_json else f"Site: {first}")
            return
        with store_of(data, database, files) as store, click.progressbar(length=100, label="Making the site", file=sys.stderr) as bar:
            made = make_shop_site(store, out, Look(edition, theme, known), kept_folder(), lambda share: bar.update(max(0, int(share * 100) - bar.pos)))
    except DocumentError as error:
        stop(of_document(error), as_json, Path(source or out))
    except BookError as error:
        stop(body(422, str(error)), as_json, Path(source or out))
    click.echo(json.dumps(made.as_json(), indent=2) if as_json else _said(made))
    raise SystemExit(1 if made.failed else 0)


def _said(made: Made) -> str:
    lines = [f"Site: {made.site} (books: {len(made.made)} made, {len(made.kept)} as they were, {len(made.removed)} removed)"]
    return "\n".join([*lines, *(f"Not made: {place}: {why}" for place, why in made.failed.items())])
