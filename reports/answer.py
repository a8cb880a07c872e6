"""Typed views of the answer: results with their values and limits, as-fitted facts, what is ready and what is not."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from dataclasses import field as dataclass_field
from typing import Any

from reports import typography, units
from reports.document import view
from reports.vocabulary import Address

#: Verdicts in the order a reader should meet them, with the word printed.
VERDICTS = {"fail": "fail", "caution": "caution", "unknown": "unknown", "pass": "pass"}
_LIMIT_WORDS = {"at_most": "at most", "at_least": "at least", "between": "between", "must": "must be"}
_INCH_FRACTION = re.compile(r"\d/\d+ ?(in|\"|inch|inches)\Z|[¼½¾⅛⅜⅝⅞] ?(in|\")\Z")
_BASIS_WORDS = {"published": "Published", "derived": "Derived", "common_practice": "Common practice",
                "from_memory": "From memory, not yet compared with its source"}


@dataclass(frozen=True, slots=True)
class Value:
    """One computed value of a result."""

    name: str
    title: str
    printed: str
    si: Any = None
    low: float | None = None
    high: float | None = None
    unit: str = ""

    @property
    def both(self) -> str:
        """As printed, with the other system's figure in parentheses."""
        return units.with_twin(self.printed, self.si, self.unit)


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit of a result; `si` is a number, a pair, or None for a rule without a number."""

    of: str = ""
    kind: str = ""
    verdict: str = ""
    value: Any = None
    unit: str = ""
    si: Any = None
    why: str = ""
    printed: str = ""
    violated: bool = True

    @property
    def numbers(self) -> tuple[float, ...]:
        """The SI numbers of this limit, none when it is a rule."""
        ends = self.si if isinstance(self.si, (list, tuple)) else (self.si,)
        return tuple(float(end) for end in ends if isinstance(end, (int, float)) and not isinstance(end, bool))

    @property
    def words(self) -> str:
        """`at most 3,848 rpm`, `between 3.2 and 4.8 mm`."""
        lead = _LIMIT_WORDS.get(self.kind, self.kind.replace("_", " "))
        if self.unit == "in" and self.numbers:
            return f"{lead} {units.with_twin('', self.numbers[0], 'in')}" if len(self.numbers) == 1 else (
                f"{lead} {units.inches(self.numbers[0] / units.INCH)} and {units.with_twin('', self.numbers[1], 'in')}")
        if self.printed:
            return self.printed if self.printed.startswith(lead) else f"{lead} {self.printed}"
        if self.value is None:
            return ""
        ends = self.value if isinstance(self.value, (list, tuple)) else (self.value,)
        return f"{lead} {' and '.join(_end(end) for end in ends)} {'' if self.unit == '1' else self.unit}".strip()


def _end(value: Any) -> str:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return typography.number(value)
    return typography.typed(value)


@dataclass(frozen=True, slots=True)
class Input:
    """A fact a check used, with where it came from."""

    fact: str = ""
    value: Any = ""
    printed: str = ""
    si: Any = None
    source: Mapping[str, Any] = dataclass_field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Result:
    """One check's finding at one position."""

    check: str
    title: str
    verdict: str
    system: str = ""
    position: str = ""
    safety: bool = False
    summary: str = ""
    values: tuple[Value, ...] = ()
    limits: tuple[Limit, ...] = ()
    inputs: tuple[Input, ...] = ()
    assumed: tuple[dict[str, Any], ...] = ()
    missing: tuple[str, ...] = ()
    cap: Mapping[str, Any] | None = None
    formula: str = ""
    table: Mapping[str, Any] | None = None
    series: Any = None
    remedies: tuple[dict[str, Any], ...] = ()
    basis: tuple[dict[str, Any], ...] = ()
    margin: float | None = None

    @property
    def address(self) -> str:
        """`driveline.critical_speed@rear`, as sign-offs name a finding."""
        return f"{self.check}@{self.position}" if self.position else self.check

    @property
    def anchor(self) -> str:
        """The result's anchor in page and book."""
        return f"check-{typography.slug(self.address)}"

    def value(self, name: str) -> Value | None:
        """The value of that name, if this result has it."""
        return next((value for value in self.values if value.name == name), None)

    @property
    def sources(self) -> tuple[tuple[str, str], ...]:
        """Basis entries as (kind in words, text)."""
        return tuple((_BASIS_WORDS.get(entry.get("kind", ""), typography.words(entry.get("kind", ""))),
                      typography.clean(entry.get("text"))) for entry in self.basis)


