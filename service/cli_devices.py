"""`asfitted device`: pair, list, revoke. Whoever may read and write the data folder is trusted as an owner."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from service.invitation import invitation
from service.settings import DEFAULT_DATA
from service.storage import devices
from service.storage.store import Store, open_store
from service.web.devices import device_body

_FILE = click.Path(path_type=Path)
_BY = "the command line"
_DEFAULT_ADDRESS = "http://127.0.0.1:8067"


def where(command: Any) -> Any:
    """The options that say where records are kept."""
    command = click.option("--database", help="URL of a PostgreSQL database to use in place of the folder's own file.")(command)
    return click.option("--data", default=DEFAULT_DATA, show_default="~/.asfitted", type=_FILE, help="Folder where records are kept.")(command)


@contextmanager
def _store(data: Path, database: str | None) -> Iterator[Store]:
    store = open_store(data, database)
    try:
        yield store
    finally:
        store.database.close()


@click.group()
def device() -> None:
    """Pair, list and revoke phones, desks and programs."""


@device.command()
@where
@click.option("--role", type=click.Choice([devices.OWNER, devices.BUILDER]), help="What it may do (default: builder; owner for the first).")
@click.option("--address", help="Where the device reaches the service (default: where it was last started).")
def pair(data: Path, database: str | None, role: str | None, address: str | None) -> None:
    """Print a code, an address and a picture by which one device is paired."""
    with _store(data, database) as store:
        with store.database.reading() as connection:
            role = role or (devices.BUILDER if devices.owners(connection) else devices.OWNER)
        click.echo(invitation(store.database, (address or store.address() or _DEFAULT_ADDRESS).rstrip("/"), role, _BY))


@device.command(name="list")
@where
@click.option("--json", "as_json", is_flag=True, help="Print the list as JSON.")
def list_devices(data: Path, database: str | None, as_json: bool) -> None:
    """Print the devices, and the links by which customers read."""
    with _store(data, database) as store, store.database.reading() as connection:
        found = [device_body(row) for shares in (False, True) for row in devices.listed(connection, shares=shares)]
    if as_json:
        click.echo(json.dumps(found, ensure_ascii=False, indent=2))
        return
    for item in found:
        click.echo(f"{item['id']}  {item['role']:8}{item['name']} ({item['by']}), {_state(item)}")
    if not found:
        click.echo("No device is paired. asfitted device pair prints a code.")


def _state(item: dict[str, Any]) -> str:
    if item["revoked_at"]:
        return f"revoked {item['revoked_at'][:10]}"
    until = f", until {item['expires_at'][:10]}" if "expires_at" in item else ""
    return (f"last seen {item['last_seen'][:13].replace('T', ' ')}h UTC" if item["last_seen"] else "not seen yet") + until


@device.command()
@click.argument("which", metavar="NAME|ID")
@where
def revoke(which: str, data: Path, database: str | None) -> None:
    """Refuse a device from now on. What it wrote stays."""
    with _store(data, database) as store, store.database.writing() as connection:
        rows = [row for shares in (False, True) for row in devices.listed(connection, shares=shares) if which in (row.id, row.name)]
        if not rows:
            raise NoDevice(f"there is no device {which!r}; asfitted device list prints them")
        devices.revoke(connection, rows[0].id, _BY)
    click.echo(f"{rows[0].name} is revoked; a running service refuses it within a second.")


class NoDevice(click.ClickException):
    """Bad input: exit status 2."""

    exit_code = 2
