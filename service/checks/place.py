"""Where an input of a check stands: its address with the check's own position put in."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import NamedTuple

from service.checks.registry import derivations, providers
from service.document.address import axle_of, corners_of, normal, split, written
from service.vocabulary import KINDS


class Place(NamedTuple):
    """A fact's place in the vocabulary and on the car, and the address that says so."""

    subject: str
    field: str
    position: str | None
    address: str
    key: tuple[str, str]
    worked_out: bool
    """Whether there is a way to get it where it is not recorded: the corners of an axle, a derivation, another check."""


@lru_cache(maxsize=16384)
def placed(address: str, position: str | None, driven: str) -> Place:
    """An address as a check at `position` writes it, with its tokens (@here, @axle, @left, @right, @driven) replaced."""
    subject, name, place = split(address)
    if place is not None and place != "*":
        place = normal(place) if place != "here" and _is_label(subject, name) else token(place, position, driven)
    key = (subject, name)
    return Place(subject, name, place, written(subject, name, place), key, bool(corners_of(place)) or key in derivations() or key in providers())


def token(place: str, position: str | None, driven: str) -> str | None:
    """The position that a token stands for at `position`."""
    if place == "here":
        return position
    if place == "axle":
        return axle_of(position) or position
    if place in ("left", "right"):
        return corners_of(axle_of(position) or position)[place == "right"]
    return driven if place == "driven" else normal(place)


@cache
def _is_label(subject: str, name: str) -> bool:
    """Whether a field stands at labels only, where `left` is a name that somebody gave and no token."""
    positions = KINDS[subject].positions_of(KINDS[subject].by_name[name])
    return positions.label and not positions.names
