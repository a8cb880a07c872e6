"""What the words of the facts mean: titles of systems, kinds and fields, read from the vocabulary's JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from reports import typography
from reports.terms import TERMS


@dataclass(frozen=True, slots=True)
class Address:
    """A fact's address `subject.field@position`."""

    subject: str
    field: str
    position: str = ""

    @classmethod
    def of(cls, fact: str) -> Address:
        """Split an address; a bare word (a name that is no fact) becomes a subject without field."""
        head, _, position = fact.partition("@")
        subject, _, field = head.partition(".")
        return cls(subject, field, position)


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of part or an area of the car."""

    name: str
    title: str
    system: str
    area: bool
    fields: Mapping[str, str]
    stated: Mapping[str, str] = field(default_factory=dict)


class Vocabulary:
    """Titles by name; a name the vocabulary does not know is printed in plain words."""

    def __init__(self, vocabulary: Mapping[str, Any]):
        self.systems: dict[str, str] = dict(vocabulary.get("systems") or {})
        self.kinds = {kind["name"]: _kind(kind) for kind in vocabulary.get("kinds") or ()}

    def kind(self, name: str) -> Kind:
        """The kind of that name, made up in plain words when unknown."""
        return self.kinds.get(name) or Kind(name, name.replace("_", " "), "", False, {})

    def system_title(self, name: str) -> str:
        """`Wheels and tires` for `wheels`."""
        return self.systems.get(name) or typography.sentence(name.replace("_", " "))

    def field_title(self, fact: str) -> str:
        """The title of the field alone: `diameter`."""
        address = Address.of(fact)
        return self.kind(address.subject).fields.get(address.field) or address.field.replace("_", " ")

    def stated_title(self, fact: str) -> str:
        """The field's title as the checks' sentences say it."""
        address = Address.of(fact)
        return self.kind(address.subject).stated.get(address.field) or self.field_title(fact)

    def fact_title(self, fact: str) -> str:
        """The whole address in words: `anti-roll bar: diameter, front`."""
        address = Address.of(fact)
        if not address.field:
            return typography.words(fact)
        if address.subject == "companion":
            return place(address.position)
        kind, title = self.kind(address.subject).title, self.field_title(fact)
        if not title.lower().startswith(kind.lower()):
            title = f"{kind}: {title}"
        return f"{title}, {place(address.position)}" if address.position else title


def place(position: str) -> str:
    """A position in words: `front_left` as `front left`, labels as typed."""
    return typography.words(position).replace(":", ", ")


def _kind(kind: Mapping[str, Any]) -> Kind:
    stated = {one["name"]: short(one.get("title") or one["name"].replace("_", " ")) for one in kind.get("fields") or ()}
    titles = {name: TERMS.get(f"{kind['name']}.{name}", title) for name, title in stated.items()}
    title = _lowered(kind.get("title") or kind["name"].replace("_", " "))
    return Kind(kind["name"], title, kind.get("system") or "", bool(kind.get("area")), titles, stated)


def short(title: str) -> str:
    """A title without its explanation: `piston below deck at top center` of `...: positive below, negative proud`."""
    ends = [title.find(mark) for mark in (": ", "; ", " (", ", absent") if title.find(mark) >= 4]
    return title[:min(ends)] if ends else title


def _lowered(title: str) -> str:
    """A title for the middle of a sentence; abbreviations keep their capitals."""
    return title if title[1:2].isupper() or not title[1:2].isalpha() else title[:1].lower() + title[1:]
