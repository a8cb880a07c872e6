"""How text is set: fractions as fractions, true minus signs, narrow spaces before units, a middle dot in N·m."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any
from zlib import crc32

from markupsafe import Markup, escape

NARROW_SPACE = "\u202f"
MINUS = "\u2212"
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
           "December")

#: Units that take a narrow space after their number; longest first so that `N·m` wins over `N`.
_UNITS = ("lb·ft|lb-ft|ft-lb|lb·in|lb/in|lb/(?:hp\\*h)|lb/h|N·m|N/mm|N/m|kN|kgf|lbf|km/h|km|kPa|MPa|kW/K|kW|kg|g0|g/s|"
          "mm2|mm²|m3/s|m³/s|m/s|mm|cm|cfm|cc|mph|mi|rpm|rad/s|psi|bar|inHg|hp|PS|gph|gal|qt|pt|mV|mA|mohm|mΩ|ohm|Ω|Ah|"
          "AWG|L/h|L/s|L/min|cu in|deg|degF|degC|min|in|ft|oz|lb|°F|°C|L|V|A|W|K|N|g|m|h|s|%")
_UNIT_SPACE = re.compile(rf"(?<=[0-9¼½¾⅛⅜⅝⅞]) (?=(?:{_UNITS})(?![\w/·*]))")
_UNIT_AFTER_FRACTION = re.compile(rf"(</span>) (?=(?:{_UNITS})(?![\w/·*]))")
_NEGATIVE = re.compile(r"(?<![\w)\]./-])-(?=\.?[0-9])")
_FRACTION = re.compile(r"(?<![\w/.,])(?:([0-9]{1,4})([ -]))?([0-9]{1,2})/(2|3|4|8|16|32|64)(?![\w/.]|-[a-zA-Z])")
_TEMPERATURE = re.compile(r"(?<=[0-9]) ?deg([CF])(?![\w])")
_DEGREES = re.compile(r"(?<=[0-9]) ?deg(?![\w])")
#: No word of a language or a part number is longer; layout of an endless run takes time by its square.
#: A chance to break comes neither within a letter with its marks nor within a picture made of several.
_LONG_RUN = re.compile(r"([^ \t\r\n\u200b]{40,}?(?<!\u200d))(?=[^ \t\r\n\u200b\u200d\ufe0f\u0300-\u036f])")
_BREAKABLE = re.compile(r"[^ \t\r\n]{40,}")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")
_SIMPLE = re.compile(r"[a-z0-9]+(?:[ _.@-][a-z0-9]+)*\Z")
_SLUG = re.compile(r"[^a-z0-9]+")
_SNAKE = re.compile(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)+\Z")
_CAPITALS = {"dot": "DOT", "vin": "VIN", "awg": "AWG"}
_WHOLE_DATE = re.compile(r"\d{4}-\d{2}-\d{2}\Z")
_DATE = re.compile(r"(\d{4})-(\d{2})-(\d{2})(?:[T ](\d{2}):(\d{2}))?")


def clean(text: Any) -> str:
    """The text without control characters, stray surrogates and direction overrides: HTML and SVG may not hold them, or readers suffer."""
    return _CONTROL.sub("", "" if text is None else str(text))


def plain(text: Any) -> str:
    """Text set without markup, for SVG and attributes: true minus, degree sign, middle dot, narrow spaces."""
    out = clean(text).replace("+/-", "±").replace("N*m", "N·m").replace("lbf*ft", "lb·ft")
    out = _NEGATIVE.sub(MINUS, out)
    out = _DEGREES.sub("°", _TEMPERATURE.sub(r" °\1", out))
    return _UNIT_SPACE.sub(NARROW_SPACE, out)


def typeset(text: Any) -> Markup:
    """Text as markup, escaped, with fractions set as fractions (their characters stay `1 1/8` for search and copying)."""
    return _typeset("" if text is None else str(text))


@lru_cache(maxsize=20_000)
def _typeset(text: str) -> Markup:
    """The same titles and names stand on page after page of a site."""
    out = str(escape(_BREAKABLE.sub(_breakable, plain(text))))
    out = _FRACTION.sub(_fraction, out)
    return Markup(_UNIT_AFTER_FRACTION.sub(rf"\1{NARROW_SPACE}", out))  # noqa: S704 (escaped first, only our own markup added since)


def _fraction(match: re.Match[str]) -> str:
    whole, _, top, bottom = match.groups()
    lead, joined = (f"{whole}{NARROW_SPACE}", " joined") if whole else ("", "")
    return f'{lead}<span class="fraction{joined}">{top}/{bottom}</span>'


def _breakable(match: re.Match[str]) -> str:
    """Give an overlong word chances to break: at its own joints, and in a run without any, every forty characters."""
    return _LONG_RUN.sub("\\1\u200b", re.sub(r"([_/.@-])", "\\1\u200b", match.group()))


def paragraphs(text: Any) -> Markup:
    """Typed lines as paragraphs."""
    lines = [line.strip() for line in clean(text).splitlines() if line.strip()]
    return Markup("").join(Markup("<p>{}</p>").format(typeset(line)) for line in lines)


def words(text: Any) -> str:
    """`front_left` as `front left`, `dot_5_1` as `DOT 5.1`, a bare date written out; anything else unchanged."""
    out = clean(text)
    if not _SNAKE.match(out):
        return date(out) if _WHOLE_DATE.match(out) else out
    words = [_CAPITALS.get(word, word) for word in out.split("_")]
    return f"DOT {'.'.join(words[1:])}" if words[0] == "DOT" else " ".join(words)


def sentence(text: Any) -> str:
    """The text with its first letter raised, other letters left alone."""
    out = clean(text).strip()
    return out[:1].upper() + out[1:]


def date(text: Any) -> str:
    """`2026-03-02` or a time stamp as `March 2, 2026`; what is no date is returned as typed."""
    found = _DATE.match(clean(text))
    if not found or not 1 <= int(found[2]) <= 12:
        return clean(text)
    return f"{_MONTHS[int(found[2]) - 1]} {int(found[3])}, {found[1]}"


def month(text: Any) -> str:
    """`March 2026` of a date; what is no date is returned as typed."""
    found = _DATE.match(clean(text))
    return f"{_MONTHS[int(found[2]) - 1]} {found[1]}" if found and 1 <= int(found[2]) <= 12 else clean(text)


def year(text: Any) -> str:
    """The year of a date, or an empty string."""
    found = _DATE.match(clean(text))
    return found[1] if found else ""


def slug(text: Any) -> str:
    """A name for anchors and files: lower-case letters, digits, hyphens; a checksum keeps apart what these alone would not."""
    whole = clean(text)
    name = _SLUG.sub("-", whole.lower()).strip("-")[:60]
    return name if _SIMPLE.match(whole) and name else f"{name or 'x'}-{crc32(whole.encode()):08x}"


def typed(value: Any) -> str:
    """A wire value as the words a person typed: text, quantity object, number, yes or no, list."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        tolerance = f" ± {value['tolerance']}" if value.get("tolerance") else ""
        return f"{value.get('value', '')} {value.get('unit', '')}".strip() + tolerance
    if isinstance(value, (list, tuple)):
        return " · ".join(typed(item) for item in value)
    return words(value)


def number(value: float) -> str:
    """A plain number for people: about four figures, thousands with commas, true minus."""
    size = abs(value)
    if size >= 1000:
        text = f"{value:,.0f}"
    elif size >= 100:
        text = f"{value:.0f}" if abs(value - round(value)) < 0.05 else f"{value:.1f}"
    else:
        text = f"{value:.3g}" if "e" not in f"{value:.3g}" else f"{value:.5f}".rstrip("0").rstrip(".")
    return text.replace("-", MINUS)
