"""The program that `apart` starts: opens one file, within bounds, and tells what it made of it."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Mapping
from typing import Any

from service.pictures import copies, guarded, sizes
from service.pictures.apart import SECONDS
from service.pictures.kinds import PDF, BadPicture

#: Several times what the largest picture taken in needs.
_MEMORY = 2 * 1024**3


def main(work: str, kind: str) -> None:
    """Do `work` ("sizes" or "copy") on the file of standard input."""
    _bound()
    stream = io.BytesIO(sys.stdin.buffer.read())
    told: dict[str, Any]
    try:
        told, made = guarded(lambda: _done(work, stream, kind))
        told = {**told, "lengths": {name: len(content) for name, content in made.items()}}
    except BadPicture as error:
        told, made = {"bad": str(error)}, {}
    sys.stdout.buffer.write(json.dumps(told).encode() + b"\n" + b"".join(made.values()))


def _done(work: str, stream: io.BytesIO, kind: str) -> tuple[dict[str, Any], Mapping[str, bytes]]:
    if kind == PDF:
        # Only papers need what this loads.
        from service.pictures import papers

        if work == "copy":
            return {"kind": kind}, {"copy": papers.bare(stream.getvalue())}
        found = papers.first_page(stream.getvalue())
    elif work == "copy":
        copy, made = copies.copied(stream, kind)
        return {"kind": made}, {"copy": copy}
    else:
        found = sizes.sized(stream, kind)
    return {"width": found.width, "height": found.height, "taken_at": found.taken_at}, found.sizes


def _bound() -> None:
    """Bounds on memory and time, where the system has them."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))


if __name__ == "__main__":
    main(*sys.argv[1:])
