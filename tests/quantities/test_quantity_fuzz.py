"""Any text is read or refused with QuantityError; none of it sends a pattern astray."""

import contextlib
import math
import time

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from service.quantities import DIMENSIONS, QuantityError, read
from service.quantities.reading import LONGEST_TEXT, _read_text

#: s of processor time. No measure of speed (tests/bench/test_quantities.py is): a pattern that tries every way takes minutes.
ASTRAY = 0.05

SIGNS = tuple("0159,./-+±eE'\"°½⅛%#:*·()ΩKVm²³ \u2212\u2019\u2033\u00b5\u00a0\u202f\t\n\u200b")
WORDS = ("12", "+/-", "in", "mm", "ft", "lb", "lb-ft", "deg", "degC", "AWG", "ga", "per", "to", "nan", "inf", "1/8")
PIECES = st.sampled_from(SIGNS + WORDS)
TEXTS = st.one_of(st.text(max_size=60), st.lists(PIECES, max_size=14).map("".join))

HOSTILE = [
    "1" * 10_000,
    "1" * LONGEST_TEXT,
    "1 " * (LONGEST_TEXT // 2),
    "1," * (LONGEST_TEXT // 2),
    "1,111" * (LONGEST_TEXT // 5),
    "1/" * (LONGEST_TEXT // 2),
    "1-" * (LONGEST_TEXT // 2),
    "1 1/" + "1" * (LONGEST_TEXT - 4),
    "." * LONGEST_TEXT,
    "-" * LONGEST_TEXT,
    " " * LONGEST_TEXT,
    "+/-" * (LONGEST_TEXT // 3),
    "5'" + " " * (LONGEST_TEXT - 3) + "x",
    "5'" + "1 " * (LONGEST_TEXT // 2 - 1),
    "5 " + "per " * (LONGEST_TEXT // 4 - 1),
    "5 " + "( " * (LONGEST_TEXT // 2 - 1),
    "5 " + "lb-" * (LONGEST_TEXT // 3 - 1),
    "5 " + "." * (LONGEST_TEXT - 2),
    "#" + " " * (LONGEST_TEXT - 2) + "x",
    "1" + " " * (LONGEST_TEXT - 2) + "x",
    "9" * (LONGEST_TEXT - 5) + "e300",
]


def _seconds(raw: object, dimension: str) -> float:
    """Processor time of one reading that no cache helps."""
    _read_text.cache_clear()
    start = time.process_time()
    with contextlib.suppress(QuantityError):
        read(raw, dimension)
    return time.process_time() - start


def _attempt(raw: object, dimension: str) -> None:
    # The garbage collector may fall into one reading, hardly into three.
    assert any(_seconds(raw, dimension) < ASTRAY for _ in range(3))
    try:
        quantity = read(raw, dimension)
    except QuantityError:
        return
    assert math.isfinite(quantity.si)
    assert quantity.tolerance is None or 0 <= quantity.tolerance < math.inf
    assert read(quantity.text, dimension) == quantity


@pytest.mark.parametrize("dimension", DIMENSIONS)
@settings(max_examples=40, deadline=None)
@given(text=TEXTS)
@example("\ud800 in")
@example("5 in\x00")
def test_any_text_is_read_or_refused(dimension: str, text: str) -> None:
    _attempt(text, dimension)


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: text[:12])
@pytest.mark.parametrize("dimension", ["length", "wire_size", "dimensionless", "temperature"])
def test_hostile_text_costs_nothing(text: str, dimension: str) -> None:
    _attempt(text, dimension)


JSON = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3),
    max_leaves=6,
)
MAPPINGS = st.fixed_dictionaries({"value": JSON | PIECES}, optional={"unit": JSON | PIECES, "tolerance": JSON | PIECES})


@settings(deadline=None)
@given(raw=JSON | MAPPINGS, dimension=st.sampled_from(["length", "dimensionless", "wire_size"]))
def test_any_json_is_read_or_refused(raw: object, dimension: str) -> None:
    _attempt(raw, dimension)
