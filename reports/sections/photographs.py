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
    paired = rows(rest)
    return Plates(paired, {picture.photo.id: number for number, picture in enumerate((picture for row in paired for picture in row), 1)})


def rows(pictures: Sequence[Picture]) -> tuple[tuple[Picture, ...], ...]:
    """Two of like shape side by side, as soon as there are two; a panorama stands alone, and at the end what finds no partner."""
    found: list[tuple[Picture, ...]] = []
    waiting: dict[bool, Picture] = {}
    for picture in pictures:
        if picture.panorama:
            found.append((picture,))
            continue
        wide = picture.shape == "landscape"
        if wide in waiting:
            found.append((waiting.pop(wide), picture))
        else:
            waiting[wide] = picture
    return tuple(found) + tuple((picture,) for picture in waiting.values())
