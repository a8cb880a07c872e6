"""Binding: a check at a position, with the facts of one car, becomes a plan that can be evaluated many times.

A plan knows the nominal value of every input, which of them carry tolerances (one variable for each recorded fact,
however many inputs it feeds), and which are computed from others each time (derived facts, defaults that depend on
inputs, values of other checks).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from service.checks.core import Check, Derived, Input, Inputs, Missing, Outcome, Unknown
from service.checks.registry import checks, derivations, providers
from service.document.address import axle_of, corners_of, normal, split, written
from service.document.facts import Fact, Facts
from service.quantities import System, preferred, show
from service.vocabulary import find

#: A computed input that raises one of these has no value; the judging function then finds it missing.
NOT_COMPUTABLE = (Missing, Unknown, ValueError, ZeroDivisionError, OverflowError, TypeError)
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


class Car:
    """The facts of one car as checks see them: presence, values with fallbacks, and memoized plans."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.document = facts.document
        self._plans: dict[tuple[str, str | None], Plan] = {}
        self._binding: set[tuple[str, str | None]] = set()
        self.results: list[dict[str, Any]] = []

    # --- what applies-conditions and companion rules ask -----------------------------------------------------------

    def on_car(self, subject: str, position: str | None = None) -> bool:
        """Whether a part of it, or any fact of it, is on the car."""
        return self.facts.on_car(subject, position)

    def labels(self, subject: str) -> list[str]:
        """The positions at which a labelled subject is recorded."""
        return self.facts.labels(subject)

    def exists(self, address: str, position: str | None = None) -> bool:
        """Whether a fact is recorded at this address, its axle, or (for an axle) its corners."""
        subject, name, place = self.place(address, position)
        if place == "*":
            return bool(self.facts.places.get((subject, name)))
        return self.facts.find(subject, name, place) is not None or bool(self.facts.corners(subject, name, place))

    def value(self, address: str, position: str | None = None) -> Any:
        """The as-fitted value at an address (fallbacks and derivations included), or None."""
        subject, name, place = self.place(address, position)
        plan = Plan(_NO_CHECK, "", None)
        if not _Binder(self, plan).fact("value", subject, name, place, ()):
            return None
        return plan.nominal().get("value")

    def place(self, address: str, position: str | None) -> tuple[str, str, str | None]:
        """An address as a check writes it, with its tokens (@here, @axle, @left, @right, @driven) replaced."""
        subject, name, place = split(address)
        if place is None or place == "*":
            return subject, name, place
        return subject, name, self.token(place, position)

    def token(self, place: str, position: str | None) -> str | None:
        """The position that a token stands for at `position`."""
        if place == "here":
            return position
        if place == "axle":
            return axle_of(position) or position
        if place in ("left", "right"):
            return corners_of(axle_of(position) or position)[place == "right"]
        if place == "driven":
            return "front" if self.facts.value("car.drive_layout") == "front" else "rear"
        return normal(place)

    def positions(self, check: Check) -> Sequence[str | None]:
        """Where a check gives results for this car."""
        at = check.at
        if at is None:
            return (None,)
        if at == "axles":
            return ("front", "rear")
        if at == "corners":
            return ("front_left", "front_right", "rear_left", "rear_right")
        if isinstance(at, tuple) and at[0] == "label":
            return sorted({label for subject in at[1:] for label in self.facts.labels(subject)})
        if isinstance(at, tuple):
            return at
        return list(at(self))

    def applies(self, check: Check, position: str | None) -> bool:
        """Whether a check has anything to judge at `position`."""
        if check.applies is not None:
            return bool(check.applies(self, position))
        alternatives = {name for group in check.either for way in group for name in way}
        return any(
            self.exists(item.fact, position)
            for item in check.inputs
            if (item.required or item.name in alternatives) and item.role == "fact" and split(item.fact)[0] not in ("car", "build", "weights")
        )

    def disagreements(self, plan: Plan, system: System) -> list[str]:
        """Sentences for recorded facts that a check also computes, where the two are further apart than measuring explains."""
        found = []
        for address, fact, _ in list(plan.sources.values()):
            if fact is None or not isinstance(fact.value, float):
                continue
            computed = self._computed(fact, split(address)[2])
            if computed is not None and _differ(fact, computed):
                field_ = find(fact.subject, fact.field)
                dimension, like = (field_.dimension, field_.like) if field_ else ("dimensionless", None)
                unit = preferred(dimension, system, like)
                found.append(f"The {field_.title if field_ else fact.field} is recorded as {show(fact.value, dimension, unit)}, "
                             f"while the other figures make it {show(computed, dimension, unit)}: measure again.")
        return list(dict.fromkeys(found))

    def _computed(self, fact: Fact, place: str | None) -> float | None:
        for way in derivations().get((fact.subject, fact.field), ()):
            if way.compare and split(way.fact)[2] in ("here", None, place):
                needs = [self.value(address, place) for address in way.needs]
                if all(value is not None for value in needs):
                    rest = [self.value(address, place) for address in way.optional]
                    return float(way.function(*needs, *rest))
        provider = providers().get((fact.subject, fact.field))
        if provider is None:
            return None
        check_id, value_name, written_as = provider
        position = place if split(written_as)[2] == "here" else None
        if self.is_binding(check_id, position) or not self.applies(checks()[check_id], position):
            return None
        inner = self.plan(check_id, position)
        value = None if inner.missing else inner.evaluate().values.get(value_name)
        return float(value) if value is not None else None

    # --- plans ------------------------------------------------------------------------------------------------------

    def plan(self, check_id: str, position: str | None) -> Plan:
        """The bound plan of a check, made once."""
        key = (check_id, position)
        if key not in self._plans:
            if key in self._binding:
                raise RuntimeError(f"checks take facts from each other in a circle through {check_id}")
            self._binding.add(key)
            try:
                self._plans[key] = self._bind(check_id, position)
            finally:
                self._binding.discard(key)
        return self._plans[key]

    def is_binding(self, check_id: str, position: str | None) -> bool:
        """Whether this plan is being made right now (its own facts must not be taken from it)."""
        return (check_id, position) in self._binding

    def _read(self, name: str) -> Any:
        if name == "car":
            return self
        if name == "results":
            return self.results
        return self.document if name == "document" else self.document.get(name) or []

    def _bind(self, check_id: str, position: str | None) -> Plan:
        check = checks()[check_id]
        plan = Plan(check, check_id, position)
        binder = _Binder(self, plan)
        for name in check.reads:
            plan.base[name] = self._read(name)
        for item in check.inputs:
            binder.input(item)
        binder.required()
        return plan


