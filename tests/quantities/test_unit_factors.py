"""The factor of every unit, judged by Pint and by published definitions. Pint sees its own names, no typed text."""

import math
from fractions import Fraction

import pint
import pytest

from service.quantities import UNITS

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()

# Our unit, dimension by dimension, in Pint's words; Pint 0.25 names metric_horsepower, force_kilogram and so on itself.
IN_PINT = {
    "length": {
        "in": "inch", "mm": "mm", "cm": "cm", "m": "m", "ft": "foot", "mi": "mile", "km": "km", "thou": "thou",
        "um": "um",
    },
    "angle": {"deg": "degree", "rad": "radian"},
    "mass": {"lb": "pound", "kg": "kg", "g": "g", "oz": "ounce", "ton": "short_ton", "tonne": "metric_ton"},
    "force": {"lbf": "force_pound", "N": "N", "kN": "kN", "kgf": "force_kilogram"},
    "torque": {
        "lb·ft": "force_pound * foot", "N·m": "N * m", "lb·in": "force_pound * inch", "kgf·m": "force_kilogram * m",
    },
    "stiffness": {
        "lb/in": "force_pound / inch", "N/mm": "N / mm", "N/m": "N / m", "kN/m": "kN / m",
        "kgf/mm": "force_kilogram / mm", "lb/ft": "force_pound / foot",
    },
    "pressure": {
        "psi": "psi", "kPa": "kPa", "bar": "bar", "MPa": "MPa", "inHg": "inch_Hg", "Pa": "Pa", "inH2O": "inH2O",
        "ksi": "ksi", "GPa": "GPa",
    },
    "power": {"hp": "horsepower", "kW": "kW", "PS": "metric_horsepower", "W": "W"},
    "rotational_speed": {"rpm": "turn / minute", "rad/s": "radian / s"},
    "speed": {
        "mph": "mile / hour", "km/h": "km / hour", "m/s": "m / s", "ft/min": "foot / minute", "ft/s": "foot / s",
    },
    "volume_flow": {
        "cfm": "foot ** 3 / minute", "L/min": "liter / minute", "gph": "US_liquid_gallon / hour", "L/h": "liter / hour",
        "cc/min": "cm ** 3 / minute", "m3/s": "m ** 3 / s", "gpm": "US_liquid_gallon / minute", "m3/h": "m ** 3 / hour",
        "L/s": "liter / s",
    },
    "mass_flow": {
        "lb/h": "pound / hour", "g/s": "g / s", "lb/min": "pound / minute", "kg/h": "kg / hour", "kg/s": "kg / s",
    },
    "temperature_difference": {"degF": "delta_degF", "K": "K", "degC": "delta_degC"},
    "voltage": {"V": "V", "mV": "mV", "kV": "kV"},
    "current": {"A": "A", "mA": "mA"},
    "resistance": {"ohm": "ohm", "mohm": "mohm", "kohm": "kohm"},
    "charge": {"Ah": "ampere_hour", "mAh": "milliampere_hour", "A·s": "coulomb"},
    "time": {"s": "s", "min": "minute", "h": "hour", "day": "day", "ms": "ms"},
    "density": {
        "lb/ft3": "pound / foot ** 3", "kg/m3": "kg / m ** 3", "lb/in3": "pound / inch ** 3", "g/cc": "g / cm ** 3",
        "lb/gal": "pound / US_liquid_gallon", "kg/L": "kg / liter",
    },
    "volume": {
        "cc": "cm ** 3", "L": "liter", "cu in": "inch ** 3", "gal": "US_liquid_gallon", "qt": "US_liquid_quart",
        "pt": "US_pint", "fl oz": "US_fluid_ounce", "cu ft": "foot ** 3", "m3": "m ** 3",
    },
    "area": {"in2": "inch ** 2", "mm2": "mm ** 2", "cm2": "cm ** 2", "m2": "m ** 2", "ft2": "foot ** 2"},
    "wire_size": {"mm2": "mm ** 2"},
    "thermal_conductance": {"W/K": "W / K", "kW/K": "kW / K"},
    "specific_consumption": {"lb/(hp*h)": "pound / horsepower / hour", "g/(kW*h)": "g / kW / hour"},
    "acceleration": {"g0": "standard_gravity", "m/s2": "m / s ** 2", "ft/s2": "foot / s ** 2"},
    "angular_acceleration": {"rad/s2": "radian / s ** 2", "deg/s2": "degree / s ** 2"},
    "power_density": {
        "hp/cu in": "horsepower / inch ** 3", "kW/L": "kW / liter", "hp/L": "horsepower / liter", "W/m3": "W / m ** 3",
    },
    "energy": {"ft·lbf": "foot * force_pound", "J": "J", "kJ": "kJ", "MJ": "MJ", "kWh": "kW * hour"},
    "frequency": {"Hz": "1 / s", "kHz": "1 / ms", "cpm": "1 / minute"},
    "roll_stiffness": {
        "lb·ft/deg": "force_pound * foot / degree", "N·m/deg": "N * m / degree", "N·m/rad": "N * m / radian",
        "lb·in/deg": "force_pound * inch / degree",
    },
    "dimensionless": {"1": "dimensionless", "%": "percent"},
}  # fmt: skip
PINT_PAIRS = [(dimension, unit, theirs) for dimension, row in IN_PINT.items() for unit, theirs in row.items()]

