"""Remedies: for each choosable input, what would make the whole check pass, found by solving the same function.

The replaced fact has no tolerance; the others keep theirs. What lies outside the usual figures of a field is named last,
and says so.
"""

from __future__ import annotations

from typing import Any

from service.checks.bind import Car
from service.checks.core import Fix, Inputs
from service.checks.plan import NOT_COMPUTABLE, Plan, field_at
from service.checks.search import Search
from service.checks.speak import say_value
from service.quantities import System, show
from service.vocabulary.core import Field


def remedies(car: Car, plan: Plan, system: System) -> list[dict[str, Any]]:
    """The remedies of a check that is a caution or a fail, for a shop using `system` (us or metric); unusual ones last."""
    usual: list[dict[str, Any]] = []
    unusual: list[dict[str, Any]] = []
    for item in plan.check.remedies:
        solved = _solve(car, plan, item, system) if isinstance(item, Fix) else None
        if solved:
            (unusual if solved[1] else usual).append(solved[0])
    return usual + unusual


def lifting(address: str | None, because: str) -> list[dict[str, Any]]:
    """Under a cap only the lifting fact is a remedy."""
    return [{"fact": address, "note": because}] if address else []


def _solve(car: Car, plan: Plan, fix: Fix, system: System) -> tuple[dict[str, Any], bool] | None:
    """The remedy in one input, and whether it lies outside what is usual; None where there is none."""
    address = car.place(fix.fact, plan.position).address
    slot = next((key for key, bound in plan.addresses.items() if bound == address), None)
    field = field_at(address)
    if slot is None or field is None or not _bound(plan, slot):
        return None
    search = Search(plan, slot, field, _aim(plan, fix))
    found = search.choices(fix) if not field.is_quantity or field.dimension == "wire_size" else search.interval(system)
    if not found:
        return None
    entry: dict[str, Any] = {"fact": address, **found}
    sizes = _stock_sizes(plan, fix, field, system)
    if sizes and (size := search.stock(sizes)) is not None:
        entry["stock"] = sizes[size]
    unusual = search.unusual
    note = fix.note.replace("{stock}", entry.get("stock", "")) if "stock" in entry or "{stock}" not in fix.note else ""
    notes = [*([note] if note else []), *([_unusual(field, system)] if unusual else [])]
    return ({**entry, "note": "; ".join(notes)} if notes else entry), unusual


def _aim(plan: Plan, fix: Fix) -> tuple[float, float] | None:
    """The figures to aim for at the present inputs, where the check names them."""
    if fix.within is None:
        return None
    try:
        return fix.within(Inputs(plan.nominal()))
    except NOT_COMPUTABLE:
        return None


def _unusual(field: Field, system: System) -> str:
    """That a remedy is far from what is fitted as a rule; `system` decides the unit."""
    usual = field.usual_range
    if usual is None:
        return ""
    low, high = (say_value(edge, field.dimension, system, field.like) for edge in (usual.low, usual.high))
    return f"outside the usual {low} to {high}, so look for another way first"


def _stock_sizes(plan: Plan, fix: Fix, field: Field, system: System) -> dict[float, str]:
    """Sizes that can be bought, SI, with their text."""
    if not callable(fix.stock):
        return {size: show(size, field.dimension, field.unit(system)) for size in fix.stock}
    try:
        return dict(fix.stock(Inputs(plan.nominal())))
    except NOT_COMPUTABLE:
        return {}


def _bound(plan: Plan, slot: str) -> bool:
    return plan.base.get(slot) is not None or any(node.name == slot for node in plan.nodes)
