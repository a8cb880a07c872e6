"""The process that makes one book: an order on its standard input, one JSON object a line on its standard output.

It is a process of its own so that making a book neither slows nor endangers what serves, gives its memory back, and can be
ended. It ends by itself when its standard input does, that is when whoever ordered is gone.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import traceback
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from service.document import DocumentError, load
from service.jobs import BookError, make_book
from service.storage.disk import sync_folder

#: Lower than anything that somebody waits for.
_NICE = 10
#: What is being made up to which share of the work (measured on the demo books).
_STEPS = ((0.3, "photographs"), (0.42, "site"), (0.95, "printed pages"), (0.99, "packet"), (1.0, "saving"))
Say = Callable[[Mapping[str, Any]], None]


def main() -> None:
    """Read an order, make its book, say how it went."""
    if hasattr(os, "nice"):
        os.nice(_NICE)
    say = _speaker()
    order = json.loads(sys.stdin.buffer.readline())
    threading.Thread(target=_end_with_orderer, daemon=True).start()
    try:
        say({"done": _make(order, say)})
    except (BookError, DocumentError) as error:
        say({"failed": str(error)})
    except OSError as error:
        say({"failed": f"the book could not be written: {error.strerror or type(error).__name__}"})
    except Exception as error:  # noqa: BLE001 - whatever went wrong, whoever asked for the book is told
        say({"failed": f"a mistake in the program stopped the book ({type(error).__name__} at {_place(error)})"})


def _speaker() -> Say:
    """What is printed by others goes to the errors: only what is said here is on standard output."""
    own = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)
    lock = threading.Lock()

    def say(line: Mapping[str, Any]) -> None:
        with lock:
            own.write(json.dumps(line) + "\n")
            own.flush()

    return say


def _end_with_orderer() -> None:
    # Not through `sys.stdin`, which could not be closed at the end while this waits for it.
    while os.read(0, 4096):
        pass
    os._exit(1)


def _make(order: Mapping[str, Any], say: Say) -> dict[str, Any]:
    say({"fraction": 0.0, "step": "checks"})
    document = load(order["document"])

    def progress(share: float) -> None:
        say({"fraction": share, "step": next(step for end, step in _STEPS if share <= end)})

    out = Path(order["out"])
    made = make_book(document, Path(order["photos"]), out, paper=order["paper"], theme=order["theme"], edition=order["edition"], packet=True,
                     history=order.get("history", ""),
                     shop=Path(order["shop"]) if order.get("shop") else None, kept=Path(order["kept"]) if order.get("kept") else None, progress=progress)
    sync_folder(out)
    return {"pages": made["pages"]}


def _place(error: BaseException) -> str:
    """Where an error arose: the file and line, not what it was about."""
    frames = traceback.extract_tb(error.__traceback__)
    return f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else "the start"


if __name__ == "__main__":
    main()
