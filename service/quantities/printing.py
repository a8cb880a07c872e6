"""SI values -> text for people, in the unit and the system of units they work in."""

import math
import re
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from .reading import Quantity, QuantityError, read
from .spelling import find_unit
from .units import UNITS, System, Unit, units_of
from .wire_size import gauge_name, gauge_number, gauge_of

_MINUS = "\u2212"
_THIN_SPACE = "\u202f"
# Below this a printed figure is the dust of floating-point arithmetic (chosen here).
_DUST = 1e-9
# Unit of each dimension when no field says what fits: (US shop, metric shop); common practice.
_USUAL = {
    "temperature_difference": ("degF", "K"),
    "thermal_conductance": ("kW/K", "kW/K"),
    "area": ("in2", "mm2"),
    "volume": ("cu in", "L"),
    "acceleration": ("g0", "g0"),
}
_OTHER: dict[System, System] = {"us": "metric", "metric": "us"}
_CLOSED_UP = frozenset({"%", "deg"})

Direction = Literal["up", "down", "nearest"]


def _unit(dimension: str, unit: str) -> Unit:
    found = find_unit(unit, dimension)
    if found is None:
        raise QuantityError(f"{unit!r} is not a unit of {dimension}; use {', '.join(units_of(dimension))}")
    return found


def in_unit(si: float, dimension: str, unit: str) -> float:
    """The figure in `unit` of an SI value; for AWG the gauge number, not rounded (0 is 1/0, -3 is 4/0).

    Raises QuantityError for a unit of another dimension, ValueError or OverflowError for a value that is not finite.

    >>> in_unit(0.0254, "length", "mm")
    25.4
    """
    found = _unit(dimension, unit)
    if found.symbol == "AWG":
        return gauge_number(si)
    numerator, denominator = si.as_integer_ratio()
    scale, zero = found.scale, found.zero
    if zero:
        numerator = numerator * zero.denominator - zero.numerator * denominator
        denominator *= zero.denominator
    return numerator * scale.denominator / (denominator * scale.numerator)


def exact(si: float, dimension: str, unit: str) -> str:
    """Text in `unit` that `read` turns back into the same float, to 1e-12 of it. For machines, not for people.

    An area that is no AWG size is given in mm2 even where AWG was asked for.

    >>> exact(0.086868, "length", "in"), exact(0.0868, "length", "in")
    ('3.42 in', '3.4173228346456694 in')
    """
    found = _unit(dimension, unit)
    if found.symbol == "AWG":
        gauge = gauge_of(si)
        if gauge is not None and math.isclose(read(gauge_name(gauge), dimension).si, si, rel_tol=1e-12):
            return gauge_name(gauge)
        found = UNITS[dimension]["mm2"]
    value = in_unit(si, dimension, found.symbol)
    for digits in (15, 16, 17):
        text = _joined(format(value, f".{digits}g"), found, typeset=False)
        if read(text, dimension).si == si:
            break
    return text


def show(si: float, dimension: str, unit: str, typeset: bool = False) -> str:
    """The SI value in `unit`, rounded for people: `5,130 rpm`, `3.42 in`, `86.9 mm`.

    Four significant figures, three where the figure begins with 5 to 9 and is below 1000 (so that rounding stays
    within 0.1 %), temperatures to a tenth. `typeset` uses the true minus, narrow no-break spaces and the unit's
    printed form (`2.4°`). A wire size prints as AWG only if the area is one, else in mm2.

    >>> show(537.2, "rotational_speed", "rpm"), show(0.0174533, "angle", "deg", typeset=True)
    ('5,130 rpm', '1°')
    """
    found = _unit(dimension, unit)
    if found.symbol == "AWG":
        gauge = gauge_of(si)
        if gauge is not None:
            return gauge_name(gauge).replace(" ", _THIN_SPACE) if typeset else gauge_name(gauge)
        found = UNITS[dimension]["mm2"]
    figure = _figure(in_unit(si, dimension, found.symbol), most_decimals=1 if dimension == "temperature" else 12)
    return _joined(figure, found, typeset)


def _figure(value: float, most_decimals: int) -> str:
    """The number rounded for people, with thousands marks and without an exponent."""
    if abs(value) < _DUST:
        return "0"
    mantissa, exponent = f"{value:.3e}".lstrip("-").split("e")
    digits = 3 if mantissa >= "5" and int(exponent) < 3 else 4
    last_place = Decimal(1).scaleb(-min(digits - 1 - int(exponent), most_decimals))
    # Half up, and on the decimal figure: 28.575 mm is 28.58 mm to anyone who checks it by hand.
    text = f"{Decimal(repr(value)).quantize(last_place, ROUND_HALF_UP):,f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _joined(figure: str, unit: Unit, typeset: bool) -> str:
    if not typeset:
        return figure if unit.symbol == "1" else f"{figure} {unit.symbol}"
    space = "" if unit.symbol in _CLOSED_UP or not unit.typeset else _THIN_SPACE
    return f"{figure.replace('-', _MINUS)}{space}{unit.typeset.replace(' ', _THIN_SPACE)}"


