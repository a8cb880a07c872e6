"""Decoders of everything but JPEG in a process of their own: what a hostile file does to them, and the memory they take, ends with it.

The program (`__main__`) reads a file from its standard input and answers with a line of JSON, then the bytes that it tells of.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import IO, Any

from service.pictures.kinds import BadPicture

#: A paper or photograph that takes longer than this to open is refused.
SECONDS = 60
#: What it is told of the service's surroundings: nothing that opens a database or a bucket.
_TOLD = ("PATH", "LD_LIBRARY_PATH", "SYSTEMROOT", "TMPDIR", "TEMP", "LANG")
_ROOT = Path(__file__).resolve().parents[2]
#: Photographs are nearly all of this kind, whose decoder is quick and sparing.
IN_SERVER = frozenset({"image/jpeg"})


def run(work: str, stream: IO[bytes], kind: str) -> tuple[dict[str, Any], dict[str, bytes]]:
    """What `work` ("sizes" or "copy") tells of a file, and the bytes that it made, by name. Raises BadPicture."""
    stream.seek(0)
    where = {**{name: os.environ[name] for name in _TOLD if name in os.environ},
             "PYTHONPATH": os.pathsep.join(filter(None, (str(_ROOT), os.environ.get("PYTHONPATH"))))}
    try:
        done = subprocess.run([sys.executable, "-m", "service.pictures", work, kind], input=stream.read(),  # noqa: S603 - our own program
                              capture_output=True, timeout=SECONDS, env=where, check=False)
    except subprocess.TimeoutExpired as error:
        raise BadPicture(f"the file takes longer than {SECONDS} seconds to open; save it again, simpler, and send that") from error
    line, _, rest = done.stdout.partition(b"\n")
    if done.returncode != 0 or not line:
        raise BadPicture("the file breaks the program that opens it; save it again and send that")
    told = json.loads(line)
    if "bad" in told:
        raise BadPicture(told["bad"])
    made, at = {}, 0
    for name, length in told.pop("lengths").items():
        made[name], at = rest[at:at + length], at + length
    return told, made
