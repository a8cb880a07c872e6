"""Everything a section may draw on: document, answer, vocabulary and pictures, with what is looked up across them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from reports import typography
from reports.answer import Answer, Fact
from reports.document import Document, Measurement, Part
from reports.photos import Picture
from reports.vocabulary import Address, Vocabulary, place

#: Systems that have no chapter of their own unless parts are filed under them: their findings and records stand elsewhere.
BOOKKEEPING = frozenset({"fasteners", "identity", "schedule", "records", "readiness"})


@dataclass(frozen=True)
class Source:
    """The book's input, typed; `whole` for the shop's edition, which says so; `address` is that of the car's page."""

    document: Document
    answer: Answer
    vocabulary: Vocabulary
    pictures: Mapping[str, Picture] = field(default_factory=dict)
    whole: bool = False
    address: str = ""

    @property
    def units(self) -> str:
        """`us` or `metric`."""
        return "metric" if self.document.build.units == "metric" else "us"

    @cached_property
    def parts(self) -> dict[str, Part]:
        """Parts by id."""
        return {part.id: part for part in self.document.parts}

    @cached_property
    def measurements(self) -> dict[str, Measurement]:
        """Measurements by id."""
        return {measurement.id: measurement for measurement in self.document.measurements}

    @cached_property
    def facts(self) -> dict[str, Fact]:
        """As-fitted facts by address."""
        return {fact.fact: fact for fact in self.answer.facts}

    def system_of(self, part: Part) -> str:
        """The system a part is filed under."""
        return part.system or self.vocabulary.kind(part.kind).system or "body"

    def system_of_fact(self, fact: Fact) -> str:
        """The system a fact belongs to."""
        return fact.system or self.vocabulary.kind(fact.subject).system

    def part_name(self, part: Part) -> str:
        """The part's name, else its kind, with its place."""
        return part.name or self.kind_and_place(part)

    def kind_and_place(self, part: Part) -> str:
        """`anti-roll bar, front`; empty for parts of kind `other`."""
        if part.kind == "other":
            return place(part.position)
        title = self.vocabulary.kind(part.kind).title
        return f"{title}, {place(part.position)}" if part.position else title

    def systems_present(self) -> list[str]:
        """The systems that anything in the book belongs to, in the vocabulary's order, unknown ones last."""
        document = self.document
        present = {self.system_of(part) for part in document.parts}
        present |= {record.system for records in (document.fixes, document.fasteners, document.tasks) for record in records if record.system}
        present |= {self.system_of_fact(fact) for fact in self.answer.facts}
        present |= {result.system for result in self.answer.results}
        present |= {self.vocabulary.kind(Address.of(m.fact).subject).system for m in document.measurements}
        known = [system for system in self.vocabulary.systems if system in present]
        return known + sorted(present - set(known) - {""})

    def result_title(self, address: str) -> str:
        """The title of the check an address names, with its place, else the address in words."""
        check, _, position = address.partition("@")
        return self.title_at(check, [position])

    def title_at(self, check: str, positions: Sequence[str]) -> str:
        """The title of a check with its places; the system is named where two checks share a title."""
        result = next((one for one in self.answer.results if one.check == check), None)
        title = result.title if result else typography.sentence(check.rpartition(".")[2].replace("_", " "))
        if any(one.title == title and one.check != check for one in self.answer.results):
            title = f"{title}: {self.vocabulary.system_title(check.partition('.')[0]).lower()}"
        where = ", ".join(place(position) for position in positions if position)
        if not where:
            return title
        return f"{title} {typography.sentence(where)}" if title.endswith("?") else f"{title}, {where}"


def texts(*values: Any) -> list[str]:
    """The values that hold something, as text."""
    return [str(value) for value in values if value not in (None, "", [], ())]
