"""The search for what makes a check pass: one input of one bound check replaced, the others with their tolerances.

Numbers are searched inside the field's hard range, their edges found by bisection and rounded to the safe side; choices,
yes/no and wire sizes are tried one by one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from typing import Any

from service.checks.core import Fix, Inputs
from service.checks.outcome import EQUAL, Outcome
from service.checks.plan import NOT_COMPUTABLE, Plan
from service.checks.speak import typeset
from service.checks.spread import doubted, spread
from service.quantities import System, exact, in_unit, read, show
from service.quantities.wire_size import METRIC_SIZES, gauge_area
from service.vocabulary.core import Field

_GRID = 48
_EDGE_STEPS = 16
#: An edge smaller than this share of the field's usual figures is zero.
_DUST = 1e-6
_BISECTIONS = 22
_MOST_CHOICES = 6
_MOST_INTEGERS = 200


class Search:
    """The search in one input of one plan; `aim` are the figures to keep to (SI) where they are narrower than what passes."""

    def __init__(self, plan: Plan, slot: str, field: Field, aim: tuple[float, float] | None = None) -> None:
        self.plan, self.slot, self.field, self.aim = plan, slot, field, aim
        self.current = plan.nominal().get(slot)
        self.low_edge: float | None = None
        self.high_edge: float | None = None
        self._worst_corner: Mapping[str, float] | None = None
        self._known: dict[Any, bool] = {}

    def passes(self, value: Any) -> bool:
        """Whether the whole check passes with this value. The corner that failed last is tried first: it mostly fails again."""
        override = (self.slot, value)
        if value in self._known:
            return self._known[value]
        out = self.plan.evaluate(override=override)
        ok = _clean(out) and not (self._worst_corner and self.plan.evaluate(self._worst_corner, override).verdict == "fail")
        if ok:
            worst = spread(self.plan, out, override, verdict_only=self.plan.check.doubt is None)
            self._worst_corner = worst.failing or self._worst_corner
            doubted(self.plan, self.plan.nominal(override=override), out, worst)
            ok = not worst.fails and _clean(out)
        self._known[value] = ok
        return ok

    def nearness(self, value: float) -> float:
        """How far inside (positive) or outside every limit; -inf where the check cannot be judged."""
        out = self.plan.evaluate(override=(self.slot, value))
        if out.missing or out.reason is not None or any(cap.floor for cap in out.caps):
            return float("-inf")
        worst = float("inf")
        for limit in out.limits:
            margin = limit.margin
            if margin is None and limit.value is not None:
                # A limit at zero has no fraction; the distance itself still points the way.
                margin = limit.value - limit.low if limit.low is not None else (limit.high or 0.0) - limit.value
            if margin is None or (margin >= 0) == limit.violated:
                margin = -1.0 if limit.violated else 1.0
            worst = min(worst, margin)
        return worst


    def interval(self, system: System) -> dict[str, Any]:
        """`at_least` and / or `at_most` around the passing stretch nearest to the present value."""
        inside = self._nearest_pass()
        if inside is None:
            return {}
        self.low_edge, self.high_edge = self._aimed(self._edge(inside, -1), self._edge(inside, +1))
        unit = self.field.unit(system)
        found = {}
        if self.low_edge is not None:
            found["at_least"] = self._rounded(self.low_edge, unit, up=True)
        if self.high_edge is not None:
            found["at_most"] = self._rounded(self.high_edge, unit, up=False)
        return found

    def _aimed(self, low: float | None, high: float | None) -> tuple[float | None, float | None]:
        """The passing stretch cut to the figures to aim for; whole where none of them passes."""
        if self.aim is None:
            return low, high
        least = self.aim[0] if low is None else max(low, self.aim[0])
        most = self.aim[1] if high is None else min(high, self.aim[1])
        if least > most:
            self.aim = None
            return low, high
        return least, most

    @property
    def unusual(self) -> bool:
        """Whether all that was found lies beyond the field's usual figures, on a side where the present value does not.

        Never of choices and of wire, which is offered as it is sold.
        """
        usual = self.field.usual_range
        if usual is None or self.current is None:
            return False
        low, high = self.low_edge, self.high_edge
        too_high = low is not None and low > usual.high and self.current <= usual.high
        return too_high or (high is not None and high < usual.low and self.current >= usual.low)

    def stock(self, sizes: Any) -> float | None:
        """The stock size inside the interval that is nearest to the present value."""
        slack = _DUST * self._scale()  # an edge is found to a hair beside it; every size is tried below
        low, high = (edge if edge is not None else at for edge, at in ((self.low_edge, float("-inf")), (self.high_edge, float("inf"))))
        inside = [size for size in sizes if low - slack <= size <= high + slack]
        current = self.current if isinstance(self.current, (int, float)) else 0.0
        return next((size for size in sorted(inside, key=lambda size: abs(size - current)) if self.passes(size)), None)

    def _range(self) -> tuple[float, float]:
        hard = self.field.hard_range
        current = float(self.current or 0.0)
        if hard is not None:
            return hard.low, hard.high
        reach = max(abs(current) * 10, 1e-6)
        return min(0.0, current - reach) if current < 0 else 0.0, current + reach

    def _steps(self) -> Iterator[float]:
        """Trial values: close to the present value first, then across the whole range."""
        low, high = self._range()
        current = min(max(float(self.current or 0.0), low), high)
        for index in range(1, _GRID + 1):
            share = (index / _GRID) ** 2.5
            for end in (high, low):
                yield current + (end - current) * share

    def _nearest_pass(self) -> float | None:
        tried: list[tuple[float, float]] = []
        for value in self._steps():
            near = self.nearness(value)
            tried.append((value, near))
            if near >= 0 and self.passes(value):
                return value
        return self._narrow_pass(sorted(tried))

    def _narrow_pass(self, tried: list[tuple[float, float]]) -> float | None:
        """A passing stretch narrower than the grid: climb each local best by golden section."""
        candidates = []
        for index in range(1, len(tried) - 1):
            left, here, right = tried[index - 1], tried[index], tried[index + 1]
            peak = here[1] >= left[1] and here[1] >= right[1] and (here[1] > left[1] or here[1] > right[1])
            if here[1] > float("-inf") and peak:
                candidates.append(self._climb(left[0], right[0]))
        current = float(self.current or 0.0)
        passing = [value for value in candidates if self.passes(value)]
        return min(passing, key=lambda value: abs(value - current), default=None)

    def _climb(self, low: float, high: float) -> float:
        golden = 0.6180339887498949
        a, b = high - golden * (high - low), low + golden * (high - low)
        near_a, near_b = self.nearness(a), self.nearness(b)
        for _ in range(_BISECTIONS):
            if near_a >= near_b:
                high, b, near_b = b, a, near_a
                a = high - golden * (high - low)
                near_a = self.nearness(a)
            else:
                low, a, near_a = a, b, near_b
                b = low + golden * (high - low)
                near_b = self.nearness(b)
        return a if near_a >= near_b else b

    def _edge(self, inside: float, direction: int) -> float | None:
        """Where passing ends on one side; None when it goes on to the end of the range."""
        end = self._range()[1] if direction > 0 else self._range()[0]
        good, bad = inside, None
        for index in range(1, _EDGE_STEPS + 1):
            value = inside + (end - inside) * (index / _EDGE_STEPS) ** 3
            if not self.passes(value):
                bad = value
                break
            good = value
        if bad is None:
            return None
        for _ in range(_BISECTIONS):
            middle = (good + bad) / 2
            if self.passes(middle):
                good = middle
            else:
                bad = middle
        return good

    def _rounded(self, edge: float, unit: str, *, up: bool) -> str:
        """The edge in the shop's unit with few figures, rounded into the passing side, and seen to pass."""
        dimension = self.field.dimension
        shown = in_unit(edge, dimension, unit)
        # The nearest short figure first: the edge itself is on the safe side, and bisection stops a hair beside it.
        trials = [_rounded_text(shown, figures, rounding) for figures in (4, 5, 6, 8) for rounding in (ROUND_HALF_EVEN, ROUND_CEILING if up else ROUND_FLOOR)]
        for text in ["0", *trials] if abs(edge) < _DUST * self._scale() else trials:
            value = read(f"{text} {unit}" if unit not in ("1", "") else text, dimension).si
            if self._in_hard_range(value) and self._aims(value) and self.passes(value):
                return typeset(f"{text} {unit}", dimension) if unit not in ("1", "") else text
        return exact(edge, dimension, unit)

    def _scale(self) -> float:
        found = self.field.usual_range or self.field.hard_range
        return max(abs(found.low), abs(found.high)) if found else 1.0

    def _aims(self, value: float) -> bool:
        return self.aim is None or self.aim[0] - EQUAL * abs(self.aim[0]) <= value <= self.aim[1] + EQUAL * abs(self.aim[1])

    def _in_hard_range(self, value: float) -> bool:
        return self.field.hard_range is None or value in self.field.hard_range


    def choices(self, fix: Fix) -> dict[str, Any]:
        """`one_of` for choices, yes/no, texts and wire sizes; an interval of whole numbers for integers."""
        if self.field.dimension == "integer":
            return self._integers()
        passing = [wire for wire, value in self._candidates(fix) if value != self.current and self.passes(value)][:_MOST_CHOICES]
        return {"one_of": passing} if passing else {}

    def _candidates(self, fix: Fix) -> Iterator[tuple[Any, Any]]:
        given = self._given(fix)
        if given is not None:
            for wire in given:
                yield wire, self.field.read(wire).value
        elif self.field.dimension == "wire_size":
            yield from _wires(self.current or 0.0)
        elif self.field.dimension == "yes_no":
            yield from ((True, True), (False, False))
        else:
            yield from ((choice, choice) for choice in self.field.choices)

    def _given(self, fix: Fix) -> Sequence[Any] | None:
        """The candidates that the check names, if it does."""
        if not callable(fix.candidates):
            return fix.candidates or None
        try:
            return fix.candidates(Inputs(self.plan.nominal()))
        except NOT_COMPUTABLE:
            return ()

    def _integers(self) -> dict[str, Any]:
        low, high = (int(edge) for edge in self._range())
        current = int(self.current or low)
        by_distance = sorted(range(max(low, current - _MOST_INTEGERS), min(high, current + _MOST_INTEGERS) + 1), key=lambda value: abs(value - current))
        first = next((value for value in by_distance if self.passes(value)), None)
        if first is None:
            return {}
        least = self._walk(first, low, -1)
        most = self._walk(first, high, +1)
        self.low_edge, self.high_edge = float(least), float(most)
        return {**({"at_least": str(least)} if least > low else {}), **({"at_most": str(most)} if most < high else {})} or {"at_least": str(least)}

    def _walk(self, start: int, end: int, step: int) -> int:
        last, count = start, 0
        while last != end and count < _MOST_INTEGERS and self.passes(last + step):
            last += step
            count += 1
        return end if count == _MOST_INTEGERS else last


def _clean(out: Outcome) -> bool:
    return not out.missing and out.reason is None and not any(cap.floor for cap in out.caps) and out.verdict == "pass"


def _rounded_text(value: float, figures: int, rounding: str) -> str:
    """`value` as plain decimal text with so many significant figures."""
    number = Decimal(repr(value))
    if number == 0:
        return "0"
    step = Decimal(1).scaleb(number.adjusted() - figures + 1)
    rounded = number.quantize(step, rounding=rounding)
    text = f"{rounded:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


#: AWG sizes that vehicle wire is sold in, thinnest first. Common practice.
_SOLD_GAUGES = tuple(gauge_area(number) for number in (22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3))


def _wires(current: float) -> Iterator[tuple[str, float]]:
    """Wire sizes as sold, the next larger first; AWG for an AWG wire, metric for a metric one."""
    metric = any(abs(current - area) < 1e-3 * area for area in METRIC_SIZES)
    sizes = METRIC_SIZES if metric else _SOLD_GAUGES
    for area in [size for size in sizes if size > current] + [size for size in reversed(sizes) if size < current]:
        yield show(area, "wire_size", "mm2" if metric else "AWG"), area
