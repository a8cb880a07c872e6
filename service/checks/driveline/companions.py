"""Parts of the driveline that need others beside them."""

from __future__ import annotations

from math import pi
from typing import Any

from service.calc.engine import crank_power
from service.checks.companions import Rule, companions
from service.checks.driveline.bolts import ENGAGEMENT_FAIL
from service.checks.driveline.transmission_power import HEAVY_DUTY_POWER
from service.notation import thread

#: Yokes nearer in line than this count as in phase, rad (2 deg). Common practice.
IN_PHASE = 2 * pi / 180
#: Exhaust from an aluminum or carbon shaft, m. Common practice.
EXHAUST_DISTANCE = 0.040


def _type(car: Any) -> str | None:
    recorded = car.value("transmission.type")
    if recorded is not None or not car.on_car("transmission"):
        return str(recorded) if recorded is not None else None
    return "manual" if car.on_car("clutch") and not car.on_car("torque_converter") else "automatic" if car.on_car("torque_converter") else None


def automatic(car: Any) -> bool:
    """Whether an automatic is recorded, by its type or its converter."""
    return _type(car) == "automatic"


def manual(car: Any) -> bool:
    """Whether a manual gearbox is recorded, by its type or its clutch."""
    return _type(car) == "manual"


def electronic(car: Any) -> bool:
    """Whether the transmission is controlled electronically."""
    return bool(car.value("transmission.control") == "electronic")


def hydraulic(car: Any) -> bool:
    """Whether it is an automatic controlled by oil alone."""
    return automatic(car) and bool(car.value("transmission.control") == "hydraulic")


def present(*subjects: str) -> Any:
    """Answered yes when one of these parts is on the car, no when all are recorded as absent, else not answered."""
    def answer(car: Any) -> bool | None:
        if any(car.on_car(subject) for subject in subjects):
            return True
        return False if all(car.facts.is_absent(subject) for subject in subjects) else None
    return answer


def recorded(address: str) -> Any:
    """Answered yes when this fact is recorded, else not answered."""
    return lambda car: True if car.exists(address) else None


def _over_600(car: Any) -> bool:
    power = car.value("engine.peak_power")
    return automatic(car) and power is not None and crank_power(power, car.value("engine.power_basis")) > HEAVY_DUTY_POWER


def _heavy_duty(car: Any) -> bool | None:
    duty = car.value("transmission.duty")
    return None if duty is None else bool(duty == "heavy_duty")


def spacer_at(side: str) -> Any:
    """Whether a spacer is on the car at this side of the flexplate; the crank's unless recorded."""
    return lambda car: bool(car.on_car("flexplate_spacer") and (car.value("flexplate_spacer.location") or "crank") == side)


def _long_enough(length: str, screw: str, washer: str) -> Any:
    """Whether the bolts recorded engage with the spacer in; not answered while a figure is missing."""
    def answer(car: Any) -> bool | None:
        figures = [car.value(name) for name in (length, screw, "flexplate.thickness", "flexplate_spacer.thickness")]
        if any(figure is None for figure in figures):
            return None
        bolt, text, plate, spacer = figures
        return bool(bolt - plate - spacer - (car.value(washer) or 0.0) >= ENGAGEMENT_FAIL * thread(text).diameter)
    return answer


def _two_piece(car: Any) -> bool:
    return {"front", "rear"} <= set(car.labels("driveshaft"))


def _in_phase(car: Any) -> bool | None:
    phases = [car.value(f"driveshaft.yoke_phase@{place}") for place in ("front", "rear")]
    if any(phase is None for phase in phases):
        return None
    return all(abs(phase) <= IN_PHASE for phase in phases)


def use_in(*uses: str) -> Any:
    """Whether the build is for one of these uses."""
    return lambda car: (car.value("build.use") or "street") in uses


def both(first: Any, second: Any) -> Any:
    """Whether both hold."""
    return lambda car: bool(first(car) and second(car))


def _another_makers(car: Any) -> bool:
    if car.on_car("adapter_plate"):
        return True
    makers = {part["kind"]: (part.get("maker") or "").strip().casefold() for part in car.document.get("parts") or () if part.get("status") != "removed"}
    housing, engine = makers.get("bellhousing"), makers.get("engine")
    return bool(housing and engine and housing != engine)


