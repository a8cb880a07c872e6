"""The command line. Exit status: 0 fine, 1 a finding that stops, 2 bad input or usage."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click

from service.bookbinding import book, packet
from service.checks.answer import answer, catalog
from service.cli_archive import archive, restore, verify
from service.cli_backup import backup
from service.cli_backup import restore as restore_backup
from service.cli_devices import device
from service.cli_recheck import recheck
from service.cli_site import site
from service.document import DocumentError
from service.files import read_document
from service.settings import DEFAULT_DATA, DEMO_BUILDS, LOOPBACK, Settings
from service.storage.database import Newer
from service.vocabulary import describe
from service.web.problems import of_document

#: A failed check of these systems is no finding that stops: the car is unfinished, which is not the same as wrong.
UNFINISHED = frozenset({"readiness", "records", "schedule"})
_FILE = click.Path(path_type=Path)


class BadInput(click.ClickException):
    """Bad input: exit status 2."""

    exit_code = 2


class _Commands(click.Group):
    """The commands, of which any may meet records that it must not touch."""

    def invoke(self, context: click.Context) -> Any:
        """Run what was asked for."""
        try:
            return super().invoke(context)
        except Newer as error:
            raise BadInput(str(error)) from error


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="asfitted", prog_name="asfitted")
def main() -> None:
    """As Fitted: document a one-off car, check whether its parts suit each other, make its book."""


main.add_command(book)
main.add_command(packet)
main.add_command(archive)
main.add_command(verify)
main.add_command(restore)
main.add_command(backup)
main.add_command(restore_backup)
main.add_command(site)
main.add_command(recheck)


@main.command()
@click.argument("files", nargs=-1, required=True, type=_FILE, metavar="FILE…")
@click.option("--json", "as_json", is_flag=True, help="Print the whole answer as JSON.")
def check(files: tuple[Path, ...], as_json: bool) -> None:
    """Check build documents and print what was found."""
    from service.listing import print_answer, print_problem

    answers: list[dict[str, Any]] = []
    status = 0
    for path in files:
        try:
            found = answer(read_document(path))
            status = max(status, 1 if stops(found) else 0)
        except DocumentError as error:
            found, status = of_document(error), 2
        answers.append(found)
        if not as_json:
            if "status" in found:
                print_problem(path, found)
            else:
                print_answer(path, found)
    if as_json:
        click.echo(json.dumps(answers[0] if len(files) == 1 else answers, ensure_ascii=False, indent=2))
    raise SystemExit(status)


def stops(found: dict[str, Any]) -> bool:
    """Whether a check failed that stops the car (readiness, records and the schedule only say it is unfinished)."""
    return any(item["verdict"] == "fail" and item["system"] not in UNFINISHED for item in found["results"])


@main.command()
@click.option("--out", default=Path("out"), type=_FILE, show_default=True, help="Folder for the books.")
def demo(out: Path) -> None:
    """Check the demo builds, make their books, and say what was found and where the books are."""
    from service.demo import run_demo

    raise SystemExit(run_demo(DEMO_BUILDS, out))


@main.command()
@click.option("--host", help="Address to listen on.  [default: 127.0.0.1; with --lan every address]")
@click.option("--port", default=8067, show_default=True, type=click.IntRange(1, 65535))
@click.option("--data", default=DEFAULT_DATA, show_default="~/.asfitted", type=_FILE, help="Folder where records are kept.")
@click.option("--database", help="URL of a PostgreSQL database to use in place of the folder's own file.")
@click.option("--queue", help="URL of a queue (redis://…, postgresql://…) whose books `asfitted work` makes; without it they are made here.")
@click.option("--open", "is_open", is_flag=True, help="Ask for no tokens: whoever uses this machine may read and write everything.")
@click.option("--files", help="URL of an S3 bucket (s3://bucket/folder) for photographs and papers in place of the data folder.")
@click.option("--lan", is_flag=True, help="Serve the shop's network over TLS, and tell on the next port how phones come to trust it.")
@click.option("--name", help="With --lan: the name or address that phones reach this machine by.  [default: its address there]")
def serve(host: str | None, port: int, data: Path, database: str | None, queue: str | None, is_open: bool, files: str | None, lan: bool,
          name: str | None) -> None:
    """Serve the HTTP interface and keep its records, for devices that were paired."""
    from service.lan.network import LanError, Network
    from service.queues import QueueError, open_queue
    from service.server import run

    _must_be_safe(host, port, is_open, lan, name)
    try:
        if queue is not None:
            open_queue(data, queue)
    except QueueError as error:
        raise BadInput(str(error)) from error
    try:
        network = Network(data / "authority", host, port, name) if lan else None
        host = network.host if network else host or LOOPBACK[0]
        address = network.address if network else f"http://{f'[{host}]' if ':' in host else host}:{port}"
        run(Settings(data=data, database=database, queue=queue, files=files, open=is_open, address=address), host, port, network)
    except LanError as error:
        raise BadInput(str(error)) from error


def _must_be_safe(host: str | None, port: int, is_open: bool, lan: bool, name: str | None) -> None:
    """Raises BadInput where tokens could be read on the way, or where there would be none."""
    if lan and is_open:
        raise BadInput("--open asks for no tokens and so answers this machine only; it does not go with --lan")
    if lan and port == 65535:
        raise BadInput("--lan needs the next port too; choose a smaller --port")
    if name is not None and not lan:
        raise BadInput("--name is the name in the certificate of --lan")
    if host is not None and host not in LOOPBACK and not lan:
        raise BadInput(f"without TLS tokens could be read on the way: serve the shop's network with --lan, or this machine only (--host {LOOPBACK[0]})")


@main.command()
@click.option("--data", default=DEFAULT_DATA, show_default="~/.asfitted", type=_FILE, help="The data folder of the service.")
@click.option("--database", help="URL of the service's PostgreSQL database.")
@click.option("--files", help="URL of the service's S3 bucket of photographs.")
@click.option("--queue", required=True, help="URL of the service's queue: redis://… or postgresql://….")
def work(data: Path, database: str | None, files: str | None, queue: str) -> None:
    """Make the books of a service that was given a queue, and judge for `recheck --queue`. Any number of these run beside it, one thing at a time each."""
    from service.queues import QueueError
    from service.server import work as work_on

    try:
        work_on(Settings(data=data, database=database, files=files, queue=queue))
    except QueueError as error:
        raise BadInput(str(error)) from error


@main.command()
@click.argument("words", nargs=-1, metavar="[WORD…]")
@click.option("--json", "as_json", is_flag=True, help="Print all of it as JSON.")
def vocabulary(words: tuple[str, ...], as_json: bool) -> None:
    """Print what can be said about a car: all of it, or the subjects whose name, title or system has a WORD in it."""
    from service.listing import print_vocabulary

    if as_json:
        click.echo(json.dumps(describe(), ensure_ascii=False, indent=2))
        return
    print_vocabulary(_with(words, describe()["kinds"], "name", "title", "system", "also_called"))


@main.command(name="catalog")
@click.argument("words", nargs=-1, metavar="[WORD…]")
@click.option("--json", "as_json", is_flag=True, help="Print all of it as JSON.")
def print_catalog(words: tuple[str, ...], as_json: bool) -> None:
    """Print the checks with formulas and sources: all of them, or those whose id or title has a WORD in it."""
    from service.listing import print_catalog

    if as_json:
        click.echo(json.dumps(catalog(), ensure_ascii=False, indent=2))
        return
    print_catalog(_with(words, catalog()["checks"], "check", "title"))


def _with(words: tuple[str, ...], items: list[dict[str, Any]], *keys: str) -> list[dict[str, Any]]:
    """The items in which every word stands under one of the keys."""
    texts = [(item, " ".join(str(item[key]) for key in keys).casefold()) for item in items]
    found = [item for item, text in texts if all(word.casefold() in text for word in words)]
    if not found:
        raise BadInput(f"nothing is called {' '.join(words)!r}; without a word everything is listed")
    return found


main.add_command(device)

if __name__ == "__main__":
    main()
