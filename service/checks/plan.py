"""A bound check: the nominal value of every input, which carry tolerances, and which are computed each time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from service.checks.core import Check, Input, Inputs, Missing, Outcome, Unknown
from service.document.facts import Fact
from service.vocabulary import find
from service.vocabulary.core import Field

#: A computed input that raises one of these has no value; the judging function then finds it missing.
NOT_COMPUTABLE = (Missing, Unknown, ValueError, ZeroDivisionError, OverflowError, TypeError, KeyError)
Node = tuple[str, Callable[[dict[str, Any]], Any]]


@dataclass(slots=True)
class Plan:
    """A bound check. `base` holds nominal values by input name and, for hidden inputs of derivations, by address."""

    check: Check
    check_id: str
    position: str | None
    base: dict[str, Any] = field(default_factory=dict)
    nodes: list[Node] = field(default_factory=list)
    spreads: dict[str, float] = field(default_factory=dict)
    variables: dict[Any, tuple[float, list[str]]] = field(default_factory=dict)
    addresses: dict[str, str] = field(default_factory=dict)
    sources: dict[str, tuple[str, Fact | None, Mapping[str, Any] | None]] = field(default_factory=dict)
    assumed: list[dict[str, Any]] = field(default_factory=list)
    defaults: dict[str, Input] = field(default_factory=dict)
    missing: list[str] = field(default_factory=list)
    lacking: list[str] = field(default_factory=list)

    def address(self, name: str | None) -> str | None:
        """The address that an input stands for; a name that is no input's, as it is."""
        return self.addresses.get(name, name) if name else None

    def evaluate(self, shifts: Mapping[str, float] | None = None, override: tuple[str, Any] | None = None) -> Outcome:
        """Judge once. `shifts` adds to inputs (a corner of the tolerances); `override` replaces one input's value."""
        return judged(self.check, self.nominal(shifts, override))

    def nominal(self, shifts: Mapping[str, float] | None = None, override: tuple[str, Any] | None = None) -> dict[str, Any]:
        """Every input by name, computed ones included; what cannot be computed is left out."""
        values = dict(self.base)
        if shifts:
            for name, shift in shifts.items():
                if name in values:
                    values[name] += shift
        if override is not None:
            values[override[0]] = override[1]
            values["assumed"] = values.get("assumed", frozenset()) - {override[0]}
        for name, compute in self.nodes:
            if override is not None and name == override[0]:
                continue
            try:
                value = compute(values)
            except NOT_COMPUTABLE:
                continue
            if shifts and name in shifts:
                value += shifts[name]
            values[name] = value
        return values


def judged(check: Check, values: dict[str, Any]) -> Outcome:
    """Run a check's judging function over input values by name."""
    out = Outcome()
    try:
        check.judge(Inputs(values), out)
    except Missing as missing:
        if missing.name not in out.missing:
            out.missing.append(missing.name)
    except Unknown as unknown:
        out.reason = str(unknown)
    except (ZeroDivisionError, OverflowError):
        out.reason = "these figures do not belong together"
    except ValueError as error:
        # calc functions raise ValueError for input that means nothing; math's own message says nothing to a builder.
        out.reason = str(error) if "math" not in str(error) and "complex" not in str(error) else "these figures do not belong together"
    return out


def field_at(address: str) -> Field | None:
    """The vocabulary's field at an address, or None for a presence or a constant."""
    subject, _, rest = address.partition(".")
    return find(subject, rest.partition("@")[0]) if rest else None
