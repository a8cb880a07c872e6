"""What a judging function fills in: values, limits, caps, what it asks for; and what it raises when it cannot judge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

Verdict = Literal["pass", "caution", "fail", "unknown"]
#: Two numbers closer than this (relative) are equal: a value equal to a limit is on the safe side.
EQUAL = 1e-9
#: The same for a limit of 0, in SI: the dust that adding up a stack of lengths leaves.
DUST = 1e-15


class Missing(Exception):
    """Raised when judging touches a fact that is not recorded; carries the input's name in the check."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.name = name


class Unknown(Exception):
    """Raised by a judging function when the facts together mean nothing, or lie outside what it is valid for."""


class Limit(NamedTuple):
    """One limit as judged at one set of inputs. `low` and `high` bound what is inside; `must` limits have neither.

    A tuple, since thousands of them are made for one car.
    """

    of: str
    kind: Literal["at_most", "at_least", "between", "must"]
    verdict: Literal["caution", "fail"]
    low: float | None
    high: float | None
    value: float | None
    violated: bool
    why: str

    @property
    def margin(self) -> float | None:
        """Signed fraction to this limit, positive inside; None where the limit is 0 or a category."""
        if self.value is None:
            return None
        if self.low is not None and self.high is not None:
            width = self.high - self.low
            return min(self.value - self.low, self.high - self.value) / width if width else None
        if self.high is not None:
            return (self.high - self.value) / abs(self.high) if self.high else None
        if self.low is not None:
            return (self.value - self.low) / abs(self.low) if self.low else None
        return None


@dataclass(frozen=True, slots=True)
class Cap:
    """Why a verdict is held at `caution`: `floor` caps ("at best caution") lift a pass, the others soften a fail."""

    because: str
    lifted_by: str | None
    floor: bool


class Outcome:
    """What a judging function fills in: values, limits, caps, remarks. Made anew for every evaluation."""

    __slots__ = ("advice", "asks", "because", "caps", "limits", "missing", "reason", "remarks", "values")

    def __init__(self) -> None:
        self.values: dict[str, Any] = {}
        self.limits: list[Limit] = []
        self.caps: list[Cap] = []
        self.missing: list[str] = []
        self.asks: dict[str, str] = {}
        self.because: list[str] = []
        self.remarks: list[str] = []
        self.advice: list[str] = []
        self.reason: str | None = None

    def value(self, name: str, value: Any) -> Any:
        """Give a declared value (SI). Returns it."""
        self.values[name] = value
        return value

    def at_most(self, of: str, fail: float | None = None, caution: float | None = None, *, why: str = "", value: float | None = None) -> None:
        """`of` (a value given before, or `value`) must not exceed these limits."""
        actual = self.values[of] if value is None else value
        if fail is not None:
            self.limits.append(Limit(of, "at_most", "fail", None, fail, actual, actual > fail + (EQUAL * abs(fail) + DUST), why))
        if caution is not None:
            self.limits.append(Limit(of, "at_most", "caution", None, caution, actual, actual > caution + (EQUAL * abs(caution) + DUST), why))

    def at_least(self, of: str, fail: float | None = None, caution: float | None = None, *, why: str = "", value: float | None = None) -> None:
        """`of` must not fall below these limits."""
        actual = self.values[of] if value is None else value
        if fail is not None:
            self.limits.append(Limit(of, "at_least", "fail", fail, None, actual, actual < fail - (EQUAL * abs(fail) + DUST), why))
        if caution is not None:
            self.limits.append(Limit(of, "at_least", "caution", caution, None, actual, actual < caution - (EQUAL * abs(caution) + DUST), why))

    def within(
        self,
        of: str,
        good: tuple[float | None, float | None],
        caution: tuple[float | None, float | None] | None = None,
        *,
        worst: Literal["caution", "fail"] = "fail",
        why: str = "",
        value: float | None = None,
    ) -> None:
        """Inside `good` is a pass, inside `caution` a caution, outside that `worst`. Open ends are None.

        Without `caution`, outside `good` is `worst` at once. With `worst="caution"` it never fails.
        """
        actual = self.values[of] if value is None else value
        outer = caution or good
        self._band(of, worst, outer, actual, why)
        if caution is not None and worst == "fail":
            self._band(of, "caution", good, actual, why)

    def _band(self, of: str, verdict: Literal["caution", "fail"], band: tuple[float | None, float | None], actual: float, why: str) -> None:
        low, high = band
        if low is None and high is None:
            return
        slack = max(_slack(low or 0.0), _slack(high or 0.0))
        violated = (low is not None and actual < low - slack) or (high is not None and actual > high + slack)
        kind: Literal["at_most", "at_least", "between"] = "between" if low is not None and high is not None else "at_most" if low is None else "at_least"
        self.limits.append(Limit(of, kind, verdict, low, high, actual, violated, why))

    def must(self, ok: bool, why: str, verdict: Literal["caution", "fail"] = "fail", of: str = "") -> None:
        """A rule that is kept or broken, without a number; `why` says what is wrong when it is broken."""
        self.limits.append(Limit(of, "must", verdict, None, None, None, not ok, why))

    def at_best_caution(self, because: str, lifted_by: str | None = None) -> None:
        """However good the numbers, the verdict is no better than caution until `lifted_by` is recorded."""
        self.caps.append(Cap(because, lifted_by, True))

    def not_a_fail(self, because: str, lifted_by: str | None = None) -> None:
        """What the failing limits rest on is only assumed: a fail is given as a caution that asks for `lifted_by`."""
        self.caps.append(Cap(because, lifted_by, False))

    def remark(self, text: str) -> None:
        """A sentence added to the summary."""
        if text not in self.remarks:
            self.remarks.append(text)

    def advise(self, text: str) -> None:
        """Advice that is no input of the check; stands among the remedies of a caution or fail."""
        if text not in self.advice:
            self.advice.append(text)

    def ask(self, address: str, text: str) -> None:
        """A fact worth asking for that changes no verdict; it goes to the list of what to measure next."""
        self.asks[address] = text

    def part(self) -> Part:
        """`with out.part():` a piece of the judging that may lack facts without stopping the pieces after it."""
        return Part(self)

    @property
    def verdict(self) -> Verdict:
        """The worst of the violated limits; caps and missing facts are not looked at."""
        worst: Verdict = "pass"
        for limit in self.limits:
            if limit.violated:
                if limit.verdict == "fail":
                    return "fail"
                worst = "caution"
        return worst


def _slack(limit: float) -> float:
    return EQUAL * abs(limit) + DUST


class Part:
    """A piece of judging whose missing facts are noted and do not stop the rest."""

    __slots__ = ("outcome",)

    def __init__(self, outcome: Outcome) -> None:
        self.outcome = outcome

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: Any) -> bool:
        if isinstance(error, Missing):
            if error.name not in self.outcome.missing:
                self.outcome.missing.append(error.name)
            return True
        return False
