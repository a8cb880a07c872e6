"""Stands in for the process that makes a book: what it does is written in the build's notes."""

from __future__ import annotations

import json
import os
import signal
import sys
import threading
import time
from pathlib import Path


def say(**line: object) -> None:
    print(json.dumps(line), flush=True)


def main() -> None:
    order = json.loads(sys.stdin.buffer.readline())
    threading.Thread(target=lambda: (os.read(0, 1), os._exit(1)), daemon=True).start()
    notes = order["document"]["build"].get("notes") or ""
    say(fraction=0.25, step="half a page")
    if "log" in notes:
        with Path(notes.split("log ")[1]).open("a") as log:
            log.write(f"{order['paper']} begins\n")
            time.sleep(0.3)
            log.write(f"{order['paper']} ends\n")
    if "slow" in notes:
        time.sleep(60)
    if "killed" in notes:
        os.kill(os.getpid(), signal.SIGKILL)
    if "leaves" in notes:
        sys.exit(7)
    if "cannot" in notes:
        say(failed="a photograph is not there")
        return
    out = Path(order["out"])
    (out / "site" / "fonts").mkdir(parents=True)
    (out / "book.pdf").write_bytes(b"%PDF-1.7 " + order["paper"].encode() * 200)
    (out / "packet.zip").write_bytes(b"PK everything")
    (out / "site" / "history.txt").write_text(order["history"], encoding="utf-8")
    (out / "site" / "index.html").write_text("<h1>Tröge</h1>" + "<p>word</p>" * 300, encoding="utf-8")
    for name in ("search.js", "style.css", "fonts/a.woff2", "cut.svg"):
        (out / "site" / name).write_text(name)
    (out.parent.parent / "secret.txt").write_text("no page of a book")
    say(done={"pages": 3})


if __name__ == "__main__":
    main()
