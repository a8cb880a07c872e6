"""Printing for sentences: every input and value of a result by name, in the units the shop reads."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from service.checks.core import Shown
from service.checks.outcome import Limit, Outcome
from service.checks.plan import Plan, field_at
from service.document.address import split
from service.quantities import System, preferred, read, respelled, show, show_fraction
from service.vocabulary import KINDS

_POWER = re.compile(r"(?<=[a-z])[23](?![\w.])")
_RAISED = {"2": "²", "3": "³"}


class Speaker:
    """What a check's `say` is given.

    `s.name` is an input or value printed (`s.gap`), an empty string when there is none; `s.x` the inputs in SI,
    `s.v` the values in SI, `s.verdict` the verdict, `s.position` the position in words, `s.worst` the limit that decides.
    """

    def __init__(self, plan: Plan, out: Outcome, values: Mapping[str, Any], verdict: str, system: System, shown: Mapping[str, Shown]) -> None:
        self._plan, self._shown = plan, shown
        self.system: System = system
        self.verdict, self.v, self.x = verdict, out.values, _Loose(values)
        self.worst: Limit | None = worst_limit(out)
        self.limits = out.limits
        self.position = in_words(plan.position)

    def __getattr__(self, name: str) -> str:
        if name.startswith("_"):
            raise AttributeError(name)
        if name in self._shown and name in self.v:
            return self.show(self.v[name], self._shown[name].dimension, self._shown[name].like)
        return self._input(name)

    def _input(self, name: str) -> str:
        value = self.x.get(name)
        if value is None:
            return ""
        field = field_at(self._plan.addresses.get(name, ""))
        if field is None or isinstance(value, Mapping):
            return str(value)
        typed = self._typed(name)
        if typed and field.is_quantity and _typed_in(self.system, typed, field.dimension):
            return typeset(respelled(typed, field.dimension), field.dimension)
        return say_value(value, field.dimension, self.system, field.like)

    def _typed(self, name: str) -> str:
        _, fact, _ = self._plan.sources.get(name, ("", None, None))
        return fact.typed if fact is not None and isinstance(fact.typed, str) else ""

    def as_typed(self, name: str) -> str:
        """A quantity as it was typed, whatever the shop's unit: what is a name as much as a size (`5 x 120 mm`). Empty when it was not."""
        field = field_at(self._plan.addresses.get(name, ""))
        typed = self._typed(name)
        return typeset(respelled(typed, field.dimension), field.dimension) if typed and field is not None and field.is_quantity else ""

    def show(self, si: float, dimension: str, like: str | None = None) -> str:
        """A figure of your own, printed in the shop's unit (`s.show(0.75 * x, "rotational_speed")`)."""
        return say_value(si, dimension, self.system, like)

    def fraction(self, si: float, denominator: int = 16) -> str:
        """A length as the shop reads it: a fraction of an inch, or millimeters."""
        return f"{show_fraction(si, denominator)}" if self.system == "us" else show(si, "length", "mm")

    @staticmethod
    def percent(value: float) -> str:
        """`0.7301` as `73 %`, `0.034` as `3.4 %`."""
        return f"{value * 100:.0f} %" if abs(value) >= 0.1 else f"{value * 100:.1f} %".replace(".0 %", " %")

    def limit(self, of: str, verdict: str | None = None) -> str:
        """The printed limit of a value: of the deciding verdict, or of the one asked for."""
        for item in self.limits:
            if item.of == of and (verdict is None or item.verdict == verdict):
                edge = item.high if item.high is not None else item.low
                shown = self._shown.get(of)
                return "" if edge is None else self.show(edge, shown.dimension if shown else "dimensionless", shown.like if shown else None)
        return ""


class _Loose:
    """Inputs in SI by name; what is not there is None."""

    def __init__(self, values: Mapping[str, Any]) -> None:
        self._values = values

    def __getattr__(self, name: str) -> Any:
        return self._values.get(name)

    def has(self, *names: str) -> bool:
        """Whether all these inputs have a value."""
        return all(self._values.get(name) is not None for name in names)

    def get(self, name: str, default: Any = None) -> Any:
        """The input, or `default`."""
        return self._values.get(name, default)


def say_value(value: Any, dimension: str, system: System, like: str | None = None) -> str:
    """A value of any type as a person reads it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value.replace("_", " ") if dimension == "choice" else value
    if isinstance(value, (list, tuple)):
        return ", ".join(f"{item:g}" for item in value)
    if dimension in ("integer", "text", "choice", "yes_no", "ratios"):
        return f"{value:g}" if isinstance(value, float) else str(value)
    if isinstance(value, int) and dimension == "dimensionless":
        # A count, or a year: no thousands mark.
        return str(value)
    unit = preferred(dimension, system, like)
    return typeset(show(readable(value) if unit == "in" else value, dimension, unit), dimension)


def readable(length: float) -> float:
    """A length in m rounded to what is read in inches: thousandths, ten-thousandths below a hundredth; never to nothing.

    >>> round(readable(0.004) / 0.0254, 6), round(readable(0.0001143) / 0.0254, 6)
    (0.157, 0.0045)
    """
    step = 0.0254 / (10_000 if abs(length) < 0.000254 else 1000)
    return round(length / step) * step or length


def typeset(text: str, dimension: str) -> str:
    """Degrees with their sign, squares and cubes raised: `2.4°`, `85 °C`, `10 mm²`.

    >>> typeset("85 degC", "temperature"), typeset("1.2 m3/s", "volume_flow"), typeset("2 in", "length")
    ('85 °C', '1.2 m³/s', '2 in')
    """
    if "deg" in text:
        return text.replace(" deg", "°" if dimension == "angle" else " °")
    return _POWER.sub(lambda digit: _RAISED[digit[0]], text)


def _typed_in(system: System, typed: str, dimension: str) -> bool:
    """Whether what was typed is already in the shop's system (then it is said as typed, fractions and all).

    Wire sizes are typed in many ways (`14`, `#14`, `2/0`) and said in one.
    """
    unit = read(typed, dimension).unit if dimension != "wire_size" else ""
    return unit != "" and preferred(dimension, system, unit) == unit


def worst_limit(out: Outcome) -> Limit | None:
    """The limit that decides: the most severe violated one with the smallest margin, else the nearest."""
    def rank(limit: Limit) -> tuple[int, float]:
        severity = 2 if limit.verdict == "fail" else 1
        margin = limit.margin
        return (-severity if limit.violated else 0, margin if margin is not None else (-1.0 if limit.violated else 1.0))

    return min(out.limits, key=rank, default=None)


def in_words(position: str | None) -> str:
    """`front_left` as `front left`."""
    return position.replace("_", " ") if position else ""


def title_of(address: str) -> str:
    """An address in words: `tube wall of the driveshaft`."""
    if "." not in address:
        subject, _, place = address.partition("@")
        kind = KINDS.get(subject)
        return f"{in_sentence(kind.title) if kind else subject}{f' ({in_words(place)})' if place else ''}"
    subject, name, position = split(address)
    where = f", {in_words(position)}" if position and position != "*" else ""
    return f"{KINDS[subject].by_name[name].title} ({in_sentence(KINDS[subject].title)}{where})"


def in_sentence(title: str) -> str:
    """A title inside a sentence: small first letter, unless it is an abbreviation."""
    return title[:1].lower() + title[1:] if title[1:2].islower() else title


def how_of(address: str) -> str:
    """How the fact at an address is measured."""
    field = field_at(address)
    return field.how if field else ""
