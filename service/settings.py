"""Settings of the service and the command line."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit


@dataclass(frozen=True, slots=True)
class Settings:
    """What can be set when the service starts.

    `largest_request` in bytes bounds a posted document; `photos` is the folder that photo records' files are relative to;
    `data` is the folder where records are kept (None: nothing is kept, every call is answered from what it was sent);
    `database` is the URL of a PostgreSQL database in place of the folder's own file; `files` is the URL of an S3 bucket
    (`s3://bucket/prefix`) for photographs and papers in place of the folder; `queue` is the URL of the queue of books in place
    of the folder's own, whose books other processes make;
    `open`: no tokens are asked for, and only this machine is answered;
    `address` is the URL that other machines reach the service by, for links that are handed out.
    """

    largest_request: int = 16 * 1024 * 1024
    photos: Path | None = None
    data: Path | None = None
    database: str | None = None
    files: str | None = None
    queue: str | None = None
    open: bool = False
    address: str | None = None

    def to_environment(self) -> dict[str, str]:
        """The settings as environment variables, for the processes that the server starts; empty where nothing is set."""
        given = {"ASFITTED_DATA": self.data, "ASFITTED_DATABASE": self.database, "ASFITTED_FILES": self.files, "ASFITTED_QUEUE": self.queue,
                 "ASFITTED_OPEN": "yes" if self.open else None, "ASFITTED_ADDRESS": self.address}
        return {name: "" if value is None else str(value) for name, value in given.items()}

    @classmethod
    def from_environment(cls, environment: Mapping[str, str]) -> Settings:
        """The settings that `to_environment` gave."""
        data = environment.get("ASFITTED_DATA")
        return cls(data=Path(data) if data else None, database=environment.get("ASFITTED_DATABASE") or None,
                   files=environment.get("ASFITTED_FILES") or None, queue=environment.get("ASFITTED_QUEUE") or None,
                   open=environment.get("ASFITTED_OPEN") == "yes", address=environment.get("ASFITTED_ADDRESS") or None)


#: The folder of this checkout: templates, fixtures and fonts stand beside the code.
ROOT = Path(__file__).resolve().parents[1]
#: Where records are kept when nothing else is said.
DEFAULT_DATA = Path.home() / ".asfitted"
#: Addresses that only this machine reaches.
LOOPBACK = ("127.0.0.1", "::1", "localhost")


def is_loopback(address: str) -> bool:
    """Whether the host of a URL is this machine and no other.

    >>> is_loopback("http://[::1]:8067/pair"), is_loopback("https://192.168.1.7:8067")
    (True, False)
    """
    return urlsplit(address).hostname in LOOPBACK


#: The book's themes, the one that is used when none is asked for first.
THEMES = ("notebook", *sorted(file.parent.name for file in (ROOT / "templates" / "book").glob("*/theme.json") if file.parent.name != "notebook"))
#: The file in the data folder that names the shop in every book: name, lines of address, logo beside it, colors.
SHOP_FILE = "shop.json"
DEMO_BUILDS = ROOT / "fixtures" / "builds"


def shop_of(data: Path) -> str | None:
    """The path of the shop's file in a data folder, None when it has none."""
    file = data / SHOP_FILE
    return str(file) if file.is_file() else None


def shop_files(data: Path) -> list[Path]:
    """The shop's file in a data folder and the logo that it names; nothing when it has none."""
    file = data / SHOP_FILE
    if not file.is_file():
        return []
    # One that is broken, or names no logo, is told of when the book is made.
    with contextlib.suppress(ValueError, TypeError, KeyError):
        logo = data / json.loads(file.read_bytes())["logo"]
        if logo.is_file():
            return [file, logo]
    return [file]


def shop_digest(data: Path) -> str:
    """The same as long as the shop's file in a data folder and the logo that it names are; empty when there is none."""
    found = hashlib.sha256()
    for file in (there := shop_files(data)):
        found.update(file.read_bytes())
    return found.hexdigest() if there else ""


def kept_folder() -> Path:
    """Where pictures and pages of books are kept from one making to the next: `asfitted` in the user's folder of caches. It may be removed."""
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "asfitted"
