"""What a person typed -> an SI value, its tolerance and its unit."""

import math
import re
from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from .spelling import PREFIX_CASE, SPELLINGS, find_unit
from .units import DIMENSIONS, UNITS, Unit, units_of
from .wire_size import gauge_area, read_gauge

LONGEST_TEXT = 200  # characters; far above any quantity with a tolerance, and it bounds the work on hostile text
_LARGEST_EXPONENT = 300
_SHOWN = 40

# The scale of a temperature begins elsewhere, so its tolerance is a difference.
_TOLERANCE_DIMENSION = {"temperature": "temperature_difference"}

_NUMBER = re.compile(
    r"""\s*(?P<sign>[+-]?)\s*
    (?:(?:(?P<whole>[1-9]\d{0,2}(?:,\d{3})+(?!\d)|\d+)(?:\s+|-))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)
    |(?P<integer>[1-9]\d{0,2}(?:,\d{3})+(?!\d)|\d*)(?:\.(?P<decimals>\d*))?(?:[eE](?P<exponent>[+-]?\d+))?)\s*""",
    re.VERBOSE | re.ASCII,
)
_FEET_INCHES = re.compile(r"(?:'|ft\.?|feet|foot)\s*-?\s*(?P<inches>[\d.].*?)\s*(?:\"|''|in\.?|inch|inches)?", re.IGNORECASE | re.ASCII)
_PLUS_MINUS = re.compile(r"±|\+\s*/\s*-|\+-")
_NOT_FINITE = re.compile(r"[+-]?\s*(?:(?:nan|inf(?:inity)?)\b|∞)", re.IGNORECASE)
_VULGAR = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
    "⅙": "1/6", "⅚": "5/6", "⅐": "1/7", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅑": "1/9", "⅒": "1/10",
}  # fmt: skip
_BEFORE_VULGAR = re.compile(rf"(?<=\d)[\s-]?(?=[{''.join(_VULGAR)}])")
# What keyboards, word processors and spreadsheets put in place of the plain signs.
_PLAIN = str.maketrans(
    _VULGAR
    | dict.fromkeys("\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000", " ")
    | dict.fromkeys("\u200b\u200c\u200d\u200e\u200f\u2060\ufeff", "")
    | dict.fromkeys("\u2018\u2019\u201a\u201b\u2032\u02b9\u02bc\u00b4", "'")
    | dict.fromkeys("\u201c\u201d\u201e\u201f\u2033\u02ba", '"')
    | dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\ufe63\uff0d", "-")
    | dict.fromkeys("\u00b7\u22c5\u2219\u2022\u00d7\u2217", "*")
    | dict.fromkeys("\u2044\u2215\uff0f", "/")
    | dict.fromkeys("\u00b0\u00ba\u02da", "deg")
    | dict.fromkeys("\u03a9\u2126", "ohm")
    | dict.fromkeys("\u00b5\u03bc", "u")
    | {"²": "2", "³": "3", "₂": "2", "℃": "degC", "℉": "degF", "\uff0b": "+", "\uff05": "%"}
)


class QuantityError(ValueError):
    """A text that is no quantity of the wanted dimension; the message says what is wrong and which units fit."""


class Quantity(NamedTuple):
    """A quantity as it was stated.

    `si` and `tolerance` (absolute, ±, None if not stated) are in SI: K for temperature, rad for angle, A·s for charge,
    m2 for wire size. `text` is what was typed, to be shown back unchanged; `read(text, dimension)` gives the same
    quantity again. `unit` is the canonical spelling of the unit typed.
    """

    si: float
    tolerance: float | None
    text: str
    unit: str


