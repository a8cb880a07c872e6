"""Facts of cooling that follow from others: the gap between fan and engine is one gap under two names."""

from __future__ import annotations

from service.checks.core import Derived


def same_gap(gap: float) -> float:
    """The same gap, m, measured by whoever placed the engine or fitted the fan."""
    return gap


DERIVED = [
    Derived("cooling_fan.engine_gap", ["driveline.fan_clearance"], same_gap),
    Derived("driveline.fan_clearance", ["cooling_fan.engine_gap"], same_gap),
]
