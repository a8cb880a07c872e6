"""What a check is: the declaration that each check's own file makes, and what its judging function is given.

A check file holds its physics, its limits and its sentence. Everything generic (binding facts to positions, defaults,
missing facts, worst case over tolerances, margins, remedies, printing) is the engine's, in the modules beside this one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

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


@dataclass(frozen=True, slots=True)
class Basis:
    """What a formula, limit or value rests on."""

    kind: Literal["published", "derived", "common_practice", "from_memory"]
    text: str


def published(text: str) -> Basis:
    """A source that anyone can look up, named."""
    return Basis("published", text)


def derived(text: str) -> Basis:
    """Derived from first principles."""
    return Basis("derived", text)


def common_practice(text: str) -> Basis:
    """A fact of the trade; no source."""
    return Basis("common_practice", text)


def from_memory(text: str) -> Basis:
    """A published value written from memory and not yet compared with its source."""
    return Basis("from_memory", text)


@dataclass(frozen=True, slots=True)
class Input:
    """One thing a check reads. Made by need, option, presence, constant."""

    fact: str
    name: str
    required: bool = False
    default: Any = None
    tolerance: Any = None
    why: str = "default"
    when: Callable[[Any], bool] | None = None
    role: Literal["fact", "presence", "constant"] = "fact"
    dimension: str | None = None


def need(fact: str, name: str | None = None, *, when: Callable[[Any], bool] | None = None) -> Input:
    """A required fact (`driveshaft.length@here`); with `when`, required only where that holds for the inputs."""
    return Input(fact, name or _last(fact), required=True, when=when)


def option(fact: str, name: str | None = None, default: Any = None, *, tolerance: Any = None, why: str = "default") -> Input:
    """An optional fact. `default` is SI (or plain), or a function of the inputs; so is `tolerance`, its ±.

    Without default the name is None in the judging function when nothing is recorded.
    """
    return Input(fact, name or _last(fact), default=default, tolerance=tolerance, why=why)


def presence(subject: str, name: str) -> Input:
    """Whether a subject (`anti_roll_bar@front`) is on the car: True or False."""
    return Input(subject, name, role="presence")


def constant(name: str, value: float, tolerance: float, dimension: str = "dimensionless") -> Input:
    """A constant of the method with a stated ± (SI), which takes part in the worst case and stands under `assumed`."""
    return Input(name, name, default=value, tolerance=tolerance, role="constant", dimension=dimension)


def _last(fact: str) -> str:
    return fact.partition("@")[0].rpartition(".")[2]


@dataclass(frozen=True, slots=True)
class Shown:
    """A value that a check computes: its title, dimension, and the unit whose scale suits it (`mm`, `kN`)."""

    title: str
    dimension: str
    like: str | None = None


@dataclass(frozen=True, slots=True)
class Fix:
    """A choosable input for which remedies are solved. `stock` are SI sizes that can be bought, or a function of the inputs
    that gives them with their text as sold (`{0.025: "25 mm"}`); `candidates` wire values."""

    fact: str
    note: str = ""
    stock: Sequence[float] | Callable[[Any], Mapping[float, str]] = ()
    candidates: Sequence[Any] = ()


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit as judged at one set of inputs. `low` and `high` bound what is inside; `must` limits have neither."""

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
        for verdict, high in (("fail", fail), ("caution", caution)):
            if high is not None:
                self.limits.append(Limit(of, "at_most", verdict, None, high, actual, actual > high + _slack(high), why))  # type: ignore[arg-type]

    def at_least(self, of: str, fail: float | None = None, caution: float | None = None, *, why: str = "", value: float | None = None) -> None:
        """`of` must not fall below these limits."""
        actual = self.values[of] if value is None else value
        for verdict, low in (("fail", fail), ("caution", caution)):
            if low is not None:
                self.limits.append(Limit(of, "at_least", verdict, low, None, actual, actual < low - _slack(low), why))  # type: ignore[arg-type]

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


class Inputs:
    """The inputs by name, SI or plain; `position` is the check's, `assumed` the names that only have their default.

    Touching a required one that is not recorded raises Missing; an optional one is None.
    """

    def __init__(self, values: dict[str, Any]) -> None:
        self.__dict__ = values

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        raise Missing(name)

    def has(self, *names: str) -> bool:
        """Whether all these inputs have a value (recorded, derived or by default)."""
        values = self.__dict__
        return all(values.get(name) is not None for name in names)