def read(raw: object, dimension: str, tolerance: object = None) -> Quantity:
    """Read a quantity from the wire or from a form.

    `raw` is text (`52 3/4 in ± 0.1 in`), a mapping with `value`, `unit` and perhaps `tolerance`, or, where the
    dimension is dimensionless, a number. `tolerance` is a quantity of the same dimension (for a temperature, of a
    difference).

    Raises QuantityError for anything else, KeyError for a dimension that is not in `DIMENSIONS`.

    >>> read("52 3/4 in ± 0.1 in", "length")
    Quantity(si=1.33985, tolerance=0.00254, text='52 3/4 in ± 0.1 in', unit='in')
    >>> read("58 psi", "length")
    Traceback (most recent call last):
    service.quantities.reading.QuantityError: "psi" is a unit of pressure, not of length; use in, mm, cm, m, ft, mi, km, thou or um
    """
    if isinstance(raw, Mapping) and raw.get("tolerance") is not None:
        if tolerance is not None:
            raise QuantityError("the tolerance is stated twice")
        tolerance = raw["tolerance"]
    quantity = _read_text(_as_text(raw, dimension), dimension)
    if tolerance is None:
        return quantity
    if quantity.tolerance is not None:
        raise QuantityError(f"the tolerance of {_quoted(quantity.text)} is stated twice")
    margin = _read_tolerance(tolerance, dimension)
    if margin.unit == "%" != quantity.unit:
        raise QuantityError(_not_absolute(quantity.text))
    return Quantity(quantity.si, margin.si, f"{quantity.text} ± {margin.text}", quantity.unit)


def _read_tolerance(raw: object, dimension: str) -> Quantity:
    dimension = _TOLERANCE_DIMENSION.get(dimension, dimension)
    if isinstance(raw, str):
        raw = _PLUS_MINUS.sub("", raw, count=1).strip() if _PLUS_MINUS.match(raw.lstrip()) else raw
    elif isinstance(raw, Mapping) and raw.get("tolerance") is not None:
        raise QuantityError("a tolerance cannot have a tolerance itself")
    margin = _read_text(_as_text(raw, dimension), dimension)
    if margin.tolerance is not None:
        raise QuantityError("a tolerance cannot have a tolerance itself")
    if margin.unit == "AWG":
        raise QuantityError("gauge numbers are not evenly spaced: state the tolerance of a wire size in mm2")
    return Quantity(_not_negative(margin.si, margin.text), None, margin.text, margin.unit)


def _as_text(raw: object, dimension: str) -> str:
    """The text that says the same as `raw`."""
    if isinstance(raw, str):
        return raw
    if isinstance(raw, Mapping):
        return _mapping_text(raw, dimension)
    if isinstance(raw, (int, float)) and not isinstance(raw, bool):
        return _number_text(raw)
    raise QuantityError(f"a quantity is text such as {_example(dimension)}, not {_kind(raw)}")


def _mapping_text(raw: Mapping[object, object], dimension: str) -> str:
    unknown = [str(key) for key in raw if key not in ("value", "unit", "tolerance")]
    if unknown:
        raise QuantityError(f"a quantity has value, unit and tolerance, not {_quoted(', '.join(unknown))}")
    value, unit = raw.get("value"), raw.get("unit", "")
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise QuantityError(f"the value of a quantity is a number or numeric text, not {_kind(value)}")
    if not isinstance(unit, str):
        raise QuantityError(f"the unit of a quantity is text, one of {_choices(dimension)}, not {_kind(unit)}")
    return f"{value if isinstance(value, str) else _number_text(value)} {unit}".strip()


def _number_text(number: float) -> str:
    if not -1e300 < number < 1e300:
        raise QuantityError("a quantity must be a finite number of reasonable size")
    return repr(number).removesuffix(".0")


@lru_cache(maxsize=4096)
def _read_text(text: str, dimension: str) -> Quantity:
    if len(text) > LONGEST_TEXT:
        raise QuantityError(f"{_quoted(text)} is {len(text)} characters long; a quantity has at most {LONGEST_TEXT}")
    plain = text if text.isascii() else _BEFORE_VULGAR.sub(" ", text).replace("±", "+/-").translate(_PLAIN)
    plain = " ".join(plain.split())  # runs of blanks make the expressions below try every split of the run
    if "+" not in plain:
        si, unit = _read_one(plain, dimension, text)
        return Quantity(si, None, text, unit.symbol)
    parts = _PLUS_MINUS.split(plain)
    if len(parts) == 1:
        si, unit = _read_one(plain, dimension, text)
        return Quantity(si, None, text, unit.symbol)
    if len(parts) > 2:
        raise QuantityError(f"{_quoted(text)} has more than one ±")
    return _read_pair(parts[0], parts[1], dimension, text)


