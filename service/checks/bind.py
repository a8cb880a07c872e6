"""Binding: a check at a position, with the facts of one car, becomes a plan that can be evaluated many times."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any

from service.checks.binder import Binder
from service.checks.core import Check
from service.checks.place import Place, placed, token
from service.checks.plan import Plan
from service.checks.registry import checks
from service.document.address import split
from service.document.facts import Facts

_NO_CHECK: Any = None


class Car:
    """The facts of one car as checks see them: presence, values with fallbacks, and memoized plans."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.document = facts.document
        self._plans: dict[tuple[str, str | None], Plan] = {}
        self._binding: set[tuple[str, str | None]] = set()
        self.results: list[dict[str, Any]] = []


    def on_car(self, subject: str, position: str | None = None) -> bool:
        """Whether a part of it, or any fact of it, is on the car."""
        return self.facts.on_car(subject, position)

    def labels(self, subject: str) -> list[str]:
        """The positions at which a labelled subject is recorded."""
        return self.facts.labels(subject)

    def exists(self, address: str, position: str | None = None) -> bool:
        """Whether a fact is recorded at this address, its axle, or (for an axle) its corners."""
        subject, name, place, *_ = self.place(address, position)
        if not self.facts.places.get((subject, name)):
            return False
        return place == "*" or self.facts.find(subject, name, place) is not None or bool(self.facts.corners(subject, name, place))

    def value(self, address: str, position: str | None = None) -> Any:
        """The as-fitted value at an address (fallbacks and derivations included), or None."""
        place = self.place(address, position)
        found = self.facts.find(place.subject, place.field, place.position)
        if found is not None:
            return found.value
        if not place.worked_out and place.position != "*":
            return None
        plan = Plan(_NO_CHECK, "", None)
        if not Binder(self, plan).fact("value", place, ()):
            return None
        return plan.nominal().get("value")

    def place(self, address: str, position: str | None) -> Place:
        """An address as a check writes it, with its tokens (@here, @axle, @left, @right, @driven) replaced."""
        return placed(address, position, self.driven)

    def token(self, place: str, position: str | None) -> str | None:
        """The position that a token stands for at `position`."""
        return token(place, position, self.driven)

    @cached_property
    def driven(self) -> str:
        """The driven axle."""
        return "front" if self.facts.value("car.drive_layout") == "front" else "rear"

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
        return any(
            self.exists(item.fact, position)
            for item in check.inputs
            if (item.required or item.name in check.alternatives) and item.role == "fact" and split(item.fact)[0] not in ("car", "build", "weights")
        )


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
        binder = Binder(self, plan)
        plan.base["position"] = position
        for name in check.reads:
            plan.base[name] = self._read(name)
        plan.base["position"] = position
        for item in check.inputs:
            binder.input(item)
        plan.base["assumed"] = frozenset(plan.defaults)
        binder.required()
        plan.varying = [name for _, names in plan.variables.values() for name in names if name in plan.base]
        return plan
