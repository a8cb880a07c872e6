"""Setting of text: fractions, signs, units, dates, escapes."""

from __future__ import annotations

import pytest

from reports import typography, units
from reports.terms import TERMS
from reports.vocabulary import short
from service.vocabulary import describe


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


def test_an_endless_word_can_break_every_forty_characters() -> None:
    pieces = str(typography.typeset("w" * 100)).split("\u200b")
    assert [len(piece) for piece in pieces] == [40, 40, 20]


@pytest.mark.parametrize(("printed", "si", "unit", "expected"), [
    ("1.219 in", 0.03096, "in", "1.22\u202fin (31\u202fmm)"), ("0.3937 in", 0.01, "in", "0.394\u202fin (10\u202fmm)"),
    ("0.05217 in", 0.0013251, "in", "0.052\u202fin (1.33\u202fmm)"), ("0.0028 in", 7.112e-5, "in", "0.0028\u202fin (0.0711\u202fmm)"),
    ("31 mm", 0.031, "mm", "31 mm (1.22\u202fin)"), ("70 N·m", 70.0, "N·m", "70 N·m (51.6\u202flb·ft)"), ("1,200 psi", 8273709.0, "psi", "1,200 psi (8,274\u202fkPa)"),
    ("55 %", 0.55, "%", "55 %"), ("yes", True, "in", "yes"), ("none", None, "mm", "none"),
])
def test_computed_figures_stand_in_both_systems(printed: str, si: object, unit: str, expected: str) -> None:
    """Factors exact by NIST SP 811, appendix B.8."""
    assert units.with_twin(printed, si, unit) == expected


def test_every_term_names_a_field_and_tells_it_from_its_neighbors() -> None:
    fields = {f"{kind['name']}.{one['name']}": short(one["title"]) for kind in describe()["kinds"] for one in kind.get("fields") or ()}
    assert set(TERMS) <= set(fields)
    for kind in {name.partition(".")[0] for name in TERMS}:
        titles = [TERMS.get(name, title) for name, title in fields.items() if name.startswith(f"{kind}.")]
        assert len(titles) == len(set(titles)), kind
