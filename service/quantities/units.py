"""The units people use, each as an exact ratio to SI, with the spellings of its own.

A unit belongs to a dimension; the same letters may stand in several dimensions (`lb` is a mass and a force).
Ratios are exact fractions, so what is typed is converted with one rounding only.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

System = Literal["us", "metric"]

# Exact by definition: NIST SP 811 (2008), appendix B, and NIST Handbook 44, appendix C (US gallon, short ton).
INCH = Fraction("0.0254")
FOOT = 12 * INCH
MILE = 5280 * FOOT
POUND = Fraction("0.45359237")
OUNCE = POUND / 16
SHORT_TON = 2000 * POUND
GALLON = 231 * INCH**3
STANDARD_GRAVITY = Fraction("9.80665")
FAHRENHEIT_DEGREE = Fraction(5, 9)
ICE_POINT = Fraction("273.15")
FAHRENHEIT_ZERO = Fraction("459.67") * FAHRENHEIT_DEGREE
# Conventional columns, NIST SP 811 (2008), footnotes of appendix B: mercury 13 595.1 kg/m3, water 1000 kg/m3.
INCH_OF_MERCURY = Fraction("13595.1") * STANDARD_GRAVITY * INCH
INCH_OF_WATER = 1000 * STANDARD_GRAVITY * INCH

POUND_FORCE = POUND * STANDARD_GRAVITY
POUND_FOOT = POUND_FORCE * FOOT
POUND_INCH = POUND_FORCE * INCH
POUND_PER_SQUARE_INCH = POUND_FORCE / INCH**2
# 550 ft·lbf/s and 75 kgf·m/s: NIST SP 811 (2008), appendix B.8, power.
HORSEPOWER = 550 * POUND_FOOT
METRIC_HORSEPOWER = 75 * STANDARD_GRAVITY
LITER = Fraction(1, 1000)
CUBIC_CENTIMETER = Fraction(1, 1_000_000)
MINUTE = Fraction(60)
HOUR = Fraction(3600)
TURN = 2 * Fraction(math.pi)
DEGREE = TURN / 360


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of one dimension: SI value = typed number x `scale` + `zero`.

    `symbol` is the canonical spelling, `names` others that are read, folded as `spelling_key` does, `system` whose
    shop uses it, `twin` the unit of the other system that suits the same things. A wire gauge has no scale; its
    `scale` is 0.
    """

    symbol: str
    scale: Fraction
    system: Literal["us", "metric", "both"]
    twin: str
    names: tuple[str, ...] = ()
    zero: Fraction = Fraction(0)

    @property
    def factor(self) -> float:
        """SI units in one of this unit."""
        return float(self.scale)

    @property
    def offset(self) -> float:
        """SI value where this unit's scale reads zero; not zero only for temperatures."""
        return float(self.zero)

    @property
    def typeset(self) -> str:
        """The symbol as a book prints it: `mm²`, `Ω`, `°C`; empty for the pure number."""
        if self.symbol in _TYPESET:
            return _TYPESET[self.symbol]
        raised = re.sub(r"(?<=[mnst])[23]\b", lambda digit: _RAISED[digit[0]], self.symbol)
        return raised.replace("*", "·").replace("ohm", "Ω")


_RAISED = {"2": "²", "3": "³"}
_TYPESET = {"1": "", "deg": "°", "degC": "°C", "degF": "°F", "g0": "g", "inH2O": "inH₂O"}


def _us(symbol: str, scale: Fraction, twin: str, names: str = "", zero: Fraction = Fraction(0)) -> Unit:
    return Unit(symbol, scale, "us", twin, tuple(names.split()), zero)


def _metric(symbol: str, scale: Fraction | int, twin: str, names: str = "", zero: Fraction = Fraction(0)) -> Unit:
    return Unit(symbol, Fraction(scale), "metric", twin, tuple(names.split()), zero)


def _both(symbol: str, scale: Fraction | int, names: str = "") -> Unit:
    return Unit(symbol, Fraction(scale), "both", symbol, tuple(names.split()))


def _milli(count: int) -> Fraction:
    return Fraction(count, 1000)


