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
