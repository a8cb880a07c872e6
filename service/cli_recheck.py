"""The command that judges the whole fleet again."""

from __future__ import annotations

import csv
import json
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

import click

from service.lock import FolderLock
from service.queues import QueueError, open_queue
from service.recheck import running
from service.recheck.chunks import Chunks, cut
from service.recheck.items import Item, of_place, of_store
from service.recheck.last import Last
from service.recheck.report import Report, gather
from service.recheck.running import Kept
from service.settings import DEFAULT_DATA, kept_folder

_FILE = click.Path(path_type=Path)
_COLUMNS = ("place", "car", "build", "finding", "title", "before", "after", "worse", "says")


@click.command()
@click.argument("places", nargs=-1, type=_FILE, metavar="[BAG|FILE|FOLDER]…")
@click.option("--data", type=_FILE, show_default="~/.asfitted, unless bags or files are named", help="The data folder of the service.")
@click.option("--database", help="URL of the PostgreSQL database.")
@click.option("--jobs", type=click.IntRange(1), show_default="as many as there are cores", help="Processes that judge.")
@click.option("--queue", help="URL of the service's queue: have `asfitted work` judge, on however many machines.")
@click.option("--json", "as_json", is_flag=True, help="Print the report as JSON.")
@click.option("--csv", "as_csv", is_flag=True, help="Print the changed safety findings as CSV.")
def recheck(places: tuple[Path, ...], data: Path | None, database: str | None, jobs: int | None, queue: str | None, as_json: bool, as_csv: bool) -> None:
    """Judge every build again and list the cars whose safety findings are others than they were, with before and after.

    Before is what was found last: at the last recheck or with the book, in a bag by the answer in it. A recheck that is stopped goes on where
    it was. Ends with 1 when a safety finding got worse, with 2 when something could not be read.
    """
    stored = data is not None or database is not None or not places
    if queue and places:
        raise click.UsageError("--queue is for the builds of the service; bags and files are judged here, without it")
    kept = Kept(data or (DEFAULT_DATA if stored else kept_folder()), database, None, stored)
    if stored and database is None and not (kept.folder / "records.sqlite3").is_file():
        raise click.UsageError(f"{kept.folder} holds no records; name with --data where they are kept")
    kept.folder.mkdir(parents=True, exist_ok=True)
    with _alone(kept.folder):
        report = _rechecked(kept, places, jobs or os.cpu_count() or 1, queue)
    _print_csv(report) if as_csv else click.echo(json.dumps(report.as_json(), ensure_ascii=False, indent=2)) if as_json else _print(report)
    raise SystemExit(2 if report.unreadable else 1 if report.worse else 0)


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    lock = FolderLock(folder / ".recheck")
    if not lock.take():
        raise click.ClickException(f"a recheck of {folder} is running already")
    try:
        yield
    finally:
        lock.give_back()


def _rechecked(kept: Kept, places: Sequence[Path], jobs: int, queue: str | None) -> Report:
    """Judge whatever is not judged yet, with a bar on a terminal, and gather everything."""
    store, chunks = kept.open(), Chunks(kept.folder)
    try:
        items: list[Item] = [*(of_store(store) if store else ()), *(item for place in places for item in of_place(place))]
        pieces = list(cut(items))
        waiting = [piece for piece in pieces if not chunks.done(piece)]
        ahead = sum(map(len, pieces)) - sum(map(len, waiting))
        if ahead:
            click.echo(f"{ahead} of {len(items)} builds were judged before this was stopped; going on.", err=True)
        if queue and store:
            steps = running.by_queue(waiting, kept, store, running.register(open_queue(kept.folder, queue), store))
        else:
            steps = running.here(waiting, kept, store, jobs)
        with closing(steps), click.progressbar(length=len(items), label="Rechecking", file=sys.stderr, show_pos=True, hidden=not sys.stderr.isatty()) as bar:
            bar.update(ahead)
            for count in steps:
                bar.update(count)
        report = gather(chunks, pieces, Last(kept.folder, store))
        chunks.forget(pieces)
        return report
    except QueueError as error:
        raise click.UsageError(str(error)) from error
    finally:
        if store is not None:
            store.database.close()


def _print(report: Report) -> None:
    for build in report.changed:
        click.echo(f"{_called(build)}" + ("  (its record changed since, too)" if build["record_changed"] else ""))
        for change in build["safety"]:
            before, after = (change[when] or "no result" for when in ("before", "after"))
            click.echo(f"  {'WORSE ' if change['worse'] else 'better'}  {change['finding']}: {before} → {after}")
            click.echo(f"          {change['says']}")
    for build in report.unreadable:
        click.echo(f"{build['place'] or build['build']}: not judged: {build['unreadable']}", err=True)
    click.echo(_told(report))


def _called(build: dict[str, str]) -> str:
    title = f", {build['title']}" if build["title"] else ""
    return f"{build['car']}{title} ({build['build'] or build['place']})"


def _told(report: Report) -> str:
    """The whole in one line."""
    said = [f"{report.builds} build{'' if report.builds == 1 else 's'} judged", f"{len(report.changed)} with changed safety findings",
            f"{report.others} other finding{'' if report.others == 1 else 's'} changed"]
    if report.first:
        said.append(f"{report.first} for the first time, so with nothing to compare")
    if report.unreadable:
        said.append(f"{len(report.unreadable)} could not be judged")
    return "; ".join(said) + "."


def _print_csv(report: Report) -> None:
    writer = csv.DictWriter(sys.stdout, _COLUMNS, extrasaction="ignore")
    writer.writeheader()
    for build in report.changed:
        writer.writerows({**build, **change, "worse": "yes" if change["worse"] else "no"} for change in build["safety"])
    for build in report.unreadable:
        click.echo(f"{build['place'] or build['build']}: not judged: {build['unreadable']}", err=True)