def preferred(dimension: str, system: System, like: str | None = None) -> str:
    """The unit in which a shop of that system reads a value.

    `like` is the unit that suits the field, of either system: with `m` a US shop reads feet, with `mm` inches.

    >>> preferred("length", "us", like="m"), preferred("torque", "metric")
    ('ft', 'N·m')
    """
    if like is not None:
        unit = _unit(dimension, like)
        return unit.symbol if unit.system in (system, "both") else unit.twin
    if dimension in _USUAL:
        return _USUAL[dimension][system == "metric"]
    return next(unit.symbol for unit in UNITS[dimension].values() if unit.system in (system, "both"))


def both(si: float, dimension: str, system: System, like: str | None = None, typeset: bool = False) -> str:
    """The value in the shop's system, the other in parentheses; once where both use one unit. `like` as in `preferred`.

    >>> both(0.086868, "length", "us")
    '3.42 in (86.9 mm)'
    """
    own_unit, other_unit = preferred(dimension, system, like), preferred(dimension, _OTHER[system], like)
    own = show(si, dimension, own_unit, typeset)
    other = show(si, dimension, other_unit, typeset)
    return own if own == other else f"{own} ({other})"


def both_typed(quantity: Quantity, dimension: str, system: System, typeset: bool = False) -> str:
    """As `both`, with the text as typed, fractions and all, in its place.

    >>> both_typed(read("1 1/8 in", "length"), "length", "metric")
    '28.58 mm (1 1/8 in)'
    """
    unit = _unit(dimension, quantity.unit)
    typed, twin = quantity.text.strip(), show(quantity.si, dimension, unit.twin, typeset)
    if twin == show(quantity.si, dimension, unit.symbol, typeset):
        return typed
    return f"{typed} ({twin})" if unit.system == system else f"{twin} ({typed})"


_TYPED_NUMBER = re.compile(r"[\d\s/.,+½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒−-]+")


def respelled(text: str, dimension: str) -> str:
    """What was typed, its tolerance left off, with the number as it stands and the unit in its canonical spelling.

    Feet and inches, and a unit written with signs that are no spelling of it, stay as typed.

    >>> respelled("60 N*m ± 2 N*m", "torque"), respelled("1-1/8 inches", "length")
    ('60 N·m', '1-1/8 in')
    """
    alone = text.split("±")[0].split("+/-")[0].strip()
    number = _TYPED_NUMBER.match(alone)
    unit = find_unit(alone[number.end() :].strip(), dimension) if number else None
    if number is None or unit is None or unit.symbol == "1":
        return alone
    return _joined(number.group().strip(), unit, typeset=False)


def show_fraction(si: float, denominator: int = 16, typeset: bool = False) -> str:
    """A length in m to the nearest 1/`denominator` inch (16, 32, 64), as a fraction.

    >>> show_fraction(0.031, 32)
    '1 7/32 in'
    """
    steps = round(_steps(si, denominator))
    whole, top = divmod(abs(steps), denominator)
    shared = math.gcd(top, denominator)
    fraction = f"{top // shared}/{denominator // shared}" if top else ""
    figure = " ".join(part for part in (str(whole) if whole or not top else "", fraction) if part)
    return _joined(f"-{figure}" if steps < 0 else figure, UNITS["length"]["in"], typeset)


def round_fraction(si: float, denominator: int, direction: Direction) -> float:
    """A length in m moved to a multiple of 1/`denominator` inch: `up` (toward +), `down` (toward -) or `nearest`, in m.

    A length that is such a multiple already, to a billionth of a step, stays.

    >>> show_fraction(round_fraction(0.086868, 8, "up"), 8)
    '3 1/2 in'
    """
    steps = _steps(si, denominator)
    nearest = round(steps)
    if direction == "nearest" or math.isclose(steps, nearest, rel_tol=1e-9, abs_tol=1e-9):
        whole = nearest
    else:
        whole = math.ceil(steps) if direction == "up" else math.floor(steps)
    inch = UNITS["length"]["in"].scale
    return whole * inch.numerator / (denominator * inch.denominator)


def _steps(si: float, denominator: int) -> float:
    if denominator < 1:
        raise ValueError(f"the denominator of a fraction of an inch is at least 1, not {denominator}")
    return in_unit(si, "length", "in") * denominator
