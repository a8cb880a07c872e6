"""One check judged at one position: its outcome at the nominal values, the worst case, the verdict and what holds it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service.checks.bind import Car
from service.checks.core import Inputs
from service.checks.outcome import Cap, Missing, Outcome, Verdict
from service.checks.plan import NOT_COMPUTABLE, Plan, judged
from service.checks.spread import FAILING, NONE, Spread, doubted, spread
from service.quantities import System


@dataclass(frozen=True, slots=True)
class Finding:
    """What was found: `missing` are addresses, `inputs` the nominal values by name, `cap` what changed the verdict."""

    car: Car
    plan: Plan
    system: System
    inputs: Mapping[str, Any]
    out: Outcome
    missing: list[str]
    worst: Spread
    verdict: Verdict
    cap: Cap | None

    @property
    def safety(self) -> bool:
        """Whether this is a safety check, for these inputs; not while what decides it is missing or means nothing."""
        safety = self.plan.check.safety
        if not callable(safety):
            return safety
        try:
            return bool(safety(Inputs(dict(self.inputs))))
        except NOT_COMPUTABLE:
            return False

    @property
    def margin(self) -> float | None:
        """The smallest signed fraction to a fail limit, or to a caution limit where there is no other."""
        limits = self.out.limits
        if self.verdict == "fail" and any(limit.violated and limit.kind == "must" and limit.verdict == "fail" for limit in limits):
            return None
        for kind in ("fail", "caution"):
            found = [limit for limit in limits if limit.verdict == kind and limit.kind != "must"]
            if found:
                known = [limit.margin for limit in found if limit.margin is not None]
                return round(min(known), 9) + 0.0 if known else None  # no minus before a zero
        return None


def judge(car: Car, plan: Plan, system: System, *, whole: bool = True) -> Finding:
    """Judge a bound check once at the nominal values, look at the worst case, and decide.

    Unless `whole`, the worst case is looked at only as far as the verdict hangs on it; `low` and `high` are not found.
    """
    inputs = plan.nominal()
    out = judged(plan.check, dict(inputs))
    missing = _missing(plan, out, inputs)
    worst = NONE
    if plan.variables and (whole or plan.check.doubt is not None):
        worst = spread(plan, out)
    elif plan.variables and decide(out, missing, FAILING)[0] != decide(out, missing, worst)[0]:
        worst = spread(plan, out, verdict_only=True)
    doubted(plan, inputs, out, worst)
    verdict, cap = decide(out, missing, worst)
    return Finding(car, plan, system, inputs, out, missing, worst, verdict, cap)


def decide(out: Outcome, missing: list[str], worst: Spread) -> tuple[Verdict, Cap | None]:
    """The verdict, and the cap that changed it if one did."""
    verdict = out.verdict
    if out.reason is not None:
        return "unknown", None
    if missing:
        # A fail that rests on an assumption is none while facts are missing besides.
        firm = verdict == "fail" and all(cap.floor for cap in out.caps)
        return ("fail", None) if firm else ("unknown", None)
    if verdict == "pass" and worst.fails:
        verdict = "caution"
    for cap in out.caps:
        if (cap.floor and verdict == "pass") or (not cap.floor and verdict == "fail"):
            return "caution", cap
    return verdict, None


def _missing(plan: Plan, out: Outcome, inputs: Mapping[str, Any]) -> list[str]:
    touched = [plan.addresses.get(name, name) for name in out.missing if not _waits_for_a_named_fact(plan, name, inputs)]
    return list(dict.fromkeys([*plan.missing, *touched]))


def _waits_for_a_named_fact(plan: Plan, name: str, inputs: Mapping[str, Any]) -> bool:
    """Whether this is a default that cannot be worked out only because a fact is missing that is listed already."""
    item = plan.defaults.get(name)
    if item is None or not callable(item.default):
        return False
    try:
        item.default(Inputs(dict(inputs)))
    except Missing as missing:
        return plan.addresses.get(missing.name, missing.name) in plan.missing
    except NOT_COMPUTABLE:
        return False
    return False
