"""Toe of a wheel from toe measured as a length."""

from __future__ import annotations

from service.calc.alignment import toe_angle
from service.checks.core import Derived

DERIVED = [
    Derived("alignment.toe@here", ("alignment.toe_length@here", "alignment.toe_reference_diameter@here"), toe_angle,
            source={"check": "alignment.against_use"}, compare=True),
]
