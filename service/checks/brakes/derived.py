"""Facts of the brakes that others make up: one axle takes the share of a stop's energy that the other leaves."""

from __future__ import annotations

from service.checks.core import Derived


def _rest(share: float) -> float:
    return 1 - share


DERIVED = [
    Derived("brake.energy_share@front", ("brake.energy_share@rear",), _rest),
    Derived("brake.energy_share@rear", ("brake.energy_share@front",), _rest),
]
