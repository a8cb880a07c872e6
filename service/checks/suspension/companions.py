"""What suspension parts need beside them."""

from __future__ import annotations

from typing import Any

from service.checks.companions import Rule, companions
from service.checks.suspension.shared import AXLES


def _moved(car: Any) -> bool:
    return any(car.exists(f"suspension.ball_joint_moved@{axle}") for axle in AXLES)


def _moved_spring_arm(car: Any) -> bool:
    return any(
        car.value(f"suspension.ball_joint_moved@{axle}") == (car.value(f"suspension.spring_arm@{axle}") or "lower")
        for axle in AXLES if car.exists(f"suspension.ball_joint_moved@{axle}")
    )


def _suits_load(car: Any) -> bool | None:
    answers = [car.value(f"suspension.ball_joint_suits_load_direction@{axle}") for axle in AXLES
               if car.exists(f"suspension.ball_joint_moved@{axle}")]
    return False if False in answers else None if None in answers else True


def _greasable(car: Any) -> bool:
    return any(car.value(f"anti_roll_bar.bushing_material@{axle}") == "polyurethane" and car.value(f"anti_roll_bar.greasable@{axle}")
               for axle in AXLES)


def _hollow_bars(car: Any) -> list[str | None]:
    """Positions of the bars that their records call hollow or tubular."""
    return [part.get("position") for part in car.document.get("parts") or ()
            if part["kind"] == "anti_roll_bar" and part.get("status") != "removed" and _called_hollow(part)]


def _called_hollow(part: Any) -> bool:
    told = " ".join(str(part.get(key) or "") for key in ("name", "notes", "order_as")).casefold()
    return "hollow" in told or "tubular" in told


def _walls_recorded(car: Any) -> bool:
    return all(car.exists(f"anti_roll_bar.wall@{position or 'front'}") for position in _hollow_bars(car))


def _lowered(car: Any) -> bool:
    return bool(car.on_car("lowering_block") or car.on_car("lowering_spring"))


def _recorded(*facts: str) -> Any:
    """Answered yes where one of these facts is recorded at some axle; else it is asked."""
    return lambda car: any(car.exists(f"{fact}@{axle}") for fact in facts for axle in AXLES) or None


RULES = (
    Rule("bushing_grease", "a polyurethane bushing with a grease fitting", "grease of the silicone type at each service", "note",
         "dry bushings squeak, bind and falsify the rate", _greasable),
    Rule("alignment_after_moved_joint", "a moved ball joint", "the alignment set again", "note",
         "the move changes camber and toe", _moved),
    Rule("joint_suits_load", "a moved ball joint", "a joint fit for the direction of its load", "note",
         "a joint made to be pushed may be pulled out", _moved, _suits_load),
    Rule("clearance_after_moved_joint", "a ball joint moved on the arm with the spring", "tire-to-fender room and ground clearance measured again", "note",
         "the car sits lower by about the shift, with its bump travel unchanged", _moved_spring_arm),
    Rule("hollow_bar_wall", "a hollow bar", "its wall recorded", "note",
         "without it the rate is unknown", lambda car: bool(_hollow_bars(car)), _walls_recorded),
    Rule("lowered_travel", "a lowered car", "bump travel checked again", "note",
         "lowering takes bump travel", _lowered, _recorded("suspension.bump_stop_gap", "suspension.bump_travel")),
    Rule("lowered_bar_clearance", "a lowered car", "the bar's clearance checked again", "note",
         "lowering brings the bar nearer to the axle", _lowered, _recorded("anti_roll_bar.clearance_at_ride")),
    Rule("lowered_bump_steer", "a lowered car", "bump steer checked again", "note",
         "lowering moves the tie rods out of their line", _lowered,
         _recorded("suspension.measured_toe_in_bump", "suspension.tie_rod_outer_z")),
    Rule("lowered_driveline_angles", "a lowered car", "the driveline angles checked again", "note",
         "lowering changes the angles of the driveshaft's joints", _lowered,
         lambda car: car.exists("driveline.pinion_slope") or None),
)

CHECK = companions("suspension", RULES)
