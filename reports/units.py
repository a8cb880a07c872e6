"""SI numbers of the drawings in the reader's units, the other system in parentheses. Conversion only, no physics.

Factors: NIST SP 811 (2008), appendix B.8: inch, pound, mile and US gallon are exact by definition; standard gravity
9.80665 m/s²; mechanical horsepower 550 ft·lbf/s.
"""

from __future__ import annotations

from math import degrees, floor, log10

from reports.typography import MINUS, NARROW_SPACE

INCH = 0.0254
MILE_PER_HOUR = 1609.344 / 3600
KILOMETER_PER_HOUR = 1 / 3.6
POUND = 0.45359237
POUND_FORCE = POUND * 9.80665
HORSEPOWER = 550 * 12 * INCH * POUND_FORCE
REVOLUTION_PER_MINUTE = 0.10471975511965978
CELSIUS_ZERO = 273.15


def rounded(value: float, figures: int = 3) -> str:
    """About `figures` significant figures, never fewer than the whole number, thousands with commas, true minus."""
    places = 0 if value == 0 else max(0, figures - 1 - floor(log10(abs(value))))
    text = f"{value:,.{places}f}"
    if not text.strip("-0.,"):
        text = "0"
    return text.replace("-", MINUS)


def _pair(us: str, metric: str, system: str) -> str:
    return f"{us} ({metric})" if system != "metric" else f"{metric} ({us})"


def _with(value: float, unit: str, figures: int = 3) -> str:
    return f"{rounded(value, figures)}{NARROW_SPACE}{unit}"


def length(meters: float, system: str) -> str:
    """`3.42 in (86.9 mm)`."""
    inches = meters / INCH
    us = f"{inches:.2f}".replace("-", MINUS) + f"{NARROW_SPACE}in" if abs(inches) < 100 else _with(inches, "in")
    millimeters = meters * 1000
    metric = f"{millimeters:,.1f}" if abs(millimeters) < 100 else f"{millimeters:,.0f}"
    return _pair(us, f"{metric.replace('-', MINUS)}{NARROW_SPACE}mm", system)


def angle(radians: float, signed: bool = False) -> str:
    """`2.4°`."""
    text = f"{degrees(radians):+.1f}" if signed else f"{degrees(radians):.1f}"
    return f"{'0.0' if float(text) == 0 else text}°".replace("-", MINUS)


def speed(meters_per_second: float, system: str) -> str:
    """`65 mph (105 km/h)`."""
    return _pair(f"{meters_per_second / MILE_PER_HOUR:.0f}{NARROW_SPACE}mph",
                 f"{meters_per_second / KILOMETER_PER_HOUR:.0f}{NARROW_SPACE}km/h", system)


def rotation(radians_per_second: float) -> str:
    """`2,320 rpm`, to ten."""
    return f"{round(radians_per_second / REVOLUTION_PER_MINUTE, -1):,.0f}{NARROW_SPACE}rpm"


def mass(kilograms: float, system: str) -> str:
    """`1,020 lb (463 kg)`."""
    return _pair(f"{kilograms / POUND:,.0f}{NARROW_SPACE}lb", f"{kilograms:,.0f}{NARROW_SPACE}kg", system)


def force(newtons: float, system: str) -> str:
    """`1,240 lbf (5.5 kN)`."""
    return _pair(f"{newtons / POUND_FORCE:,.0f}{NARROW_SPACE}lbf", _with(newtons / 1000, "kN", 2), system)


def power(watts: float, system: str) -> str:
    """`85 hp (64 kW)`."""
    return _pair(_with(watts / HORSEPOWER, "hp", 2), _with(watts / 1000, "kW", 2), system)


def temperature(kelvin: float, system: str) -> str:
    """`187 °F (86 °C)`."""
    celsius = kelvin - CELSIUS_ZERO
    return _pair(f"{celsius * 1.8 + 32:.0f}{NARROW_SPACE}°F".replace("-", MINUS),
                 f"{celsius:.0f}{NARROW_SPACE}°C".replace("-", MINUS), system)


def voltage(volts: float) -> str:
    """`0.42 V`."""
    return f"{volts:.2f}{NARROW_SPACE}V"


def hours(seconds: float) -> str:
    """`6.5 h`."""
    return f"{seconds / 3600:.1f}".rstrip("0").rstrip(".") + f"{NARROW_SPACE}h"


#: Units of computed values with the unit of the other system beside them: SI of one, that unit, SI of one of it.
_TWINS = {
    "in": (INCH, "mm", 0.001), "mm": (0.001, "in", INCH), "ft": (12 * INCH, "m", 1.0), "m": (1.0, "ft", 12 * INCH),
    "lb": (POUND, "kg", 1.0), "kg": (1.0, "lb", POUND), "lbf": (POUND_FORCE, "N", 1.0), "N": (1.0, "lbf", POUND_FORCE),
    "kN": (1000.0, "lbf", POUND_FORCE), "lb·ft": (POUND_FORCE * 12 * INCH, "N·m", 1.0), "N·m": (1.0, "lb·ft", POUND_FORCE * 12 * INCH),
    "lb/in": (POUND_FORCE / INCH, "N/mm", 1000.0), "N/mm": (1000.0, "lb/in", POUND_FORCE / INCH),
    "psi": (POUND_FORCE / INCH**2, "kPa", 1000.0), "kPa": (1000.0, "psi", POUND_FORCE / INCH**2), "MPa": (1e6, "psi", POUND_FORCE / INCH**2),
    "mph": (MILE_PER_HOUR, "km/h", KILOMETER_PER_HOUR), "km/h": (KILOMETER_PER_HOUR, "mph", MILE_PER_HOUR),
    "hp": (HORSEPOWER, "kW", 1000.0), "kW": (1000.0, "hp", HORSEPOWER), "mi": (1609.344, "km", 1000.0), "km": (1000.0, "mi", 1609.344),
}
#: Decimals of an inch figure below a hundredth, below a tenth, below one inch, and above: fits are read in thousandths, gaps in hundredths.
_INCH_DECIMALS = ((0.01, 4), (0.1, 3), (1.0, 3))


def with_twin(printed: str, si: object, unit: str) -> str:
    """A computed value as printed, with the other system's figure in parentheses: `1.22 in (31 mm)`; as it is where there is none."""
    twin = _TWINS.get(unit)
    if twin is None or isinstance(si, bool) or not isinstance(si, (int, float)):
        return printed
    own = f"{inches(si / INCH)}{NARROW_SPACE}in" if unit == "in" else printed
    return f"{own} ({_plain(si / twin[2], twin[1])}{NARROW_SPACE}{twin[1]})"


def inches(value: float) -> str:
    """An inch figure with the decimals that are read at its size: `2.29`, `0.394`, `0.052`, `0.0028`."""
    decimals = next((places for end, places in _INCH_DECIMALS if abs(value) < end), 2)
    text = f"{value:,.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text.replace("-", MINUS)


def _plain(value: float, unit: str) -> str:
    """About three figures, inches by their own rule, without needless zeros."""
    if unit == "in":
        return inches(value)
    text = rounded(value, 3)
    return text.rstrip("0").rstrip(".") if "." in text else text