@dataclass(frozen=True, slots=True)
class Fact:
    """An as-fitted fact: its value in the shop's units and in the other system, and the record it came from."""

    fact: str
    title: str = ""
    system: str = ""
    subject: str = ""
    field: str = ""
    position: str = ""
    printed: str = ""
    also: str = ""
    typed: Any = ""
    source: Mapping[str, Any] = dataclass_field(default_factory=dict)
    status: str = ""
    unusual: bool = False

    @property
    def _typed_fraction(self) -> str:
        """What was typed, its tolerance left off, when it is a fraction in the shop's unit; else empty."""
        typed = typography.typed(self.typed).partition("±")[0].partition("+/-")[0].strip()
        return typed if _INCH_FRACTION.search(typed) and self.printed.endswith(" in") else ""

    @property
    def text(self) -> str:
        """The value as the book prints it: `1 1/4 in (31.8 mm)`."""
        value = self._typed_fraction or typography.words(self.printed) or typography.typed(self.typed)
        return f"{value} ({self.also})" if self.also and self.also != self.printed else value


@dataclass(frozen=True, slots=True)
class Point:
    """A reading of a fact on a day; `visit` is the entry of the earlier visit, empty for this build."""

    at: str = ""
    value: float = 0.0
    si: float = 0.0
    printed: str = ""
    also: str = ""
    visit: str = ""


@dataclass(frozen=True, slots=True)
class Course:
    """A fact that was read on several days, in order of time."""

    fact: str = ""
    title: str = ""
    system: str = ""
    subject: str = ""
    field: str = ""
    position: str = ""
    unit: str = ""
    points: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """The whole answer."""

    results: tuple[Result, ...] = ()
    facts: tuple[Fact, ...] = ()
    over_time: tuple[Course, ...] = ()
    counts: Mapping[str, int] = dataclass_field(default_factory=dict)
    measure_next: tuple[dict[str, Any], ...] = ()
    for_road: bool = False
    because: tuple[str, ...] = ()

    @classmethod
    def of(cls, answer: Mapping[str, Any]) -> Answer:
        """The typed view of an answer (contract: `as-fitted/answer/1`); counts are taken from the results themselves."""
        results = tuple(_result(entry) for entry in answer.get("results") or ())
        ready = answer.get("ready") or {}
        return cls(results, tuple(_fact(entry) for entry in answer.get("facts") or ()), tuple(_course(entry) for entry in answer.get("over_time") or ()),
                   {verdict: sum(r.verdict == verdict for r in results) for verdict in VERDICTS},
                   tuple(answer.get("measure_next") or ()), bool(ready.get("for_road")),
                   tuple(typography.clean(reason) for reason in ready.get("because") or ()))

    def find(self, address: str) -> Result | None:
        """The result `check` or `check@position`."""
        return next((result for result in self.results if result.address == address), None)

    def of_systems(self, systems: Iterable[str]) -> tuple[Result, ...]:
        """The results of those systems, in the answer's order."""
        wanted = set(systems)
        return tuple(result for result in self.results if result.system in wanted)


def _result(entry: Mapping[str, Any]) -> Result:
    plain = {key: value for key, value in entry.items() if key not in ("values", "limits", "inputs")}
    base = view(Result, plain)
    values = tuple(Value(name, value.get("title") or name.replace("_", " "), _printed(value), value.get("si"),
                         value.get("low"), value.get("high"), value.get("unit") or "")
                   for name, value in (entry.get("values") or {}).items())
    return replace(base, values=values, limits=tuple(view(Limit, one) for one in entry.get("limits") or ()),
                   inputs=tuple(view(Input, {**one, "source": one.get("from")}) for one in entry.get("inputs") or ()),
                   system=base.system or base.check.partition(".")[0])


def _printed(value: Mapping[str, Any]) -> str:
    if value.get("printed"):
        return typography.clean(value["printed"])
    unit = "" if value.get("unit") in (None, "1") else f" {value['unit']}"
    return f"{_end(value.get('value'))}{unit}"


def _course(entry: Mapping[str, Any]) -> Course:
    return replace(view(Course, entry), points=tuple(view(Point, point) for point in entry.get("points") or ()))


def _fact(entry: Mapping[str, Any]) -> Fact:
    address = Address.of(entry.get("fact") or "")
    fields = {"subject": address.subject, "field": address.field, "position": address.position, **entry}
    return view(Fact, {**fields, "source": entry.get("from") or {}})
