"""How people spell units: one key for the many ways to write a compound, and the unit that a spelling means."""

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

from .units import UNITS, Unit

# Here the case of the first letter is an SI prefix (milli or mega) and changes the value by a factor of 10^9.
PREFIX_CASE = frozenset({"mV", "mA", "mAh", "mA*h", "mohm", "mohms", "MPa", "MJ", "mL", "mL/min", "ms"})

# Words that stand for a symbol wherever they occur in a unit, so that `pounds per hour` needs no row of its own.
_WORDS = {
    word: symbol
    for symbol, words in {
        "in": "inch inches",
        "mm": "millimeter millimeters millimetre millimetres",
        "cm": "centimeter centimeters centimetre centimetres",
        "m": "meter meters metre metres",
        "ft": "foot feet",
        "mi": "mile miles",
        "km": "kilometer kilometers kilometre kilometres",
        "deg": "degs degree degrees",
        "lb": "lbs pound pounds",
        "kg": "kgs kilo kilos kilogram kilograms",
        "g": "gram grams",
        "oz": "ounce ounces",
        "ton": "tons",
        "tonne": "tonnes",
        "N": "newton newtons",
        "Pa": "pascal pascals",
        "kPa": "kilopascal kilopascals",
        "MPa": "megapascal megapascals",
        "hp": "bhp horsepower",
        "W": "watt watts",
        "kW": "kilowatt kilowatts",
        "s": "sec secs second seconds",
        "min": "mins minute minutes",
        "h": "hr hrs hour hours",
        "day": "days",
        "L": "liter liters litre litres",
        "gal": "gals gallon gallons",
        "qt": "qts quart quarts",
        "pt": "pts pint pints",
        "mL": "milliliter milliliters millilitre millilitres",
        "V": "volt volts",
        "mV": "millivolt millivolts",
        "A": "amp amps ampere amperes",
        "mA": "milliamp milliamps milliampere milliamperes",
        "ohm": "ohms",
        "mohm": "mohms milliohm milliohms",
        "kohm": "kohms kilohm kilohms",
        "J": "joule joules",
        "kJ": "kilojoule kilojoules",
        "sq": "square",
        "cu": "cubic",
        "rad": "radian radians",
        "K": "kelvin",
        "C": "celsius",
        "F": "fahrenheit",
        "rev": "revs",
    }.items()
    for word in words.split()
}


def spelling_key(text: str) -> str:
    """Fold the ways to write one compound unit into one key: `ft. lbs`, `ft-lbs`, `ft·lbs` -> `ft*lbs`.

    Powers lose their mark (`in^3` -> `in3`), parentheses go, `per` becomes `/`. Case is kept.

    >>> spelling_key("ft. lbs"), spelling_key("lb/(hp·h)"), spelling_key("gallons per hour")
    ('ft*lb', 'lb/hp*h', 'gal/h')
    """
    key = re.sub(r"\(([^()]*)\)", r"\1", text.strip().removesuffix("."))
    key = key.replace("**", "").replace("^", "")
    key = re.sub(r"\s*\bper\b\s*", "/", key)
    key = re.sub(r"\s*([/:])\s*", r"\1", key)
    key = re.sub(r"[\s*·.-]+", "*", key)
    return re.sub(r"[A-Za-z]{2,}", lambda word: _WORDS.get(word[0].casefold(), word[0]), key)


def _spellings(units: Iterable[Unit]) -> dict[str, Unit]:
    table: dict[str, Unit] = {}
    for unit in units:
        for name in (unit.symbol, spelling_key(unit.symbol), *unit.names):
            if table.setdefault(name, unit) is not unit:
                raise ValueError(f"{name!r} names two units: {table[name].symbol} and {unit.symbol}")
    return table


def _folded(spellings: Mapping[str, Unit]) -> dict[str, tuple[Unit, str]]:
    table: dict[str, tuple[Unit, str]] = {}
    for name, unit in spellings.items():
        if table.setdefault(name.casefold(), (unit, name))[0] is not unit:
            raise ValueError(f"{name!r} differs only by case from a spelling of another unit")
    return table


SPELLINGS: Mapping[str, Mapping[str, Unit]] = {name: _spellings(units.values()) for name, units in UNITS.items()}
_FOLDED = {name: _folded(spellings) for name, spellings in SPELLINGS.items()}


@lru_cache(maxsize=1024)
def find_unit(text: str, dimension: str) -> Unit | None:
    """The unit of `dimension` that `text` spells, or None. Case matters only where it is an SI prefix."""
    unit = SPELLINGS[dimension].get(text)
    if unit is not None:
        return unit
    key = spelling_key(text.removeprefix("-"))
    unit = SPELLINGS[dimension].get(key)
    if unit is not None:
        return unit
    unit, name = _FOLDED[dimension].get(key.casefold(), (None, ""))
    if name in PREFIX_CASE and name[0] != key[0]:
        return None
    return unit
