"""What a check is: the declaration that each check's own file makes, and what its judging function is given.

A check file holds its physics, its limits and its sentence. Everything generic (binding facts to positions, defaults,
missing facts, worst case over tolerances, margins, remedies, printing) is the engine's, in the modules beside this one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

# Handed on, so that a check's file finds all it needs here.
from service.checks.outcome import Missing as Missing
from service.checks.outcome import Outcome as Outcome
from service.checks.outcome import Unknown as Unknown


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
    that gives them with their text as sold (`{0.025: "25 mm"}`); `candidates` wire values, or a function of the inputs that
    gives them; `within` gives, from the inputs,
    the figures to aim for (SI, lowest and highest) where a check wants them narrower than what barely passes."""

    fact: str
    note: str = ""
    stock: Sequence[float] | Callable[[Any], Mapping[float, str]] = ()
    candidates: Sequence[Any] | Callable[[Any], Sequence[Any]] = ()
    within: Callable[[Any], tuple[float, float]] | None = None


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
        for name in names:  # noqa: SIM110 - all() takes three times as long, and no other line runs as often
            if values.get(name) is None:
                return False
        return True

    def replaced(self, **changes: Any) -> Inputs:
        """The same inputs with some of them other than they are."""
        return Inputs({**self.__dict__, **changes})


class NotingInputs(Inputs):
    """Inputs that note which of them are touched: another judging that finds these the same comes to the same."""

    __slots__ = ("_absent", "_all")

    def __init__(self, values: dict[str, Any]) -> None:
        super().__init__({})
        self._all, self._absent = values, set[str]()

    def __getattr__(self, name: str) -> Any:
        if name not in self._all:
            self._absent.add(name)
            return super().__getattr__(name)
        value = self.__dict__[name] = self._all[name]
        return value

    def has(self, *names: str) -> bool:
        """Whether all these inputs have a value; those looked at are touched."""
        for name in names:
            if self._all.get(name) is None:
                self._absent.add(name)
                return False
            self.__dict__[name] = self._all[name]
        return True

    def replaced(self, **changes: Any) -> Inputs:
        """The same inputs with some of them other than they are; all are touched by that."""
        self.__dict__.update(self._all)
        return Inputs({**self._all, **changes})


def touched_by(inputs: NotingInputs) -> set[str]:
    """The names touched so far."""
    return inputs._absent.union(inputs.__dict__)


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
    alternatives: frozenset[str] = field(init=False, default=frozenset())
    """The names that stand in `either`."""
    required: tuple[Input, ...] = field(init=False, default=())
    """The inputs that must be recorded."""

    def __post_init__(self) -> None:
        names = [item.name for item in self.inputs]
        doubled = {name for name in names if names.count(name) > 1}
        if doubled:
            raise ValueError(f"{self.title}: inputs share the names {sorted(doubled)}; give one a name of its own")
        if not self.basis or not self.formula:
            raise ValueError(f"{self.title}: a check names its formula and its basis")
        object.__setattr__(self, "required", tuple(item for item in self.inputs if item.required))
        object.__setattr__(self, "alternatives", frozenset(name for group in self.either for way in group for name in way))


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
