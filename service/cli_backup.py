"""The commands for backups: write one while the service serves, make a data folder out of one."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path

import click

from service.backup.generation import BadBackup, check, found_at
from service.backup.restoring import is_full, restore_backup
from service.backup.writing import Made, back_up
from service.bookbinding import stop
from service.settings import DEFAULT_DATA
from service.web.problems import body

_FILE = click.Path(path_type=Path)
_KEPT = 30


@contextmanager
def _told(place: Path, as_json: bool) -> Iterator[None]:
    """Stop with what is wrong."""
    try:
        yield
    except BadBackup as error:
        stop(body(422, str(error)), as_json, place)
    except OSError as error:
        said = "the disk is full, and nothing of it was kept" if is_full(error) else error.strerror or type(error).__name__
        stop(body(507 if is_full(error) else 422, f"{error.filename or place}: {said}"), as_json, place)


@click.command()
@click.option("--out", required=True, type=_FILE, help="Folder for backups, best on another disk. Each time only what is new is copied there.")
@click.option("--keep", default=_KEPT, show_default=True, type=click.IntRange(1), help="How many backups to keep there; older ones are dropped.")
@click.option("--data", default=DEFAULT_DATA, show_default="~/.asfitted", type=_FILE, help="Folder where records are kept.")
@click.option("--files", help="URL of the S3 bucket where photographs are; they are copied too.")
@click.option("--json", "as_json", is_flag=True, help="Print what was made as JSON.")
def backup(out: Path, keep: int, data: Path, files: str | None, as_json: bool) -> None:
    """Back the data folder up, also while the service serves: records, photographs and papers, books, keys, the shop's file.

    Ends with 1 when the data folder itself has lost photographs that its records name.
    """
    made = Made(out)
    with _told(out, as_json):
        made = back_up(data, out, keep=keep, files=files)
    click.echo(json.dumps(made.as_json(), indent=2) if as_json else _said(made))
    raise SystemExit(1 if made.not_there else 0)


def _said(made: Made) -> str:
    lines = [f"Backup: {made.place} ({made.files:,} files, of which {made.copied:,} were new: {made.copied_bytes / 1e6:,.1f} MB), checked"]
    if made.not_there:
        lines.append(f"The data folder has lost, or has damaged, {len(made.not_there)} of its photographs or papers, and no earlier backup has them:")
        lines += [f"  {sha256}" for sha256 in made.not_there]
    if made.dropped:
        lines.append(f"Dropped: {', '.join(made.dropped)}")
    return "\n".join(lines)


@click.command(name="restore-backup")
@click.argument("source", type=_FILE, metavar="BACKUP")
@click.option("--data", type=_FILE, help="The data folder to make. It must not be there, or be empty.")
@click.option("--check", "only_check", is_flag=True, help="Only read all of the backup, and say whether it is whole.")
@click.option("--json", "as_json", is_flag=True, help="Print what became of it as JSON.")
def restore(source: Path, data: Path | None, only_check: bool, as_json: bool) -> None:
    """Make a data folder out of a backup, or out of the newest in a folder of backups. All of it is verified first."""
    if only_check:
        _check(source, as_json)
    if data is None:
        raise click.UsageError("name with --data the folder to make, or --check to look at the backup only")
    with _told(data, as_json):
        done = restore_backup(source, data)
        told = {"backup": str(done.backup), "made_at": done.made_at, "data": str(done.data), "files": done.files, "not_there": done.not_there}
        lost = f"\nPhotographs or papers that had been lost before it was made: {len(done.not_there)}" if done.not_there else ""
        said = f"Data folder: {done.data} ({done.files:,} files, as they were on {done.made_at}){lost}\nServe it with: asfitted serve --data {done.data}"
        click.echo(json.dumps(told, indent=2) if as_json else said)


def _check(source: Path, as_json: bool) -> None:
    with _told(source, as_json):
        place = found_at(source)
        wrong = check(place)
        if as_json:
            click.echo(json.dumps({"backup": str(place.place), "whole": not wrong, "findings": [asdict(one) for one in wrong]}, indent=2))
        else:
            click.echo(f"{place.place}: {f'{len(wrong)} findings' if wrong else 'whole'}")
            for one in wrong:
                click.echo(f"  {one.file}: {one.why}")
        raise SystemExit(1 if wrong else 0)
