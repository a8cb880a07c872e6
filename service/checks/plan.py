"""A bound check: the nominal value of every input, which carry tolerances, and which are computed each time."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from service.checks.core import Check, Input, Inputs, Missing, Outcome, Unknown
from service.document.facts import Fact
from service.vocabulary import find
from service.vocabulary.core import Field

#: A computed input that raises one of these has no value; the judging function then finds it missing.
NOT_COMPUTABLE = (Missing, Unknown, ValueError, ZeroDivisionError, OverflowError, TypeError, KeyError)


class Node(NamedTuple):
    """An input that is computed: from the values `needs`, or from whatever inputs it touches (None)."""

    name: str
    compute: Callable[[dict[str, Any]], Any]
    needs: tuple[str, ...] | None


class Known(NamedTuple):
    """What a check computes at one set of inputs: its own computed inputs and its values."""

    worked_out: Mapping[str, Any]
    values: Mapping[str, Any]
    reason: str | None


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
    varying: list[str] = field(default_factory=list)
    """The recorded inputs that carry tolerances: what can differ from one corner to the next."""
    seen: dict[tuple[Any, ...], Known] = field(default_factory=dict)
    """What other checks have taken from this one already, by the figures of what varies."""

    def address(self, name: str | None) -> str | None:
        """The address that an input stands for; a name that is no input's, as it is."""
        return self.addresses.get(name, name) if name else None

    def evaluate(self, shifts: Mapping[str, float] | None = None, override: tuple[str, Any] | None = None) -> Outcome:
        """Judge once. `shifts` adds to inputs (a corner of the tolerances); `override` replaces one input's value."""
        return judged(self.check, self.nominal(shifts, override))

    def known(self, base: Mapping[str, Any]) -> Known:
        """What this check computes for others from these recorded inputs; judged once for each set of figures."""
        at = tuple([base[name] for name in self.varying])
        if at not in self.seen:
            inside, worked_out = dict(base), {}
            for name, compute, _ in self.nodes:
                try:
                    inside[name] = worked_out[name] = compute(inside)
                except NOT_COMPUTABLE:
                    continue
            out = judged(self.check, inside)
            self.seen[at] = Known(worked_out, out.values, out.reason)
        return self.seen[at]

    def nominal(self, shifts: Mapping[str, float] | None = None, override: tuple[str, Any] | None = None) -> dict[str, Any]:
        """Every input by name, computed ones included; what cannot be computed is left out."""
        values = shifted(self.base, shifts or {})
        if override is not None:
            values[override[0]] = override[1]
            values["assumed"] = values.get("assumed", frozenset()) - {override[0]}
        work_out(self.nodes if override is None else [node for node in self.nodes if node.name != override[0]], values, shifts or {})
        return values


def shifted(base: Mapping[str, Any], shifts: Mapping[str, float]) -> dict[str, Any]:
    """A copy of the values with what is recorded moved."""
    values = dict(base)
    for name, shift in shifts.items():
        if name in values:
            values[name] += shift
    return values


def work_out(nodes: Sequence[Node], values: dict[str, Any], shifts: Mapping[str, float]) -> None:
    """Add what is computed, in order; what cannot be is left out."""
    for name, compute, _ in nodes:
        try:
            value = compute(values)
        except NOT_COMPUTABLE:
            continue
        values[name] = value + shifts[name] if name in shifts else value


def judged(check: Check, values: dict[str, Any]) -> Outcome:
    """Run a check's judging function over input values by name."""
    return judge_inputs(check, Inputs(values))


def judge_inputs(check: Check, inputs: Inputs) -> Outcome:
    """Run a check's judging function."""
    out = Outcome()
    try:
        check.judge(inputs, out)
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
