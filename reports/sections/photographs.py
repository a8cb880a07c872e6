"""The plates: every photograph that no other section shows, in pairs by shape, each once."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from reports.photos import Picture
from reports.source import Source

TITLE = "Photographs"


@dataclass(frozen=True, slots=True)
class Plates:
    """Content of the section: rows of one or two pictures; `numbers` gives each picture its plate number."""

    rows: tuple[tuple[Picture, ...], ...]
    numbers: dict[str, int]


def build(source: Source, shown: Collection[str]) -> Plates | None:
    """The pictures whose id is not among `shown`, None when all are."""
    rest = [picture for key, picture in source.pictures.items() if key not in shown]
    if not rest:
        return None
    return Plates(rows(rest), {picture.photo.id: number for number, picture in enumerate(rest, 1)})


def rows(pictures: Sequence[Picture]) -> tuple[tuple[Picture, ...], ...]:
    """Neighbors of like shape side by side; a landscape without a partner has the row to itself."""
    found: list[tuple[Picture, ...]] = []
    waiting: Picture | None = None
    for picture in pictures:
        if waiting is None:
            waiting = picture
        elif (waiting.shape == "landscape") == (picture.shape == "landscape"):
            found.append((waiting, picture))
            waiting = None
        else:
            found.append((waiting,))
            waiting = picture
    return tuple(found) + (((waiting,),) if waiting else ())