def _read_pair(value: str, margin: str, dimension: str, text: str) -> Quantity:
    """A value and its tolerance; the one without a unit takes that of the other."""
    if not value.strip() or not margin.strip():
        raise QuantityError(f"{_quoted(text)} needs a number on both sides of the ±")
    if "%" in margin and "%" not in value:
        raise QuantityError(_not_absolute(text))
    if not _rest(value) and not (dimension == "wire_size" and read_gauge(value)):
        value = f"{value} {_rest(margin)}"
    si, unit = _read_one(value, dimension, text)
    if not _rest(margin):
        margin = f"{margin} {unit.symbol}"
    difference = _TOLERANCE_DIMENSION.get(dimension, dimension)
    tolerance, tolerance_unit = _read_one(margin, difference, text)
    if tolerance_unit.symbol == "AWG":
        raise QuantityError("gauge numbers are not evenly spaced: state the tolerance of a wire size in mm2")
    return Quantity(si, _not_negative(tolerance, text), text, unit.symbol)


def _rest(plain: str) -> str:
    match = _NUMBER.match(plain)
    return plain[match.end() :].strip() if match else plain


def _not_negative(tolerance: float, text: str) -> float:
    if tolerance < 0:
        raise QuantityError(f"the tolerance in {_quoted(text)} is negative; it counts both ways already")
    return tolerance


def _read_one(plain: str, dimension: str, text: str) -> tuple[float, Unit]:
    """SI value and unit of one number with its unit; `text` is what was typed, for messages."""
    if dimension == "wire_size" and (gauge := read_gauge(plain)) is not None:
        return gauge_area(gauge), UNITS[dimension]["AWG"]
    match = _NUMBER.match(plain)
    if match is None or not (match["integer"] or match["decimals"] or match["top"]):
        raise QuantityError(_why_no_number(plain, dimension, text))
    rest = plain[match.end() :].rstrip()
    unit = find_unit(rest or "1", dimension)
    if unit is None:
        if dimension == "length" and (feet_inches := _FEET_INCHES.fullmatch(rest)):
            return _read_feet_inches(match, feet_inches["inches"], text)
        raise QuantityError(_why_no_unit(rest, dimension, text))
    if unit.symbol == "AWG":
        raise QuantityError(f"{_quoted(text)} is no wire gauge; they run from 40 AWG to 4/0 AWG")
    return _to_si(_ratio(match, text), unit, text), unit


def _ratio(match: re.Match[str], text: str) -> tuple[int, int]:
    """The number a match of `_NUMBER` spells, as numerator and denominator, so that nothing is rounded yet."""
    if match["top"]:
        numerator, denominator = _fraction(match, text)
    else:
        decimals = match["decimals"] or ""
        numerator, denominator = int(match["integer"].replace(",", "") + decimals), 10 ** len(decimals)
        if match["exponent"]:
            exponent = int(match["exponent"])
            if abs(exponent) > _LARGEST_EXPONENT:
                raise QuantityError(f"the exponent in {_quoted(text)} is out of all proportion")
            numerator, denominator = numerator * 10 ** max(exponent, 0), denominator * 10 ** max(-exponent, 0)
    return (-numerator if match["sign"] == "-" else numerator), denominator


def _fraction(match: re.Match[str], text: str) -> tuple[int, int]:
    whole, top, bottom = match["whole"], int(match["top"]), int(match["bottom"])
    if bottom == 0:
        raise QuantityError(f"the fraction in {_quoted(text)} divides by zero")
    if whole is None:
        return top, bottom
    if top >= bottom:
        raise QuantityError(f"the fraction in {_quoted(text)} is not below one: write 1 1/8 or 9/8")
    return int(whole.replace(",", "")) * bottom + top, bottom