_TABLE: dict[str, tuple[Unit, ...]] = {
    "length": (
        _us("in", INCH, "mm", "\" ''"),
        _metric("mm", _milli(1), "in"),
        _metric("cm", _milli(10), "in"),
        _metric("m", 1, "ft"),
        _us("ft", FOOT, "m", "'"),
        _us("mi", MILE, "km"),
        _metric("km", 1000, "mi"),
        _us("thou", INCH / 1000, "mm"),
        _metric("um", Fraction(1, 1_000_000), "thou", "micron microns"),
    ),
    "angle": (_both("deg", DEGREE, "degs degree degrees"), _both("rad", 1, "radian radians")),
    "mass": (
        _us("lb", POUND, "kg", "lbm"),
        _metric("kg", 1, "lb"),
        _metric("g", _milli(1), "oz"),
        _us("oz", OUNCE, "g"),
        _us("ton", SHORT_TON, "kg", "short*ton"),
        _metric("tonne", 1000, "ton", "metric*ton"),
    ),
    "force": (
        _us("lbf", POUND_FORCE, "N", "lb lb*force"),
        _metric("N", 1, "lbf"),
        _metric("kN", 1000, "lbf"),
        _metric("kgf", STANDARD_GRAVITY, "lbf", "kg kp"),
    ),
    "torque": (
        _us("lb·ft", POUND_FOOT, "N·m", "lbf*ft ft*lb ft*lbf lbft ftlb ftlbs lbfft"),
        _metric("N·m", 1, "lb·ft", "Nm"),
        _us("lb·in", POUND_INCH, "N·m", "lbf*in in*lb in*lbf lbin inlb inlbs"),
        _metric("kgf·m", STANDARD_GRAVITY, "lb·ft", "kg*m kgm kgfm"),
    ),
    "stiffness": (
        _us("lb/in", POUND_FORCE / INCH, "N/mm", "lbf/in"),
        _metric("N/mm", 1000, "lb/in"),
        _metric("N/m", 1, "lb/in"),
        _metric("kN/m", 1000, "lb/in"),
        _metric("kgf/mm", 1000 * STANDARD_GRAVITY, "lb/in", "kg/mm"),
        _us("lb/ft", POUND_FORCE / FOOT, "N/m", "lbf/ft"),
    ),
    "pressure": (
        _us("psi", POUND_PER_SQUARE_INCH, "kPa", "lb/in2 lbf/in2 lb/sq*in"),
        _metric("kPa", 1000, "psi"),
        _metric("bar", 100_000, "psi", "bars"),
        _metric("MPa", 1_000_000, "psi", "N/mm2"),
        _us("inHg", INCH_OF_MERCURY, "kPa", 'in*Hg in*of*mercury "*Hg "Hg'),
        _metric("Pa", 1, "inH2O", "N/m2"),
        _us("inH2O", INCH_OF_WATER, "Pa", "in*H2O in*of*water"),
        _us("ksi", 1000 * POUND_PER_SQUARE_INCH, "MPa"),
        _metric("GPa", 1_000_000_000, "ksi"),
    ),
    "power": (
        _us("hp", HORSEPOWER, "kW"),
        _metric("kW", 1000, "hp"),
        _metric("PS", METRIC_HORSEPOWER, "hp"),
        _both("W", 1),
    ),
    "rotational_speed": (
        _both("rpm", TURN / MINUTE, "r/min rev/min 1/min"),
        _both("rad/s", 1),
    ),
    "speed": (
        _us("mph", MILE / HOUR, "km/h", "mi/h"),
        _metric("km/h", Fraction(5, 18), "mph", "kph kmh kmph"),
        _metric("m/s", 1, "mph"),
        _us("ft/min", FOOT / MINUTE, "m/s", "fpm"),
        _us("ft/s", FOOT, "m/s", "fps"),
    ),
    "volume_flow": (
        _us("cfm", FOOT**3 / MINUTE, "L/s", "ft3/min cu*ft/min"),
        _metric("L/min", LITER / MINUTE, "gpm", "lpm"),
        _us("gph", GALLON / HOUR, "L/h", "gal/h"),
        _metric("L/h", LITER / HOUR, "gph", "lph"),
        _both("cc/min", CUBIC_CENTIMETER / MINUTE, "cm3/min mL/min ccm"),
        _metric("m3/s", 1, "cfm"),
        _us("gpm", GALLON / MINUTE, "L/min", "gal/min"),
        _metric("m3/h", 1 / HOUR, "cfm"),
        _metric("L/s", LITER, "cfm"),
    ),
    "mass_flow": (
        _us("lb/h", POUND / HOUR, "kg/h", "pph"),
        _metric("g/s", _milli(1), "lb/min"),
        _us("lb/min", POUND / MINUTE, "kg/s"),
        _metric("kg/h", 1 / HOUR, "lb/h"),
        _metric("kg/s", 1, "lb/min"),
    ),
    "temperature": (
        _us("degF", FAHRENHEIT_DEGREE, "degC", "F deg*F", FAHRENHEIT_ZERO),
        _metric("degC", 1, "degF", "C deg*C", ICE_POINT),
        _metric("K", 1, "degF"),
    ),
    "temperature_difference": (
        _us("degF", FAHRENHEIT_DEGREE, "K", "F deg*F"),
        _metric("K", 1, "degF"),
        _metric("degC", 1, "degF", "C deg*C"),
    ),
    "voltage": (
        _both("V", 1),
        _both("mV", _milli(1)),
        _both("kV", 1000, "kilovolt kilovolts"),
    ),
    "current": (
        _both("A", 1),
        _both("mA", _milli(1)),
    ),
    "resistance": (
        _both("ohm", 1),
        _both("mohm", _milli(1)),
        _both("kohm", 1000),
    ),
    "charge": (
        _both("Ah", HOUR, "A*h"),
        _both("mAh", _milli(1) * HOUR, "mA*h"),
        _both("A·s", 1, "As C coulomb coulombs"),
    ),
    "time": (
        _both("s", 1),
        _both("min", MINUTE),
        _both("h", HOUR),
        _both("day", 24 * HOUR, "d"),
        _both("ms", _milli(1), "millisecond milliseconds"),
    ),
    "density": (
        _us("lb/ft3", POUND / FOOT**3, "kg/m3", "lb/cu*ft"),
        _metric("kg/m3", 1, "lb/ft3"),
        _us("lb/in3", POUND / INCH**3, "g/cc", "lb/cu*in"),
        _metric("g/cc", 1000, "lb/in3", "g/cm3 g/mL"),
        _us("lb/gal", POUND / GALLON, "kg/L"),
        _metric("kg/L", 1000, "lb/gal"),
    ),
    "volume": (
        _both("cc", CUBIC_CENTIMETER, "cm3 mL ccs"),
        _metric("L", LITER, "gal"),
        _us("cu in", INCH**3, "L", "cid in3 ci cui"),
        _us("gal", GALLON, "L"),
        _us("qt", GALLON / 4, "L"),
        _us("pt", GALLON / 8, "L"),
        _us("fl oz", GALLON / 128, "cc", "floz"),
        _us("cu ft", FOOT**3, "L", "ft3"),
        _metric("m3", 1, "cu ft"),
    ),
    "area": (
        _us("in2", INCH**2, "cm2", "sq*in"),
        _metric("mm2", CUBIC_CENTIMETER, "in2", "sq*mm"),
        _metric("cm2", CUBIC_CENTIMETER * 100, "in2", "sq*cm"),
        _metric("m2", 1, "ft2", "sq*m"),
        _us("ft2", FOOT**2, "m2", "sq*ft"),
    ),
    "wire_size": (
        _us("AWG", Fraction(0), "mm2", "ga gauge"),
        _metric("mm2", CUBIC_CENTIMETER, "AWG", "sq*mm"),
    ),
    "thermal_conductance": (
        _both("W/K", 1, "W/degC W/C"),
        _both("kW/K", 1000, "kW/degC kW/C"),
    ),
    "specific_consumption": (
        _us("lb/(hp*h)", POUND / (HORSEPOWER * HOUR), "g/(kW*h)", "lb/hp*h lb/hph lb/hphr lb/hp/h"),
        _metric("g/(kW*h)", _milli(1) / (1000 * HOUR), "lb/(hp*h)", "g/kW*h g/kWh g/kW/h"),
    ),
    "acceleration": (
        _both("g0", STANDARD_GRAVITY, "g gee gees"),
        _metric("m/s2", 1, "ft/s2"),
        _us("ft/s2", FOOT, "m/s2"),
    ),
    "angular_acceleration": (_both("rad/s2", 1), _both("deg/s2", DEGREE)),
    "power_density": (
        _us("hp/cu in", HORSEPOWER / INCH**3, "kW/L", "hp/cid hp/in3 hp/ci"),
        _metric("kW/L", 1000 / LITER, "hp/cu in"),
        _us("hp/L", HORSEPOWER / LITER, "kW/L"),
        _metric("W/m3", 1, "hp/cu in"),
    ),
    "energy": (
        _us("ft·lbf", POUND_FOOT, "J", "ft*lb lb*ft lbf*ft"),
        _metric("J", 1, "ft·lbf", "N*m Nm"),
        _metric("kJ", 1000, "ft·lbf"),
        _metric("MJ", 1_000_000, "ft·lbf", "megajoule megajoules"),
        _both("kWh", 1000 * HOUR, "kW*h"),
    ),
    "frequency": (_both("Hz", 1, "hertz 1/s"), _both("kHz", 1000), _both("cpm", 1 / MINUTE)),
    "roll_stiffness": (
        _us("lb·ft/deg", POUND_FOOT / DEGREE, "N·m/deg", "lbf*ft/deg ft*lb/deg ft*lbf/deg lbft/deg"),
        _metric("N·m/deg", 1 / DEGREE, "lb·ft/deg", "Nm/deg"),
        _metric("N·m/rad", 1, "lb·ft/deg", "Nm/rad"),
        _us("lb·in/deg", POUND_INCH / DEGREE, "N·m/deg", "lbf*in/deg in*lb/deg in*lbf/deg"),
    ),
    "dimensionless": (_both("1", 1, ":1 to*1"), _both("%", Fraction(1, 100), "percent pct")),
}

UNITS: Mapping[str, Mapping[str, Unit]] = {dimension: {unit.symbol: unit for unit in units} for dimension, units in _TABLE.items()}
DIMENSIONS: tuple[str, ...] = tuple(UNITS)


def units_of(dimension: str) -> list[str]:
    """Canonical spellings of a dimension's units, the usual ones first. KeyError for a dimension not in `DIMENSIONS`."""
    return list(UNITS[dimension])
