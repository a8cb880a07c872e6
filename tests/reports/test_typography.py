"""Setting of text: fractions, signs, units, dates, escapes."""

from __future__ import annotations

import pytest

from reports import typography


@pytest.mark.parametrize(("typed", "shown"), [
    ("1 1/8 in", '1\u202f<span class="fraction joined">1/8</span>\u202fin'),
    ("1-1/8 in", '1\u202f<span class="fraction joined">1/8</span>\u202fin'),
    ("9/16", '<span class="fraction">9/16</span>'),
    ("2/0 AWG", "2/0\u202fAWG"),
    ("205/60R15", "205/60R15"),
    ("45 N*m", "45\u202fN·m"),
    ("5,130 rpm", "5,130\u202frpm"),
    ("-0.5 deg", "\u22120.5°"),
    ("212 degF", "212\u202f°F"),
    ("M10x1.5", "M10x1.5"),
    ("TS-118", "TS-118"),
    ("10-15 mm", "10-15\u202fmm"),
    ("a <b> & c", "a &lt;b&gt; &amp; c"),
])
def test_typeset(typed: str, shown: str) -> None:
    assert str(typography.typeset(typed)) == shown


@pytest.mark.parametrize(("value", "text"), [
    ({"value": "1 1/8", "unit": "in", "tolerance": "0.01 in"}, "1 1/8 in ± 0.01 in"), ([2.48, 1.48], "2.48 · 1.48"), (True, "yes"), (None, ""),
    ("double_wishbone", "double wishbone"), ("dot_5_1", "DOT 5.1"),
])
def test_typed(value: object, text: str) -> None:
    assert typography.typed(value) == text


@pytest.mark.parametrize(("text", "day"), [("2026-03-02", "March 2, 2026"), ("2026-03-02T14:05:00-05:00", "March 2, 2026"), ("soon", "soon"),
                                           ("2026-13-02", "2026-13-02")])
def test_date(text: str, day: str) -> None:
    assert typography.date(text) == day


def test_slugs_keep_apart_what_letters_alone_would_not() -> None:
    assert typography.slug("cooling fan") == "cooling-fan"
    assert len({typography.slug(text) for text in ("fan", "fan!", "Fan", "東", "西")}) == 5


def test_control_characters_are_left_out() -> None:
    assert typography.clean("a\x00b\x1bc\ud800d\n") == "abcd\n"