Judge = Callable[[Any, Outcome], None]
Applies = Callable[[Any, str | None], bool]


@dataclass(frozen=True, slots=True)
class Check:
    """The declaration of one check; its id is its place in the package (`driveline.critical_speed`).

    at          where it gives results: None, "axles", "corners", ("label", subjects…), or a function facts -> positions
    inputs      need, option, presence, constant; in addresses @here is the check's position, @axle the axle of a corner,
                @left and @right the corners of an axle, @driven the driven axle, @* every recorded position (a mapping)
    either      alternatives among optional inputs, by name: (("a",), ("b", "c")) = a, or b and c
    judge       judge(x, out): pure; gives values and limits
    say         say(s): the summary's one or two sentences
    safety      True, False or a function of the inputs
    provides    facts that other checks may take from this one: {"car.cg_height": "cg_height"}
    applies     whether it applies: function (facts, position); None: when any required fact exists
    reads       what it reads besides facts, as x.<name>: lists of the document; "document"; "car" (facts with fallbacks);
                "results" (those of the other checks: only for checks that run last)
    extras      extras(x, values) -> {"table": …, "series": …} for the book
    """

    title: str
    system: str
    safety: bool | Callable[[Any], bool]
    inputs: Sequence[Input]
    values: Mapping[str, Shown]
    judge: Judge
    say: Callable[[Any], str]
    formula: str
    basis: Sequence[Basis]
    at: Any = None
    applies: Applies | None = None
    either: Sequence[Sequence[Sequence[str]]] = ()
    remedies: Sequence[Fix | str] = ()
    provides: Mapping[str, str] | None = None
    reads: Sequence[str] = ()
    extras: Callable[[Any, Mapping[str, Any]], Mapping[str, Any]] | None = None
    doubt: Callable[[Any, Outcome, Mapping[str, float], Mapping[str, float]], None] | None = None
    """doubt(x, out, low, high): limits on how far the tolerances spread the values, judged once the worst case is known."""
    last: int = 0
    """0 for ordinary checks; higher numbers run later and may read results."""

    def __post_init__(self) -> None:
        names = [item.name for item in self.inputs]
        doubled = {name for name in names if names.count(name) > 1}
        if doubled:
            raise ValueError(f"{self.title}: inputs share the names {sorted(doubled)}; give one a name of its own")
        if not self.basis or not self.formula:
            raise ValueError(f"{self.title}: a check names its formula and its basis")


@dataclass(frozen=True, slots=True)
class Derived:
    """A way to get a fact that is not recorded from others: `function(*needs)` in SI.

    `source` is what the result's input says it came from, for example {"check": "wheels.clearance"}; without it the
    facts used are named. `compare` tells whether a recorded value is held against the computed one. `optional` facts
    are passed after the needed ones, None when not recorded.
    """

    fact: str
    needs: Sequence[str]
    function: Callable[..., Any]
    source: Mapping[str, str] | None = None
    compare: bool = False
    optional: Sequence[str] = ()
    assumed: str = ""


def on_car(*subjects: str) -> Applies:
    """Applies when all these subjects are on the car (`driveshaft@here` for the check's own position)."""

    def applies(facts: Any, position: str | None) -> bool:
        return all(_present(facts, subject, position) for subject in subjects)

    return applies


def any_recorded(*addresses: str) -> Applies:
    """Applies when any of these facts is recorded (`wheel_fit.swept_at_lock_and_bump@here`)."""

    def applies(facts: Any, position: str | None) -> bool:
        return any(facts.exists(address, position) for address in addresses)

    return applies


def all_of(*conditions: Applies) -> Applies:
    """Applies when every condition holds."""
    return lambda facts, position: all(condition(facts, position) for condition in conditions)


def any_of(*conditions: Applies) -> Applies:
    """Applies when some condition holds."""
    return lambda facts, position: any(condition(facts, position) for condition in conditions)


def always(facts: Any, position: str | None) -> bool:
    """Applies to every car."""
    return True


def _present(facts: Any, subject: str, position: str | None) -> bool:
    name, at, place = subject.partition("@")
    return bool(facts.on_car(name, position if place == "here" else place or None))
