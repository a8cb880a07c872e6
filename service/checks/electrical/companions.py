"""What electrical parts need beside them."""

from __future__ import annotations

from typing import Any

from service.checks.companions import Rule, companions

#: Places from which a battery's gas and its long cable concern the cabin or the whole car. The reference's rule.
INSIDE = ("trunk", "cabin")
MOVED = (*INSIDE, "frame")
#: Batteries that give off gas when charged; unrecorded ones are taken as flooded. Common practice.
GASSING = ("flooded", "gel")
#: Ground roles that carry the starter's current. The reference's rule.
ENGINE_GROUNDS = ("engine_to_battery", "engine_to_body")
#: An alternator beyond this is more than the cables of an old car were made for, A. Common practice.
HIGHER_OUTPUT = 65.0
#: A pair of headlights beyond this draws more than its old switch was made for, A. Common practice.
HALOGEN_PAIR = 11.0
#: Words that name a headlight's circuit or part.
HEADLIGHT = ("headlight", "headlamp")


def _location(car: Any) -> Any:
    return car.value("battery.location")


def _inside(car: Any) -> bool:
    return _location(car) in INSIDE


def _gassing_inside(car: Any) -> bool:
    return _inside(car) and (car.value("battery.kind") or "flooded") in GASSING


def _cutoff(car: Any) -> bool | None:
    """A master switch answers it; without one a fuse at the battery may."""
    said, switch = car.value("companion.fitted@battery_cutoff"), car.value("battery.disconnect")
    fused = any("battery" in label and car.exists(f"circuit.fuse_rating@{label}") for label in car.labels("circuit"))
    answer: bool | None = said if said is not None else switch or fused or switch
    return answer


def _roles(car: Any) -> set[Any]:
    return {car.value(f"ground.role@{label}") for label in car.labels("ground")}


def _engine_to_body(car: Any) -> bool | None:
    return "engine_to_body" in _roles(car) or None


def _engine_ground(car: Any) -> bool | None:
    return any(role in _roles(car) for role in ENGINE_GROUNDS) or None


def _higher_output(car: Any) -> bool:
    return bool((car.value("alternator.rated_output") or 0.0) > HIGHER_OUTPUT)


def _charge_cable(car: Any) -> bool | None:
    """Judged by the circuit that is named for it: its wire and its fuse have checks of their own."""
    labels = [label for label in car.labels("circuit") if "alternator" in label or "charge" in label]
    if any(car.value(f"circuit.fused@{label}") is False for label in labels):
        return False
    known = any(car.exists(f"circuit.wire_size@{label}") and car.exists(f"circuit.fuse_rating@{label}") for label in labels)
    return known or None


def _circuits(car: Any) -> bool:
    return bool(car.labels("circuit"))


def _all_fused(car: Any) -> bool | None:
    labels = [label for label in car.labels("circuit") if "starter" not in label]
    states = [True if car.exists(f"circuit.fuse_rating@{label}") else car.value(f"circuit.fused@{label}") for label in labels]
    return False if False in states else None if None in states else True


def _drawn(car: Any) -> bool | None:
    return any(paper.get("kind") == "wiring diagram" for paper in car.document.get("papers") or ()) or None


def _headlight(label: str) -> bool:
    return any(word in label for word in HEADLIGHT)


def _bright_headlights(car: Any) -> bool:
    return any(_headlight(label) and (car.value(f"circuit.current@{label}") or 0.0) > HALOGEN_PAIR for label in car.labels("circuit"))


def _electronic(car: Any) -> bool:
    return bool(car.on_car("ignition_module"))


def _answered(rule: str) -> Any:
    """For parts that the vocabulary does not know: the rule speaks once somebody has answered it."""
    return lambda car: car.exists(f"companion.fitted@{rule}")


RULES = (
    Rule("battery_vent", "a battery in the trunk or cabin", "its vent hose led outside", "safety", "hydrogen collects and burns", _gassing_inside,
         lambda car: car.value("battery.vented_outside")),
    Rule("battery_hold_down", "a battery in the trunk or cabin", "a hold-down", "safety", "a loose battery spills acid and shorts", _inside,
         parts=("battery_tray",)),
    Rule("battery_positive_cover", "a battery in the trunk or cabin", "a cover on the positive post", "safety", "anything metal laid on it shorts it", _inside),
    Rule("battery_grommets", "a battery in the trunk or cabin", "a grommet wherever its cable passes a panel", "safety",
         "a chafed cable shorts along the whole car", _inside),
    Rule("battery_cutoff", "a battery in the trunk or cabin", "a fuse or cut-off at the battery", "safety",
         "its cable is live along the whole car", _inside, _cutoff),
    Rule("moved_battery_ground", "a battery moved from the engine", "a ground strap from the engine to the body as well", "safety",
         "the current returns through cables, hoses and bearings", lambda car: _location(car) in MOVED, _engine_to_body,
         without=("ground", "ground_strap")),
    Rule("starter_ground", "a starter", "a ground from the engine to the battery or the body", "stop", "without it the engine does not crank, or a cable burns",
         lambda car: car.on_car("starter"), _engine_ground, without=("ground",)),
    Rule("charge_cable", "a higher-output alternator", "a charge cable and its fuse sized to it", "safety",
         "the old cable is the fuse", _higher_output, _charge_cable),
    Rule("electronic_ignition_feed", "electronic ignition in place of points", "a feed of full voltage, without the ballast wire", "note",
         "the spark is weak", _electronic),
    Rule("electronic_ignition_tachometer", "electronic ignition in place of points", "a tachometer drive that suits it", "note",
         "the old one reads wrong", _electronic),
    Rule("circuit_fuse", "an added circuit", "a fuse", "note", "a short burns the wire", _circuits, _all_fused, without=("fuse",)),
    Rule("circuit_label", "an added circuit", "a label on its wire", "note", "the next mechanic looks for it", _circuits),
    Rule("circuit_drawing", "an added circuit", "its drawing in the book", "note", "the next mechanic looks for it", _circuits, _drawn),
    Rule("circuit_spare_length", "an added circuit", "its spare length noted", "note", "the next mechanic looks for it", _circuits),
    Rule("headlight_relay", "a brighter pair of headlights", "a relay", "note", "the switch burns", _bright_headlights,
         parts=("relay",), serving=HEADLIGHT),
    Rule("headlight_wire", "a brighter pair of headlights", "wire for the current", "note", "the old wire dims them and gets hot", _bright_headlights,
         lambda car: any(_headlight(label) and car.exists(f"circuit.wire_size@{label}") for label in car.labels("circuit")) or None),
    Rule("polarity_list", "a car converted from positive ground", "every part that minds its polarity listed", "stop",
         "electronics are destroyed", _answered("polarity_list")),
)

CHECK = companions("electrical", RULES)