# NIST Special Publication 811 (2008), appendix B.8, to the seven digits printed there; recalled, not copied.
NIST_SP_811 = {
    ("length", "in"): 2.54e-2, ("length", "ft"): 3.048e-1, ("length", "mi"): 1.609344e3, ("length", "thou"): 2.54e-5,
    ("mass", "lb"): 4.535924e-1, ("mass", "oz"): 2.834952e-2, ("mass", "ton"): 9.071847e2,
    ("force", "lbf"): 4.448222, ("force", "kgf"): 9.80665,
    ("torque", "lb·ft"): 1.355818, ("torque", "lb·in"): 1.129848e-1, ("torque", "kgf·m"): 9.80665,
    ("stiffness", "lb/in"): 1.751268e2, ("stiffness", "lb/ft"): 1.459390e1,
    ("pressure", "psi"): 6.894757e3, ("pressure", "ksi"): 6.894757e6, ("pressure", "inHg"): 3.386389e3,
    ("pressure", "inH2O"): 2.490889e2, ("pressure", "bar"): 1e5,
    ("power", "hp"): 7.456999e2, ("power", "PS"): 7.354988e2,
    ("rotational_speed", "rpm"): 1.047198e-1,
    ("speed", "mph"): 4.4704e-1, ("speed", "km/h"): 2.777778e-1, ("speed", "ft/min"): 5.08e-3,
    ("volume_flow", "cfm"): 4.719474e-4, ("volume_flow", "gpm"): 6.309020e-5,
    ("charge", "Ah"): 3.6e3, ("time", "day"): 8.64e4,
    ("density", "lb/ft3"): 1.601846e1, ("density", "lb/in3"): 2.767990e4, ("density", "lb/gal"): 1.198264e2,
    ("volume", "gal"): 3.785412e-3, ("volume", "qt"): 9.463529e-4, ("volume", "pt"): 4.731765e-4,
    ("volume", "fl oz"): 2.957353e-5, ("volume", "cu in"): 1.638706e-5, ("volume", "cu ft"): 2.831685e-2,
    ("area", "in2"): 6.4516e-4, ("area", "ft2"): 9.290304e-2,
    ("specific_consumption", "lb/(hp*h)"): 1.689659e-7,
    ("acceleration", "g0"): 9.80665, ("acceleration", "ft/s2"): 3.048e-1,
    ("energy", "ft·lbf"): 1.355818, ("energy", "kWh"): 3.6e6,
    ("angle", "deg"): 1.745329e-2,
}  # fmt: skip

# Exact: international yard and pound agreement of 1959; US gallon of 231 cubic inches, NIST Handbook 44, appendix C;
# standard gravity, third General Conference on Weights and Measures, 1901.
EXACT = {
    ("length", "in"): "0.0254",
    ("length", "ft"): "0.3048",
    ("length", "mi"): "1609.344",
    ("mass", "lb"): "0.45359237",
    ("force", "lbf"): "4.4482216152605",
    ("volume", "gal"): "0.003785411784",
    ("acceleration", "g0"): "9.80665",
    ("power", "PS"): "735.49875",
}


@pytest.mark.parametrize(("dimension", "unit", "theirs"), PINT_PAIRS)
def test_factor_agrees_with_pint(dimension: str, unit: str, theirs: str) -> None:
    expected = REGISTRY.Quantity(1, theirs).to_base_units().magnitude
    assert UNITS[dimension][unit].factor == pytest.approx(expected, rel=1e-12)


def test_every_unit_is_judged() -> None:
    unjudged = {(dimension, unit) for dimension, units in UNITS.items() for unit in units if unit not in IN_PINT.get(dimension, {})}
    # A gauge is no factor (see test_wire_size.py); the temperature scales are judged by fixed points below.
    assert unjudged == {("wire_size", "AWG"), *(("temperature", unit) for unit in ("degF", "degC", "K"))}


@pytest.mark.parametrize(("unit", "expected"), NIST_SP_811.items())
def test_factor_agrees_with_nist(unit: tuple[str, str], expected: float) -> None:
    dimension, symbol = unit
    assert UNITS[dimension][symbol].factor == pytest.approx(expected, rel=5.1e-7)


@pytest.mark.parametrize(("unit", "expected"), EXACT.items())
def test_definition_is_exact(unit: tuple[str, str], expected: str) -> None:
    dimension, symbol = unit
    assert UNITS[dimension][symbol].scale == Fraction(expected)


@pytest.mark.parametrize(
    ("unit", "figure", "kelvin"),
    [
        # Ice point 0 degC = 32 degF = 273.15 K, absolute zero -459.67 degF: NIST SP 811 (2008), appendix B.
        ("degC", 0, 273.15),
        ("degF", 32, 273.15),
        ("degF", -459.67, 0),
        ("degC", -40, 233.15),
        ("degF", -40, 233.15),
        ("degF", 212, 373.15),
        ("K", 300, 300),
    ],
)
def test_temperature_scales_meet_their_fixed_points(unit: str, figure: float, kelvin: float) -> None:
    scale = UNITS["temperature"][unit]
    assert figure * scale.factor + scale.offset == pytest.approx(kelvin, rel=1e-14, abs=1e-12)


@pytest.mark.parametrize("unit", [unit for units in UNITS.values() for unit in units.values()], ids=lambda unit: unit.symbol)
def test_twin_is_a_unit_of_the_other_system(unit) -> None:  # type: ignore[no-untyped-def]
    home = next(units for units in UNITS.values() if any(candidate is unit for candidate in units.values()))
    allowed = {"us": {"metric", "both"}, "metric": {"us", "both"}, "both": {"both"}}[unit.system]
    assert home[unit.twin].system in allowed


def test_half_a_turn_is_pi() -> None:
    assert float(180 * UNITS["angle"]["deg"].scale) == math.pi