_NO_CHECK: Any = None


class _Binder:
    """Fills one plan."""

    def __init__(self, car: Car, plan: Plan, prefix: str = "") -> None:
        self.car, self.plan, self.prefix = car, plan, prefix

    def input(self, item: Input) -> None:
        """Bind one declared input."""
        plan, name = self.plan, self.prefix + item.name
        if item.role == "constant":
            plan.base[name] = item.default
            plan.variables[name] = (item.tolerance, [name])
            plan.addresses[name] = item.fact
            plan.assumed.append({"name": item.name, "constant": item})
        elif item.role == "presence":
            self._presence(item, name)
        else:
            subject, field_name, place = self.car.place(item.fact, plan.position)
            plan.addresses[name] = written(subject, field_name, place)
            if not self.fact(name, subject, field_name, place, ()):
                self._fallback(item, name)

    def _presence(self, item: Input, name: str) -> None:
        subject, at, place = item.fact.partition("@")
        position = self.car.token(place, self.plan.position) if at else None
        there = self.car.on_car(subject, position)
        address = f"{subject}@{position}" if position else subject
        self.plan.base[name] = there
        self.plan.addresses[name] = address
        if not there:
            why = "recorded as absent" if self.car.facts.is_absent(subject, position) else "not recorded"
            self.plan.assumed.append({"fact": address, "value": "not fitted", "why": why})

    def _fallback(self, item: Input, name: str) -> None:
        plan = self.plan
        if item.required:
            return
        if item.default is None:
            plan.base[name] = None
            return
        plan.defaults[name] = item
        if callable(item.default):
            plan.nodes.append((name, _from_inputs(item.default, self.prefix)))
        else:
            plan.base[name] = item.default
        if item.tolerance is not None and not callable(item.tolerance):
            plan.variables[name] = (item.tolerance, [name])
        plan.assumed.append({"fact": plan.addresses[name], "default": item, "name_in_check": name})

    def fact(self, name: str, subject: str, field_name: str, place: str | None, path: tuple[str, ...]) -> bool:
        """Bind `name` to a fact: recorded, the mean of an axle's corners, derived, or computed by a check."""
        if place == "*":
            return self._star(name, subject, field_name)
        found = self.car.facts.find(subject, field_name, place)
        if found is not None:
            self._leaf(name, found, written(subject, field_name, place))
            return True
        address = written(subject, field_name, place)
        if address in path:
            return False
        return (self._mean(name, subject, field_name, place, address)
                or self._derive(name, subject, field_name, place, (*path, address))
                or self._from_check(name, subject, field_name, place, address))

    def _leaf(self, name: str, fact: Fact, address: str) -> None:
        plan = self.plan
        plan.base[name] = fact.value
        plan.sources[name] = (address, fact, None)
        if fact.tolerance:
            spread = plan.variables.setdefault(fact, (fact.tolerance, []))
            spread[1].append(name)

    def _star(self, name: str, subject: str, field_name: str) -> bool:
        places = self.car.facts.places.get((subject, field_name)) or {}
        found = {position: fact for position, fact in places.items() if position is not None}
        if not found:
            return False
        keys = {}
        for position, fact in sorted(found.items()):
            keys[position] = f"{name}@{position}"
            self._leaf(keys[position], fact, fact.address)
        self.plan.nodes.append((name, lambda values: {position: values[key] for position, key in keys.items()}))
        return True

    def _mean(self, name: str, subject: str, field_name: str, place: str | None, address: str) -> bool:
        corners = self.car.facts.corners(subject, field_name, place)
        if not corners:
            return False
        keys = []
        for fact in corners:
            keys.append(f"{name}@{fact.position}")
            self._leaf(keys[-1], fact, fact.address)
        if isinstance(corners[0].value, float):
            self.plan.nodes.append((name, lambda values: sum(values[key] for key in keys) / len(keys)))
        else:
            self.plan.nodes.append((name, lambda values: values[keys[0]]))
        self.plan.sources[name] = (address, None, {"facts": [fact.address for fact in corners]})
        return True

    def _derive(self, name: str, subject: str, field_name: str, place: str | None, path: tuple[str, ...]) -> bool:
        for way in derivations().get((subject, field_name), ()):
            target = split(way.fact)[2]
            if target not in ("here", None) and normal(target) != place:
                continue
            if target is None and place is not None:
                continue
            if self._try(name, way, place, path):
                return True
        return False

    def _try(self, name: str, way: Derived, place: str | None, path: tuple[str, ...]) -> bool:
        trial = Plan(self.plan.check, self.plan.check_id, place)
        trial.variables = {key: (spread, list(names)) for key, (spread, names) in self.plan.variables.items()}
        binder = _Binder(self.car, trial)
        keys: list[str] = []
        for address in (*way.needs, *way.optional):
            subject, field_name, where = self.car.place(address, place)
            key = f"{name}<{written(subject, field_name, where)}"
            if not binder.fact(key, subject, field_name, where, path):
                if address in way.needs:
                    return False
                trial.base[key] = None
            keys.append(key)
        self._adopt(trial)
        self.plan.nodes.append((name, lambda values: way.function(*(values[key] for key in keys))))
        source = way.source or {"facts": [trial.sources[key][0] for key in keys if key in trial.sources]}
        self.plan.sources[name] = (path[-1], None, source)
        if way.assumed:
            self.plan.assumed.append({"fact": path[-1], "value": way.assumed, "why": "derived"})
        return True

    def _adopt(self, trial: Plan) -> None:
        plan = self.plan
        plan.base.update(trial.base)
        plan.nodes.extend(trial.nodes)
        plan.variables = trial.variables
        plan.sources.update(trial.sources)
        plan.assumed.extend(trial.assumed)
        plan.defaults.update(trial.defaults)
        plan.addresses.update(trial.addresses)

    def _from_check(self, name: str, subject: str, field_name: str, place: str | None, address: str) -> bool:
        provider = providers().get((subject, field_name))
        if provider is None:
            return False
        check_id, value_name, fact = provider
        target = split(fact)[2]
        position = place if target == "here" else None
        if self.car.is_binding(check_id, position) or not self.car.applies(checks()[check_id], position):
            return False
        inner = self.car.plan(check_id, position)
        if inner.missing or value_name not in inner.evaluate().values:
            self.plan.lacking.extend(inner.missing)
            return False
        prefix = f"{name}<{check_id}<"
        self._embed(inner, prefix)
        self.plan.nodes.append((name, _computed(checks()[check_id], prefix, value_name)))
        self.plan.sources[name] = (address, None, {"check": check_id})
        return True

    def _embed(self, inner: Plan, prefix: str) -> None:
        plan = self.plan
        plan.base.update({prefix + key: value for key, value in inner.base.items()})
        plan.nodes.extend((prefix + key, _under(prefix, compute)) for key, compute in inner.nodes)
        for fact, (spread, names) in inner.variables.items():
            outer = plan.variables.setdefault(fact if isinstance(fact, Fact) else prefix + str(fact), (spread, []))
            outer[1].extend(prefix + key for key in names)
        plan.sources.update({prefix + key: source for key, source in inner.sources.items()})
        plan.assumed.extend({**entry, **({"name_in_check": prefix + entry["name_in_check"]} if "name_in_check" in entry else {})}
                            for entry in inner.assumed)

    def required(self) -> None:
        """List the required facts that are not there, in the order declared; alternatives by their first way."""
        plan = self.plan
        missing = []
        for item in plan.check.inputs:
            if item.required and not self._known(item.name) and self._wanted(item):
                missing.append(plan.addresses[item.name])
        for group in plan.check.either:
            if not any(all(self._known(name) for name in way) for way in group):
                missing.extend(plan.addresses[name] for name in group[0] if not self._known(name))
        plan.missing = list(dict.fromkeys(missing))

    def _known(self, name: str) -> bool:
        return self.plan.base.get(name) is not None or any(node == name for node, _ in self.plan.nodes)

    def _wanted(self, item: Input) -> bool:
        if item.when is None:
            return True
        try:
            return bool(item.when(Inputs(self.plan.nominal())))
        except (Missing, TypeError):
            return False


