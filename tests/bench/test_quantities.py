"""Reading what people typed, against Pint's own parser on the same texts: lengths as Pint can read them too.

Nothing is asserted about time. Run: pytest tests/bench/test_quantities.py --benchmark-only -s
"""

from __future__ import annotations

from time import process_time
from typing import Any

import pint
import pytest

from service.quantities import read
from service.quantities.reading import _read_text

TEXTS = [f"{number / 10} {unit}" for number in range(500) for unit in ("in", "mm")]
ROUNDS = 7


def ours() -> list[float]:
    _read_text.cache_clear()
    return [read(text, "length").si for text in TEXTS]


def test_reading_against_pint(benchmark: Any) -> None:
    registry = pint.UnitRegistry()

    def pints() -> list[float]:
        return [registry(text).to("m").magnitude for text in TEXTS]

    assert ours() == pytest.approx(pints(), rel=1e-12)
    rounds = [(_timed(ours), _timed(pints)) for _ in range(ROUNDS)]
    reading, parsing = (min(times) / len(TEXTS) for times in zip(*rounds, strict=True))
    print(f"\nread: {reading * 1e6:.1f} µs a quantity, {reading / parsing:.3f} of Pint's {parsing * 1e6:.0f} µs")
    benchmark.extra_info["ratio"] = reading / parsing
    benchmark(ours)


def _timed(work: Any) -> float:
    begun = process_time()
    work()
    return process_time() - begun
