"""Companion rules: a part that needs another. One check per system, made from that system's table of rules."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from service.checks.core import Check, Judge, Outcome, Shown, common_practice, option

#: What a rule's condition and answer are given: the car's facts (on_car, value, exists, labels), see bind.Car.
Asked = Callable[[Any], bool | None]


@dataclass(frozen=True, slots=True)
class Rule:
    """If `present`, then `needs`. `when` tells whether the first is recorded; `answered` whether the second is (None: not said).

    severity: safety = injury or loss of control; stop = the system cannot work or will be damaged; note = worth knowing.
    parts: kinds of part that are what is needed: one of them on the car answers yes, all of them recorded as absent no.
    serving: words by which such a part is told from others of its kind, in its position or name (the relay of the fan).
    without: kinds of part whose recorded absence answers no, though their presence proves nothing (no fuse, no alternator).
    Without an answer from facts or parts, `companion.fitted@<id>` (yes or no) is asked.
    """

    id: str
    present: str
    needs: str
    severity: Literal["safety", "stop", "note"]
    why: str
    when: Asked
    answered: Asked | None = None
    parts: tuple[str, ...] = ()
    serving: tuple[str, ...] = ()
    without: tuple[str, ...] = ()


def companions(system: str, rules: Sequence[Rule]) -> Check:
    """The check `<system>.companions` of these rules."""
    if len({rule.id for rule in rules}) != len(rules):
        raise ValueError(f"{system}: two companion rules share an id")

    def safety(x: Any) -> bool:
        return any(rule.severity == "safety" and _state(rule, x, Outcome()) is False for rule in rules)

    def applies(car: Any, position: str | None) -> bool:
        return any(rule.when(car) for rule in rules)

    return Check(
        title="What a part needs beside it",
        system=system,
        safety=safety,
        applies=applies,
        reads=("car",),
        inputs=[option(f"companion.fitted@{rule.id}", rule.id) for rule in rules],
        values={"missing_count": Shown("companions missing", "dimensionless")},
        judge=_judge(rules),
        say=_say(rules),
        formula="a rule speaks when its first part is recorded and its second is recorded as absent",
        basis=[common_practice("rules of the trade, each with its reason")],
    )


def _judge(rules: Sequence[Rule]) -> Judge:
    """The judging function: each broken rule is a limit, a note a caution and the others a fail."""

    def judge(x: Any, out: Outcome) -> None:
        broken = [rule for rule in rules if _state(rule, x, out) is False]
        out.value("missing_count", len(broken))
        for rule in broken:
            out.must(False, f"{rule.present} needs {rule.needs}: {rule.why}", "caution" if rule.severity == "note" else "fail", of=rule.id)
            out.advise(f"{rule.present}: {rule.needs}")

    return judge


def _state(rule: Rule, x: Any, out: Outcome) -> bool | None:
    """True kept, False broken, None not applicable or not answered (then it is asked)."""
    if not rule.when(x.car):
        return None
    answer = rule.answered(x.car) if rule.answered else None
    if answer is None:
        answer = _by_parts(rule, x.car)
    if answer is None:
        answer = getattr(x, rule.id)
    if answer is None:
        out.ask(f"companion.fitted@{rule.id}", f"{rule.present}: {rule.needs}?")
    return answer


def _by_parts(rule: Rule, car: Any) -> bool | None:
    """What the list of parts, and that of what is deliberately not fitted, say of a rule."""
    if any(_fitted(car, kind, rule.serving) for kind in rule.parts):
        return True
    if any(_absent(car, kind, rule.serving) for kind in rule.without):
        return False
    return False if rule.parts and all(_absent(car, kind, rule.serving) for kind in rule.parts) else None


def _fitted(car: Any, kind: str, serving: Sequence[str]) -> bool:
    if not serving:
        return bool(car.on_car(kind))
    parts = [part for part in car.document.get("parts") or () if part["kind"] == kind and part.get("status", "fitted") != "removed"]
    told = [f"{part.get('position') or ''} {part.get('name') or ''}".casefold() for part in parts] + car.labels(kind)
    return any(word in text for text in told for word in serving)


def _absent(car: Any, kind: str, serving: Sequence[str]) -> bool:
    """Whether none is fitted at all, or none at a place that one of the words names."""
    return any(absent == kind and (place is None or any(word in place for word in serving)) for absent, place in car.facts.absent)


def _say(rules: Sequence[Rule]) -> Callable[[Any], str]:
    """The sentence: what is missing and why, the needs of one part told together."""

    def say(s: Any) -> str:
        broken = {limit.of for limit in s.limits if limit.violated}
        needs: dict[str, list[Rule]] = {}
        for rule in rules:
            if rule.id in broken:
                needs.setdefault(rule.present, []).append(rule)
        if not needs:
            return "Every part that needs another has it, as far as it has been answered."
        return " ".join(_need(present, found) for present, found in needs.items())

    return say


def _need(present: str, broken: Sequence[Rule]) -> str:
    text = f"{present[:1].upper()}{present[1:]} needs "
    if len(broken) == 1:
        return f"{text}{broken[0].needs}: {broken[0].why}."
    *most, last = [f"{rule.needs} ({rule.why})" for rule in broken]
    return f"{text}{', '.join(most)} and {last}."
