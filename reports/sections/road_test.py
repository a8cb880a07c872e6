"""Road test: every drive with what was seen, heard and felt."""

from __future__ import annotations

from reports.document import Drive
from reports.source import Source

TITLE = "Road test"


def build(source: Source) -> tuple[Drive, ...] | None:
    """The drives in order of their time, None when the car has not been driven."""
    return tuple(sorted(source.document.drives, key=lambda drive: drive.at)) or None
