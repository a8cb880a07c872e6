"""Facts of tires and wheels that others make up: rolling radius and offset."""

from __future__ import annotations

from service.calc.wheels import fit, tire
from service.checks.core import Derived
from service.notation import tire_size


def _radius_of_size(size: str) -> float:
    """Rolling radius, m, of a size that tells its diameter."""
    diameter = tire_size(size).diameter
    if diameter is None:
        raise ValueError(f"the size {size} does not tell its diameter")
    return tire.rolling_radius(diameter)


DERIVED = [
    Derived("tire.rolling_radius@here", ("tire.revs_per_mile@here",), tire.rolling_radius_from_turns),
    Derived("tire.rolling_radius@here", ("tire.size@here",), _radius_of_size),
    Derived("wheel.offset@here", ("wheel.backspacing@here", "wheel.rim_width@here"), fit.offset_from_backspacing,
            source={"check": "wheels.clearance"}, compare=True),
]
