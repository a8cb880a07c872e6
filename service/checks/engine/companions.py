"""Parts of the engine that need others beside them."""

from __future__ import annotations

from typing import Any

from service.checks.companions import Rule, companions


def _external(car: Any) -> bool:
    return bool(car.value("engine.balance") == "external")


def _matching_plate(car: Any) -> bool | None:
    balance = car.value("flexplate.balance")
    return None if balance is None else bool(balance == "external")


RULES = (
    Rule("external_balance_plate", "an externally balanced engine", "its matching weighted flexplate or flywheel", "stop",
         "a plate without the weight breaks the crank", _external, _matching_plate),
    Rule("external_balance_damper", "an externally balanced engine", "its matching weighted crankshaft damper", "stop",
         "a damper without the weight breaks the crank", _external, without=("crank_damper",)),
)

CHECK = companions("engine", RULES)