def _mechanical_speedometer(car: Any) -> bool:
    mechanical = car.exists("speedometer.cable_revs_per_mile") or car.on_car("speedometer_cable")
    return electronic(car) and bool(mechanical) and not car.exists("transmission.speedometer_drive_teeth")


def _adapter(car: Any) -> bool:
    return bool(car.on_car("adapter_plate") or (car.value("driveline.adapter_thickness") or 0.0) > 0)


def shaft_of(*materials: str) -> Any:
    """Whether some driveshaft is of one of these materials."""
    return lambda car: any(car.value(f"driveshaft.material{at}") in materials for at in ("", "@front", "@rear", "@front axle"))


def _exhaust_clear(car: Any) -> bool | None:
    for label in car.labels("exhaust_clearance"):
        if car.value(f"exhaust_clearance.neighbor@{label}") == "driveshaft":
            distance, shield = car.value(f"exhaust_clearance.distance@{label}"), car.value(f"exhaust_clearance.shield@{label}")
            return None if distance is None else bool(shield or distance >= EXHAUST_DISTANCE)
    return None


_SHIELDS = use_in("track", "drag")

RULES = (
    Rule("transmission_controller", "an electronic transmission", "a controller with a calibration for this engine, tire and axle, and its harness",
         "stop", "it does not shift, or shifts with full line pressure lost", electronic, present("transmission_controller")),
    Rule("throttle_and_speed_signal", "an electronic transmission behind a carburetor or cable throttle",
         "a throttle-position sensor and an engine-speed signal", "stop", "the controller has no load signal",
         lambda car: electronic(car) and (car.on_car("carburetor") or car.value("fuel_system.kind") == "carburetor")),
    Rule("throttle_pressure_cable", "a hydraulic automatic with a throttle-pressure cable", "the cable set by gauge with this throttle's geometry",
         "stop", "low line pressure burns the clutches within miles", both(hydraulic, lambda car: car.on_car("throttle_pressure_cable"))),
    Rule("modulator_vacuum", "a hydraulic automatic with a modulator", "a vacuum source that suits the cam, or an electric or mechanical substitute",
         "note", "late or harsh shifts", both(hydraulic, lambda car: not car.on_car("throttle_pressure_cable"))),
    Rule("starter_inhibit", "an automatic", "a starter that only turns in P and N", "safety", "the car can start in gear (49 CFR 571.102)", automatic),
    Rule("gear_display", "an automatic", "a display of the gears in order", "safety", "the driver cannot see the gear engaged (49 CFR 571.102)", automatic),
    Rule("park_lock", "an automatic", "a working park lock", "safety", "the car can roll away", automatic),
    Rule("reverse_lamps", "an automatic", "reverse lamps", "safety", "nobody sees it back up", automatic,
         parts=("lamp",), serving=("reverse", "reversing", "backup", "back-up")),
    Rule("fluid_cooler", "an automatic", "a fluid cooler", "stop", "its fluid burns", automatic, present("transmission_cooler")),
    Rule("pilot_bearing", "a manual transmission", "a pilot bushing or bearing in the crank", "stop", "the input shaft is unsupported",
         manual, present("pilot_bearing")),
    Rule("clutch_free_travel", "a manual transmission", "a clutch release with free travel", "stop", "the clutch slips and the bearing wears out",
         manual, recorded("clutch_release.free_play")),
    Rule("clutch_switch", "a manual transmission", "a clutch switch where the starter needs it", "safety", "the car can start in gear", manual,
         parts=("switch",), serving=("clutch",)),
    Rule("heavy_duty_transmission", "an engine over about 600 hp with an automatic", "a heavy-duty transmission", "safety",
         "a bursting automatic throws parts and hot fluid", _over_600, _heavy_duty),
    Rule("longer_converter_bolts", "a spacer between flexplate and converter",
         "longer converter bolts (often M8, seldom in ordinary hardware stores)", "safety", "the old bolts engage too few threads",
         spacer_at("converter"), _long_enough("torque_converter.bolt_length", "torque_converter.bolt_thread", "torque_converter.washer_thickness")),
    Rule("longer_crank_bolts", "a spacer between crank and flexplate", "longer crank bolts", "safety", "the old bolts engage too few threads",
         spacer_at("crank"), _long_enough("flexplate.crank_bolt_length", "engine.crank_bolt_thread", "flexplate.crank_washer_thickness")),
    Rule("spacer_pilot_register", "a spacer between crank and flexplate", "a pilot register in the spacer", "safety",
         "the pilot no longer reaches the crank", both(spacer_at("crank"), lambda car: car.on_car("torque_converter")),
         recorded("flexplate_spacer.pilot_depth")),
    Rule("mounts_marked", "adjustable engine mounts", "final torque and a scribed mark after the transmission and shaft are in", "note",
         "their position decides gap, shaft length and angles", lambda car: car.value("engine_mounts.adjustable") is True),
    Rule("lockup_control", "a converter with lock-up", "lock-up control (pressure switch, relay or controller)", "note",
         "no lock-up at cruise and heat, or stalling if always on", lambda car: car.value("torque_converter.lockup") is True,
         present("transmission_controller")),
    Rule("adapter_measured", "a mid plate or adapter plate", "its thickness recorded", "note", "it moves the converter back", _adapter,
         recorded("driveline.adapter_thickness")),
    Rule("adapter_dowels", "a mid plate or adapter plate", "longer dowels", "note", "the bellhousing is not located", _adapter),
    Rule("adapter_starter", "a mid plate or adapter plate", "the starter's spacing checked", "note", "the plate moves the starter", _adapter,
         recorded("starter.rest_gap")),
    Rule("bellhousing_runout", "a bellhousing or adapter of another maker", "its bore run-out to the crank measured (0.13 mm each way at most)",
         "note", "converter and input shaft run eccentric", _another_makers, recorded("bellhousing.bore_runout")),
    Rule("center_bearing", "a two-piece driveshaft", "a center bearing on a rigid bracket", "safety", "a third joint without support",
         _two_piece, present("center_bearing")),
    Rule("yokes_in_phase", "a two-piece driveshaft", "yokes in phase", "safety", "out of phase the joints add instead of cancel", _two_piece, _in_phase),
    Rule("driveshaft_loop", "track or drag use", "a driveshaft loop near the front joint", "note", "a shaft that lets go digs in or comes up",
         both(_SHIELDS, lambda car: car.on_car("driveshaft")), present("driveshaft_loop")),
    Rule("flexplate_certified", "track or drag use", "flexplate to SFI 29.1 and damper to SFI 18.1 where the rules ask", "note", "scatter protection",
         both(_SHIELDS, lambda car: car.on_car("flexplate"))),
    Rule("transmission_shield", "track or drag use", "a transmission shield to SFI 4.1 where the rules ask", "note", "scatter protection",
         both(_SHIELDS, automatic)),
    Rule("clutch_certified", "a clutch with track or drag use", "flywheel and clutch to SFI 1.1, bellhousing to SFI 6.1 where the rules ask", "note",
         "burst protection", both(_SHIELDS, lambda car: car.on_car("clutch"))),
    Rule("speedometer_drive", "a mechanical speedometer with an electronic-only transmission",
         "an electric-to-cable drive, or an electronic speedometer", "note", "no speed indication", _mechanical_speedometer),
    Rule("controller_pulses", "an electronic transmission that shifts by speed", "the controller set to the pulses a mile that tire and axle give",
         "stop", "it shifts at the wrong speed", electronic),
    Rule("locked_differential", "a locked differential on the street", "the owner told of tire scrub, wet handling and axle-shaft load", "note",
         "it handles unlike any other car", both(use_in("street"), lambda car: car.value("axle.differential") == "locked")),
    Rule("shaft_heat", "an aluminum or carbon driveshaft", "the exhaust at least 40 mm away or shielded", "note", "it loses strength with heat",
         shaft_of("aluminum", "carbon"), _exhaust_clear),
    Rule("carbon_critical_speed", "an aluminum or carbon driveshaft", "its maker's critical speed on file", "note", "only its maker knows the tube",
         shaft_of("aluminum", "carbon"), recorded("driveshaft.critical_speed")),
)

CHECK = companions("driveline", RULES)
