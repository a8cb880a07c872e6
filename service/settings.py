"""Settings of the service and the command line."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Settings:
    """What can be set when the service starts.

    `largest_request` in bytes bounds a posted document; `photos` is the folder that photo records' files are relative to;
    `data` is the folder where records are kept (None: nothing is kept, every call is answered from what it was sent);
    `database` is the URL of a PostgreSQL database in place of the folder's own file.
    """

    largest_request: int = 16 * 1024 * 1024
    photos: Path | None = None
    data: Path | None = None
    database: str | None = None


#: The folder of this checkout: templates, fixtures and fonts stand beside the code.
ROOT = Path(__file__).resolve().parents[1]
DEMO_BUILDS = ROOT / "fixtures" / "builds"
