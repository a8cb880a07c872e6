"""What people type <-> SI: reading, printing in both systems of units, wire sizes. Imports nothing of ours."""

from .printing import both, both_typed, exact, in_unit, preferred, respelled, round_fraction, show, show_fraction
from .reading import Quantity, QuantityError, read
from .spelling import find_unit
from .units import DIMENSIONS, UNITS, System, Unit, units_of
from .wire_size import gauge_area, next_wire_size, round_wire_size

__all__ = [
    "DIMENSIONS",
    "UNITS",
    "Quantity",
    "QuantityError",
    "System",
    "Unit",
    "both",
    "both_typed",
    "exact",
    "find_unit",
    "gauge_area",
    "in_unit",
    "next_wire_size",
    "preferred",
    "read",
    "respelled",
    "round_fraction",
    "round_wire_size",
    "show",
    "show_fraction",
    "units_of",
]
