"""The steady corner that the roll checks share: its inputs and the balance they give."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from service.calc import suspension as calc
from service.checks.core import Input, need, option, presence
from service.checks.suspension import shared

_ALWAYS = ("mass", "type", "track", "roll_center_height", "spring_rate", "spring_ratio")
_OF_A_BAR = ("diameter", "center_length", "arm_length", "bar_ratio")
ON_ITS_SPRINGS = ("live_axle", "beam")


def inputs(*, optional: bool = False) -> list[Input]:
    """The facts of a 1 g corner, named `front_…` and `rear_…`; all optional for a check that can do without."""
    want: Callable[..., Input] = (lambda fact, name, when=None: option(fact, name)) if optional else need
    found = [want("car.mass", "mass"), want("car.cg_height", "cg_height")]
    for axle in shared.AXLES:
        found.extend(_axle(axle, want))
    return [*found, *shared.radius_inputs(when=lambda x: x.has("cg_height"))]


def _axle(axle: str, want: Callable[..., Input]) -> list[Input]:
    def has_bar(x: Any) -> bool:
        return bool(getattr(x, f"{axle}_bar"))

    def on_springs(x: Any) -> bool:
        return getattr(x, f"{axle}_type") in ON_ITS_SPRINGS

    return [
        presence(f"anti_roll_bar@{axle}", f"{axle}_bar"),
        want(f"weights.axle_mass@{axle}", f"{axle}_mass"),
        want(f"suspension.type@{axle}", f"{axle}_type"),
        want(f"suspension.track@{axle}", f"{axle}_track"),
        want(f"suspension.roll_center_height@{axle}", f"{axle}_roll_center_height"),
        want(f"spring.rate@{axle}", f"{axle}_spring_rate"),
        want(f"spring.motion_ratio@{axle}", f"{axle}_spring_ratio"),
        want(f"spring.spacing@{axle}", f"{axle}_spacing", when=on_springs),
        want(f"anti_roll_bar.diameter@{axle}", f"{axle}_diameter", when=has_bar),
        want(f"anti_roll_bar.center_length@{axle}", f"{axle}_center_length", when=has_bar),
        want(f"anti_roll_bar.arm_length@{axle}", f"{axle}_arm_length", when=has_bar),
        want(f"anti_roll_bar.motion_ratio@{axle}", f"{axle}_bar_ratio", when=has_bar),
        *shared.bar_options(axle, f"{axle}_"),
        option(f"suspension.unsprung_mass@{axle}", f"{axle}_unsprung_mass",
               default=shared.unsprung_default(f"{axle}_mass", f"{axle}_type"), why=shared.WHY_UNSPRUNG),
    ]


def known(x: Any) -> bool:
    """Whether every fact that the balance needs is there."""
    if not x.has("mass", "cg_height"):
        return False
    return all(x.has(*(f"{axle}_{name}" for name in _wanted(x, axle))) for axle in shared.AXLES)


def _wanted(x: Any, axle: str) -> tuple[str, ...]:
    bar = _OF_A_BAR if getattr(x, f"{axle}_bar") else ()
    spacing = ("spacing",) if getattr(x, f"{axle}_type") in ON_ITS_SPRINGS else ()
    return (*_ALWAYS, *bar, *spacing)


def balance(x: Any) -> calc.Balance:
    """The 1 g corner of these inputs."""
    return calc.corner_balance(x.mass, x.cg_height, _side(x, "front"), _side(x, "rear"))


def _side(x: Any, axle: str) -> calc.Axle:
    def get(name: str) -> Any:
        return getattr(x, f"{axle}_{name}")

    track = get("track")
    base = get("spacing") if get("type") in ON_ITS_SPRINGS else track
    stiffness = calc.spring_roll_stiffness(get("spring_rate"), get("spring_ratio"), base)
    if get("bar"):
        stiffness += calc.bar_roll_stiffness(shared.bar_rate(x, f"{axle}_").rate, get("bar_ratio"), track)
    return calc.Axle(get("mass"), get("unsprung_mass"), track, get("roll_center_height"), stiffness, get("radius"))
