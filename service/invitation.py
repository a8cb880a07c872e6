"""What the terminal prints so that a device can be paired."""

from __future__ import annotations

from service import qr
from service.settings import Settings, is_loopback
from service.storage import devices, pairing
from service.storage.database import Database
from service.storage.store import open_store


def invitation(database: Database, address: str, role: str, made_by: str) -> str:
    """A fresh code for one device of this role: the address to open, the code to type, and the picture to scan."""
    with database.writing() as connection:
        code = pairing.make_code(connection, role, made_by)
    link = f"{address}/pair#{code.text}"
    minutes = int(pairing.CODE_LIVES.total_seconds() // 60)
    lines = [f"To pair one device, role {role}, within {minutes} minutes:", f"  open  {link}", f"  code  {code.text}"]
    if is_loopback(address):
        return "\n".join([*lines, "  (only a browser on this machine reaches this address; for phones: asfitted serve --lan)"])
    return "\n".join([*lines, "or scan this with the phone's camera:", qr.terminal(link)])


def first_invitation(database: Database, address: str) -> str | None:
    """An invitation for the first owner; None when there is one."""
    with database.reading() as connection:
        if devices.owners(connection):
            return None
    return "No owner's device is paired yet.\n" + invitation(database, address, devices.OWNER, "the terminal")


def greeting(settings: Settings, trust: str | None = None) -> str:
    """Where the service answers, how it is trusted and, until there is an owner, how one is paired. Notes the address in the data folder."""
    assert settings.data is not None and settings.address is not None
    store = open_store(settings.data, settings.database, settings.files)
    store.note_address(settings.address)
    lines = [f"As Fitted answers on {settings.address} and keeps its records in {settings.data} (Ctrl-C stops it)"]
    if trust is not None:
        lines.append(trust)
    if settings.open:
        lines.append("It is open: whoever uses this machine may read and write everything.")
    else:
        lines.append(first_invitation(store.database, settings.address) or "Another device is paired with: asfitted device pair")
    store.database.close()
    return "\n".join(lines)
