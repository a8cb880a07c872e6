"""What there is to judge: the builds of a store, of bags, and documents as files."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from service.archive.bagit import BadBag
from service.archive.containers import opened
from service.archive.verifying import bags
from service.checks.verdicts import Verdicts, verdicts
from service.storage import documents, things
from service.storage.store import Store


class Item(NamedTuple):
    """One build. `place` is where it is kept: empty for the store, else the path of a bag or a document; `name` its id in the
    store, the document's name in a bag, empty for a file. `state` is another when it may have changed."""

    place: str
    name: str
    state: str


class Given(NamedTuple):
    """A build's document as typed, and the verdicts of the answer that stands beside it, if one does."""

    document: dict[str, Any]
    verdicts: Verdicts | None


def of_store(store: Store) -> Iterator[Item]:
    """Every build that is kept; a build's state is the last event of its car."""
    with store.database.reading() as connection:
        for build, event in things.every_build(connection):
            yield Item("", build, str(event))


def of_place(place: Path) -> Iterator[Item]:
    """The builds of a bag, a document, or a folder of many. What cannot be read is an item too: judging it says why."""
    for path in _places(place):
        state = _state(path)
        if path.suffix == ".json":
            yield Item(str(path.resolve()), "", state)
            continue
        try:
            with opened(path) as container:
                inside = sorted(name for name in container.sizes if name.startswith("data/builds/") and name.endswith("/document.json"))
                if not inside and (path == place or "bagit.txt" in container.sizes):
                    inside = [""]
        except BadBag:
            inside = [""]
        for name in inside:
            yield Item(str(path.resolve()), name, state)


def _places(place: Path) -> list[Path]:
    if not place.is_dir() or (place / "bagit.txt").exists():
        return [place]
    documents_ = [path for path in place.glob("*.json") if not path.name.startswith(".") and path.name != "answer.json"]
    return sorted({*documents_, *(path for path in bags(place) if path != place)}) or [place]


def _state(path: Path) -> str:
    """Size and time of the file, or of the bag's manifest, which names all that is in it."""
    try:
        stat = (path / "manifest-sha256.txt" if path.is_dir() else path).stat()
    except OSError:
        return ""
    return f"{stat.st_size} {stat.st_mtime_ns}"


def read(item: Item, store: Store | None) -> Given:
    """A build's document and the answer beside it. Raises BadBag, OSError, ValueError."""
    if not item.place:
        assert store is not None
        with store.database.reading() as connection:
            exported = documents.export(connection, item.name)
        if exported is None:
            raise BadBag(f"there is no build {item.name} any more")
        return Given(exported, None)
    if not item.name and item.place.endswith(".json"):
        beside = Path(item.place).with_name("answer.json")
        return Given(_object(Path(item.place).read_bytes()), _verdicts(beside.read_bytes()) if beside.is_file() else None)
    with opened(Path(item.place)) as container:
        answer = item.name.removesuffix("document.json") + "answer.json"
        document = _object(container.text(item.name or "data/builds"))
        return Given(document, _verdicts(container.text(answer)) if answer in container.sizes else None)


def _object(text: str | bytes) -> dict[str, Any]:
    found = json.loads(text)
    if not isinstance(found, dict):
        raise ValueError("it holds no build document, which is a JSON object")
    return found


def _verdicts(text: str | bytes) -> Verdicts:
    try:
        return verdicts(_object(text)["results"])
    except (KeyError, TypeError) as error:
        raise ValueError("the answer beside the document is none: it has no results with check, position, verdict and safety") from error
