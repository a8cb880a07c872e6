"""What wheels and tires need beside them.

A spacer or an aluminum wheel changes what holds the wheel on; radials on a car laid out for bias-ply tires ask for
another alignment and for wheels that stand their side loads.
"""

from __future__ import annotations

from typing import Any

from service.checks.companions import Rule, companions
from service.document.address import split
from service.notation import tire_size

#: A spacer above this, m, takes the wheel off its pilot. Common practice.
THICK_SPACER = 0.010
#: Cars up to this model year were laid out for bias-ply tires. Common practice.
LAST_BIAS_PLY_YEAR = 1974


def _recorded(car: Any, address: str) -> list[Any]:
    """Every recorded value of a fact, wherever it stands."""
    subject, field, _ = split(address)
    return [fact.value for fact in (car.facts.places.get((subject, field)) or {}).values()]


def _thick_spacer(car: Any) -> bool:
    return any(thickness > THICK_SPACER for thickness in _recorded(car, "wheel.spacer_thickness"))


def _offset_known(car: Any) -> bool | None:
    return True if _recorded(car, "wheel.offset") or _recorded(car, "wheel.backspacing") else None


def _thread_known(car: Any) -> bool | None:
    counted = _recorded(car, "lug_nut.turns")
    measured = all(_recorded(car, name) for name in ("hub.stud_length", "wheel.seat_thickness", "lug_nut.thread_length"))
    return True if counted or measured else None


def _radials_for_bias_ply(car: Any) -> bool:
    year = car.value("car.year")
    return year is not None and year <= LAST_BIAS_PLY_YEAR and any(tire_size(size).radial for size in _recorded(car, "tire.size"))


def _wheels_rechecked(car: Any) -> bool | None:
    """Whether the tightening record asks for the wheel nuts again."""
    nuts = [entry for entry in car.document.get("fasteners") or () if entry.get("system") == "wheels"]
    if not nuts:
        return None
    return all(bool(entry.get("recheck_after") or entry.get("rechecked_at")) for entry in nuts)


RULES = (
    Rule("thick_spacer_centering", "a spacer over 10 mm", "a hub lip of its own, or the bolt-on type", "note", "the wheel is no longer centered",
         when=_thick_spacer),
    Rule("thick_spacer_thread", "a spacer over 10 mm", "the thread in the nut counted or measured with it", "note", "it eats the stud",
         when=_thick_spacer, answered=_thread_known),
    Rule("thick_spacer_offset", "a spacer over 10 mm", "the wheel's offset recorded without it", "note", "gaps and track are reckoned from the wheel's own",
         when=_thick_spacer, answered=_offset_known),
    Rule("wheel_nut_recheck", "a wheel (an aluminum one above all)", "its nuts torqued again after about 50 mi (80 km)", "note", "the seats settle",
         when=lambda car: car.on_car("wheel"), answered=_wheels_rechecked),
    Rule("radial_alignment", "a car on radial tires in place of bias-ply", "alignment to figures for radials", "note", "they want more caster and less toe",
         when=_radials_for_bias_ply),
    Rule("radial_wheel_rating", "a car on radial tires in place of bias-ply", "wheels rated for radials", "note", "radials load the rim more",
         when=_radials_for_bias_ply),
)

CHECK = companions("wheels", RULES)