def _differ(fact: Fact, computed: float) -> bool:
    """Further apart than 5 %, and than 0.1 deg (angles) or 2 mm (lengths). Source: the rule of the checks' reference."""
    field_ = find(fact.subject, fact.field)
    floor = {"angle": 0.1 * math.pi / 180, "length": 0.002}.get(field_.dimension if field_ else "", 0.0)
    return abs(fact.value - computed) > max(0.05 * abs(fact.value), floor)


def _from_inputs(default: Callable[[Any], Any], prefix: str) -> Callable[[dict[str, Any]], Any]:
    if not prefix:
        return lambda values: default(Inputs(values))
    return _under(prefix, lambda values: default(Inputs(values)))


def _under(prefix: str, compute: Callable[[dict[str, Any]], Any]) -> Callable[[dict[str, Any]], Any]:
    """Let a node of an embedded plan see its own names."""
    size = len(prefix)
    return lambda values: compute({key[size:]: value for key, value in values.items() if key.startswith(prefix)})


def _computed(check: Check, prefix: str, value_name: str) -> Callable[[dict[str, Any]], Any]:
    size = len(prefix)

    def compute(values: dict[str, Any]) -> Any:
        out = judged(check, {key[size:]: value for key, value in values.items() if key.startswith(prefix)})
        if value_name not in out.values:
            raise Unknown(out.reason or "")
        return out.values[value_name]

    return compute


def field_at(address: str) -> Any:
    """The vocabulary's field at an address, or None for a presence or a constant."""
    subject, _, rest = address.partition(".")
    return find(subject, rest.partition("@")[0]) if rest else None
