"""Filling a plan: each declared input is bound to a recorded fact, a mean of corners, a derivation, another check, or its default."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from service.checks.core import Derived, Input, Inputs, Missing, Unknown
from service.checks.place import Place
from service.checks.plan import Node, Plan
from service.checks.registry import checks, derivations, providers
from service.document.address import normal, split
from service.document.facts import Fact

if TYPE_CHECKING:
    from service.checks.bind import Car


class Binder:
    """Fills one plan."""

    def __init__(self, car: Car, plan: Plan) -> None:
        self.car, self.plan = car, plan

    def input(self, item: Input) -> None:
        """Bind one declared input."""
        plan, name = self.plan, item.name
        if item.role == "constant":
            plan.base[name] = item.default
            plan.variables[name] = (item.tolerance, [name])
            plan.addresses[name] = item.fact
            plan.assumed.append({"name": item.name, "constant": item})
        elif item.role == "presence":
            self._presence(item, name)
        else:
            place = self.car.place(item.fact, plan.position)
            plan.addresses[name] = place.address
            if not self.fact(name, place, ()):
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
            # An alternative that is not recorded is missing when touched, like a required fact; another option is None.
            if item.name not in plan.check.alternatives:
                plan.base[name] = None
            return
        plan.defaults[name] = item
        if callable(item.default):
            plan.nodes.append(Node(name, _from_inputs(item.default), None))
        else:
            plan.base[name] = item.default
        tolerance = item.tolerance(Inputs(plan.nominal())) if callable(item.tolerance) else item.tolerance
        if tolerance is not None:
            plan.variables[name] = (tolerance, [name])
            plan.spreads[name] = tolerance
        plan.assumed.append({"fact": plan.addresses[name], "default": item, "name_in_check": name})

    def fact(self, name: str, place: Place, path: tuple[str, ...]) -> bool:
        """Bind `name` to a fact: recorded, the mean of an axle's corners, derived, or computed by a check."""
        if place.position == "*":
            return self._star(name, place)
        recorded = self.car.facts.places.get(place.key)
        found = self.car.facts.find(place.subject, place.field, place.position) if recorded else None
        if found is not None:
            self._leaf(name, found, place.address)
            return True
        if not place.worked_out or place.address in path:
            return False
        return (self._mean(name, place)
                or self._derive(name, place, (*path, place.address))
                or self._from_check(name, place))

    def _leaf(self, name: str, fact: Fact, address: str) -> None:
        plan = self.plan
        plan.base[name] = fact.value
        plan.sources[name] = (address, fact, None)
        if fact.tolerance:
            spread = plan.variables.setdefault(fact, (fact.tolerance, []))
            spread[1].append(name)

    def _star(self, name: str, place: Place) -> bool:
        places = self.car.facts.places.get((place.subject, place.field)) or {}
        found = {position: fact for position, fact in places.items() if position is not None}
        if not found:
            return False
        keys = {}
        for position, fact in sorted(found.items()):
            keys[position] = f"{name}@{position}"
            self._leaf(keys[position], fact, fact.address)
        self.plan.nodes.append(Node(name, lambda values: {position: values[key] for position, key in keys.items()}, tuple(keys.values())))
        return True

    def _mean(self, name: str, place: Place) -> bool:
        corners = self.car.facts.corners(place.subject, place.field, place.position)
        if not corners:
            return False
        keys = []
        for fact in corners:
            keys.append(f"{name}@{fact.position}")
            self._leaf(keys[-1], fact, fact.address)
        if isinstance(corners[0].value, float):
            self.plan.nodes.append(Node(name, lambda values: sum([values[key] for key in keys]) / len(keys), tuple(keys)))
        else:
            self.plan.nodes.append(Node(name, lambda values: values[keys[0]], tuple(keys)))
        self.plan.sources[name] = (place.address, None, {"facts": [fact.address for fact in corners]})
        return True

    def _derive(self, name: str, place: Place, path: tuple[str, ...]) -> bool:
        for way in derivations().get((place.subject, place.field), ()):
            target = split(way.fact)[2]
            if target not in ("here", None) and normal(target) != place.position:
                continue
            if target is None and place.position is not None:
                continue
            if self._try(name, way, place.position, path):
                return True
        return False

    def _try(self, name: str, way: Derived, place: str | None, path: tuple[str, ...]) -> bool:
        trial = Plan(self.plan.check, self.plan.check_id, place)
        trial.variables = {key: (spread, list(names)) for key, (spread, names) in self.plan.variables.items()}
        binder = Binder(self.car, trial)
        keys: list[str] = []
        for address in (*way.needs, *way.optional):
            needed = self.car.place(address, place)
            key = f"{name}<{needed.address}"
            if not binder.fact(key, needed, path):
                if address in way.needs:
                    return False
                trial.base[key] = None
            keys.append(key)
        trial.nodes.append(Node(name, lambda values: way.function(*[values[key] for key in keys]), tuple(keys)))
        if trial.nominal().get(name) is None:
            return False
        self._adopt(trial)
        source: Mapping[str, Any] = way.source or {"facts": [trial.sources[key][0] for key in keys if key in trial.sources]}
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

    def _from_check(self, name: str, place: Place) -> bool:
        provider = providers().get((place.subject, place.field))
        if provider is None:
            return False
        check_id, value_name, fact = provider
        target = split(fact)[2]
        position = place.position if target == "here" else None
        if self.car.is_binding(check_id, position) or not self.car.applies(checks()[check_id], position):
            return False
        inner = self.car.plan(check_id, position)
        if inner.missing or value_name not in inner.known(inner.base).values:
            self.plan.lacking.extend(inner.missing)
            return False
        prefix = f"{name}<{check_id}<"
        self._embed(inner, prefix)
        self.plan.nodes.append(Node(name, _computed(inner, prefix, value_name), tuple(prefix + key for key in inner.varying)))
        self.plan.sources[name] = (place.address, None, {"check": check_id})
        return True

    def _embed(self, inner: Plan, prefix: str) -> None:
        plan = self.plan
        plan.base.update({prefix + key: value for key, value in inner.base.items()})
        for fact, (spread, names) in inner.variables.items():
            outer = plan.variables.setdefault(fact if isinstance(fact, Fact) else prefix + str(fact), (spread, []))
            outer[1].extend(prefix + key for key in names if key in inner.base)
        plan.sources.update({prefix + key: source for key, source in inner.sources.items()})
        plan.assumed.extend({**entry, **({"name_in_check": prefix + entry["name_in_check"]} if "name_in_check" in entry else {})}
                            for entry in inner.assumed)

    def required(self) -> None:
        """List the required facts that are not there, in the order declared; alternatives by their first way."""
        plan = self.plan
        missing = []
        unknown = [item for item in plan.check.required if plan.base.get(item.name) is None]
        if unknown:
            computed = {node.name for node in plan.nodes}
            given = Inputs(plan.nominal() if any(item.when for item in unknown) else {})
            missing = [plan.addresses[item.name] for item in unknown if item.name not in computed and _wanted(item, given)]
        for group in plan.check.either:
            known = {name for name, value in plan.base.items() if value is not None}.union(node.name for node in plan.nodes)
            if not any(known.issuperset(way) for way in group):
                missing.extend(plan.addresses[name] for name in group[0] if name not in known)
        plan.missing = list(dict.fromkeys(missing))


def _wanted(item: Input, given: Inputs) -> bool:
    """Whether a required fact is required of these inputs."""
    if item.when is None:
        return True
    try:
        return bool(item.when(given))
    except (Missing, TypeError):
        return False


def _from_inputs(default: Callable[[Any], Any]) -> Callable[[dict[str, Any]], Any]:
    return lambda values: default(Inputs(values))


def _computed(inner: Plan, prefix: str, value_name: str) -> Callable[[dict[str, Any]], Any]:
    """A node that judges another check on its embedded inputs and takes one of its values."""
    varying = [prefix + key for key in inner.varying]
    pairs = [(prefix + key, key) for key in inner.base]

    def compute(values: dict[str, Any]) -> Any:
        at = tuple([values[name] for name in varying])
        known = inner.seen.get(at) or inner.known({key: values[outer] for outer, key in pairs})
        for key, value in known.worked_out.items():
            values[prefix + key] = value
        if value_name not in known.values:
            raise Unknown(known.reason or "")
        return known.values[value_name]

    return compute
