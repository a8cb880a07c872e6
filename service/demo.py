"""The demo: check the demo builds, make their books, print what was found and where the books are."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import click

from service.checks.answer import answer
from service.document import DocumentError
from service.files import photo_folder, read_document
from service.jobs import BookError, make_book

_WORKERS = 2


def run_demo(builds: Path, out: Path) -> int:
    """Returns the exit status: 0 when every book was made, 2 when a demo build cannot be read or made."""
    files = sorted(builds.glob("*.json"))
    try:
        documents = {path: read_document(path) for path in files}
        answers = {path: answer(document) for path, document in documents.items()}
        # What was found is there in seconds, the books take longer.
        click.echo(_table(answers) + "\n")
        made = _books(documents, answers, out)
    except (DocumentError, BookError) as error:
        click.echo(f"The demo stopped: {error}", err=True)
        return 2
    click.echo("\nBooks:")
    for path in files:
        click.echo(f"  {_title(path, documents[path])}\n    {made[path]['pdf']}  ({made[path]['pages']} pages)\n    {made[path]['site']}")
    return 0


def _books(documents: dict[Path, dict[str, Any]], answers: dict[Path, dict[str, Any]], out: Path) -> dict[Path, dict[str, Any]]:
    made = {}
    # Spawned, not forked: a forked pool hangs after some imaging libraries have run.
    with (
        ProcessPoolExecutor(_WORKERS, mp_context=get_context("spawn")) as pool,
        click.progressbar(length=len(documents), label="Making books", show_pos=True) as bar,
    ):
        # The largest first: started last, it would keep one core waiting for the other.
        largest_first = sorted(documents, key=lambda path: path.stat().st_size, reverse=True)
        waiting = {pool.submit(_book, path, documents[path], answers[path], out / path.stem): path for path in largest_first}
        for done in as_completed(waiting):
            made[waiting[done]] = done.result()
            bar.update(1)
    return made


def _book(path: Path, document: dict[str, Any], found: dict[str, Any], out: Path) -> dict[str, Any]:
    return make_book(document, photo_folder(path), out, found=found)


def _title(path: Path, document: dict[str, Any]) -> str:
    car = document["car"]
    return f"{car['year']} {car['make']} {car['model']} ({path.stem})"


def _table(answers: dict[Path, dict[str, Any]]) -> str:
    rows: list[tuple[str, ...]] = [("build", "fail", "caution", "unknown", "pass", "for the road")]
    for path, found in answers.items():
        counts = found["counts"]
        rows.append((path.stem, *(str(counts[key]) for key in ("fail", "caution", "unknown", "pass")), "ready" if found["ready"]["for_road"] else "not yet"))
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return "\n".join(
        "  ".join(cell.ljust(width) if index == 0 else cell.rjust(width) for index, (cell, width) in enumerate(zip(row, widths, strict=True))) for row in rows
    )
