"""Facts of the fuel system that follow from others."""

from __future__ import annotations

from service.checks.core import Derived
from service.checks.fuel.shared import fuel_name

DERIVED = [Derived("fuel_system.fuel", ["engine.fuel"], fuel_name)]
