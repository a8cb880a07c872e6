"""Engine facts that follow from others."""

from service.calc.engine import displacement
from service.checks.core import Derived

DERIVED = [Derived("engine.displacement", ["engine.bore", "engine.stroke", "engine.cylinders"], displacement)]
