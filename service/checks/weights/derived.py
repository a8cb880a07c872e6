"""Masses that follow from others: an axle from its two scale readings, the car from its axles."""

from __future__ import annotations

from operator import add

from service.checks.core import Derived

DERIVED = [
    Derived("weights.axle_mass@here", ("weights.corner_mass@left", "weights.corner_mass@right"), add),
    Derived("car.mass", ("weights.axle_mass@front", "weights.axle_mass@rear"), add),
]
