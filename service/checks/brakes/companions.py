"""What brake parts need beside them.

A conversion is rarely one part: discs in place of drums, a booster, another master cylinder each ask for something that
is easily forgotten on the bench and missed on the road.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from service.checks.companions import Rule, companions

#: Parts of a drum brake; one of them removed where a disc stands now tells of a conversion.
_DRUM_PARTS = ("brake_drum", "brake_shoe", "wheel_cylinder", "backing_plate")


def _type(car: Any, axle: str) -> Any:
    return car.value(f"brake.type@{axle}")


def _discs_for_drums(car: Any) -> bool:
    """A disc where a drum brake was taken off."""
    removed = [part for part in car.document.get("parts") or () if part.get("status") == "removed"]
    return any(_type(car, axle) == "disc" and any(_was_drum(part, axle) for part in removed) for axle in ("front", "rear"))


def _was_drum(part: Any, axle: str) -> bool:
    place = (part.get("position") or axle).split("_")[0].split(":")[0]
    if place not in (axle, "front", "rear"):
        place = axle
    kind = part.get("kind")
    drum = kind in _DRUM_PARTS or (kind == "brake" and (part.get("specs") or {}).get("type") == "drum")
    return drum and place == axle


def _on_car(*subjects: str) -> Callable[[Any], bool | None]:
    """Yes when all are on the car, no when one is recorded as absent, else not said."""
    def answered(car: Any) -> bool | None:
        if all(car.on_car(subject) for subject in subjects):
            return True
        return False if any(car.facts.is_absent(subject) for subject in subjects) else None
    return answered


def _said(rule: str) -> Callable[[Any], bool]:
    """Only when somebody has answered: nothing else in the record tells whether the rule applies."""
    return lambda car: car.value(f"companion.fitted@{rule}") is not None


def _disc_and_drum(car: Any) -> bool:
    return bool(_type(car, "front") == "disc" and _type(car, "rear") == "drum")


def _boosted_by(kind: str) -> Callable[[Any], bool]:
    return lambda car: car.value("brake_booster.type") == kind


def _single(car: Any) -> bool:
    return bool(car.value("master_cylinder.circuits") == 1)


def _towing(car: Any) -> bool:
    return bool(car.value("build.use") == "towing")


#: Vacuum at the booster below which it dips, Pa (16 inHg). Common practice.
_DIPS_BELOW = 54e3


def _dips(car: Any) -> bool:
    vacuum = car.value("brake_booster.supply_vacuum")
    return car.value("brake_booster.type") == "vacuum" and vacuum is not None and vacuum < _DIPS_BELOW


def _valve_taken_out(car: Any) -> bool | None:
    """The valve for drums is gone: recorded as not fitted, or as removed."""
    removed = any(part["kind"] == "residual_valve" and part.get("status") == "removed" for part in car.document.get("parts") or ())
    return car.facts.is_absent("residual_valve") or removed or None


RULES = (
    Rule("drum_residual_valve_removed", "a disc brake on an axle that had drums", "the residual-pressure valve for drums taken out of that circuit",
         "note", "it drags the pads", when=_discs_for_drums, answered=_valve_taken_out),
    Rule("low_cylinder_residual_valve", "a master cylinder below the calipers", "a residual valve of about 2 psi (14 kPa) in each disc circuit",
         "note", "fluid drains back and the pedal sinks", when=_said("low_cylinder_residual_valve"), answered=_on_car("residual_valve")),
    Rule("drum_residual_valve", "rear drums on a master cylinder made for four discs", "a residual valve of about 10 psi (70 kPa) at the rear",
         "note", "the wheel-cylinder cups draw air", when=_said("drum_residual_valve"), answered=_on_car("residual_valve")),
    Rule("disc_drum_proportioning", "a car with discs in front and drums at the rear", "a proportioning valve", "note", "the rear may lock first without it",
         when=_disc_and_drum, answered=_on_car("proportioning_valve")),
    Rule("disc_drum_metering", "a car with discs in front and drums at the rear", "a metering valve as a rule", "note",
         "the fronts bite before the shoes touch", when=_disc_and_drum, answered=_on_car("metering_valve")),
    Rule("booster_check_valve", "a vacuum booster", "a one-way valve in its hose", "note", "without it the help is lost after one push",
         when=_boosted_by("vacuum"), answered=_on_car("vacuum_check_valve")),
    Rule("booster_vacuum_hose", "a vacuum booster", "hose of vacuum grade", "note", "ordinary hose collapses",
         when=_boosted_by("vacuum"), answered=_on_car("booster_hose")),
    Rule("booster_reservoir", "a vacuum booster whose supply dips", "a vacuum reservoir or pump", "note", "without it the help is lost after one push",
         when=_dips, parts=("vacuum_reservoir", "vacuum_pump")),
    Rule("hydraulic_booster_pump", "a hydraulic booster", "a power-steering pump rated for it", "safety", "without it there is no help at the pedal",
         when=_boosted_by("hydraulic"), without=("power_steering_pump",)),
    Rule("hydraulic_booster_return", "a hydraulic booster", "its own return line", "safety", "back pressure takes the help away",
         when=_boosted_by("hydraulic")),
    Rule("dual_circuit", "a single-circuit master cylinder", "a dual-circuit one in its place", "note", "one leak and there are no brakes",
         when=lambda car: _single(car) and not _towing(car), answered=lambda car: False),
    Rule("dual_circuit_towing", "a single-circuit master cylinder on a car that tows", "a dual-circuit one in its place", "safety",
         "one leak and there are no brakes", when=lambda car: _single(car) and _towing(car), answered=lambda car: False),
    Rule("brake_hose_bracket", "a flexible brake hose", "bracket, clip and slack at full bump and lock", "safety", "a torn hose is no brakes",
         when=lambda car: car.on_car("brake_hose")),
)

CHECK = companions("brakes", RULES)