def _to_si(ratio: tuple[int, int], unit: Unit, text: str) -> float:
    numerator, denominator = ratio
    scale, zero = unit.scale, unit.zero
    numerator = numerator * scale.numerator * zero.denominator + zero.numerator * denominator * scale.denominator
    try:
        # Python divides integers with one correct rounding, so `28.575 mm` and `1 1/8 in` are the same float.
        return numerator / (denominator * scale.denominator * zero.denominator)
    except OverflowError:
        raise QuantityError(f"{_quoted(text)} is too large to be a quantity") from None


def _read_feet_inches(feet: re.Match[str], inches: str, text: str) -> tuple[float, Unit]:
    """`5'10 1/2"`: whole feet, then inches below twelve; the sign covers both. The unit is the inch."""
    match = _NUMBER.fullmatch(inches)
    if match is None or match["sign"] or not (match["integer"] or match["decimals"] or match["top"]):
        raise QuantityError(f"the inches in {_quoted(text)} cannot be read; write 5'10 1/2\"")
    numerator, denominator = _ratio(match, text)
    if not feet["integer"] or feet["decimals"] is not None or feet["exponent"] or numerator >= 12 * denominator:
        raise QuantityError(f"{_quoted(text)} should be whole feet and less than 12 inches, like 5'10 1/2\"")
    total = 12 * int(feet["integer"].replace(",", "")) * denominator + numerator
    inch = UNITS["length"]["in"]
    return _to_si((-total if feet["sign"] == "-" else total, denominator), inch, text), inch


def _why_no_number(plain: str, dimension: str, text: str) -> str:
    if not plain.strip():
        return f"nothing was entered; a quantity is text such as {_example(dimension)}"
    if _NOT_FINITE.match(plain.strip()):
        return f"{_quoted(text)} is not a finite number"
    return f"{_quoted(text)} does not begin with a number; write it like {_example(dimension)}"


def _why_no_unit(rest: str, dimension: str, text: str) -> str:
    choices = _choices(dimension)
    if not rest:
        return f"{_quoted(text)} needs a unit: {choices}"
    if re.match(r"[\d.]*,", rest):
        return f"the comma in {_quoted(text)} is no thousands mark (1,250); use a point for decimals (1.25)"
    wanted = _named(dimension)
    others = [_named(name) for name in DIMENSIONS if name != dimension and find_unit(rest, name)]
    if others:
        return f"{_quoted(rest)} is a unit of {' or '.join(others)}, not of {wanted}; use {choices}"
    if any(name.casefold() == rest.casefold() and name in SPELLINGS[dimension] for name in PREFIX_CASE):
        return f"capital and small m differ by a factor of 10^9, so {_quoted(rest)} is not accepted; use {choices}"
    if re.search(r"\d\s|\s\d|^\d|^[./]", rest):
        return f"{_quoted(text)} holds more than one number or unit; write one, like {_example(dimension)}"
    return f"{_quoted(rest)} is not a unit of {wanted}; use {choices}"


def _not_absolute(text: str) -> str:
    return f"a tolerance is absolute, not a share: state the one of {_quoted(text)} in the unit of its value"


def _named(dimension: str) -> str:
    return "pure numbers" if dimension == "dimensionless" else dimension.replace("_", " ")


def _choices(dimension: str) -> str:
    names = units_of(dimension)
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def _example(dimension: str) -> str:
    examples = {"dimensionless": "0.75", "wire_size": '"14 AWG"'}
    return examples.get(dimension, f'"12.5 {units_of(dimension)[0]}"')


def _quoted(text: str) -> str:
    shown = text if len(text) <= _SHOWN else text[:_SHOWN] + "…"
    return '"' + "".join(sign if sign.isprintable() else " " if sign.isspace() else "?" for sign in shown) + '"'


def _kind(raw: object) -> str:
    if raw is None:
        return "nothing"
    if isinstance(raw, bool):
        return "yes or no"
    if isinstance(raw, float) and not math.isfinite(raw):
        return "a number without end"
    return "a list" if isinstance(raw, (list, tuple)) else "a mapping" if isinstance(raw, Mapping) else "a number"
