"""The cautions printed with each system. All `common practice` unless a sentence names its basis; local codes outrank them."""

from __future__ import annotations

from collections.abc import Sequence

#: Stands above all others in every book.
GENERAL = (
    "This book records how one car was built and what was measured on it. It is no safety inspection, registration or "
    "engineering certificate; inspection and equipment rules are local and come first, and have a licensed person inspect "
    "where the law or good sense asks for one.",
    "Work on brakes, steering, fuel, the driveline and under a raised car can kill. Where anything here is unclear, stop and "
    "ask a qualified person.",
)

#: Systems that share one set of cautions, with the sentences.
_SETS: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = (
    (("driveline", "engine"), (
        "Figures for torque, power and angle are calculated from the recorded parts and measurements. Ratings of the makers of "
        "the engine, transmission, shaft and axle come first; where they differ from this book, follow theirs.",
        "The driveshaft was checked for critical speed and joint angle as built. A different tire, axle ratio, ride height, rev "
        "limit or engine position changes the result; have it checked again before driving.",
        "Never work under the car, turn the driveline or test stall speed without wheels chocked, the car on stands and everyone "
        "clear. A stall test loads the brakes and overheats the fluid.",
        "Driveshaft, converter, flexplate and clutch parts can leave the car at speed. Loops, shields and the balancing of shafts "
        "belong to people equipped for it; race use follows the rules of the event.",
        "Recheck converter, crank, flange, joint-strap and mount fasteners after the first drive and at 500 mi (800 km).",
        "Vehicle inspection, speedometer and noise rules are local; nothing here replaces the inspection or a licensed "
        "engineer's approval where the law asks for one.")),
    (("brakes", "suspension", "steering", "alignment", "wheels", "weights"), (
        "Calculated brake, tire, steering and suspension results are checks on paper. They are no substitute for inspection and "
        "a supervised test by a qualified person; local roadworthiness, type-approval and competition rules override them.",
        "Do not drive a car with a failed safety check in brakes, steering, suspension or wheels. Bed new brakes, test first at "
        "walking pace, then at low speed in an empty place.",
        "Bands by use are trade practice, not law. A manual or maker's figure for the very part overrides them.",
        "Re-torque wheel nuts after the first 50 mi (80 km), and steering and suspension joints after the first drive and at "
        "500 mi (800 km).",
        "Springs, raised axles and jacked cars kill: compressor, stands and straps, nobody underneath during weighing.",
        "Tires older than ten years are not fit for the road whatever their tread.")),
    (("cooling",), ("Never open a hot pressurized system; an electric fan can start with the ignition off; antifreeze poisons "
                    "people and animals.",)),
    (("fuel",), ("Fuel figures here size parts, they do not prove a system leak-free. Pressure-test, look for leaks running and "
                 "an hour later, keep ignition sources away. Tanks and lines follow the law where the car is registered.",)),
    (("electrical",), (
        "The current figures come from a boat regulation and judgment, not from a vehicle code. Every wire is to be fused at its "
        "source to suit the wire. Disconnect the battery before work; batteries give off hydrogen.",
        "High-voltage (hybrid, electric) systems are outside this book and belong to people licensed for them.")),
    (("exhaust",), ("Carbon monoxide kills without smell; check for leaks before the car is driven closed. Emission equipment "
                    "and noise are governed by local law.",)),
    (("fasteners",), ("Torque is a poor measure of clamp load (±25 %); the maker's torque for a part outranks any figure computed "
                      "here. Torque-plus-angle bolts are used once.",)),
    (("readiness",), ("A “ready” here means the shop's own list is complete. It is not a safety inspection, registration or "
                      "engineering certificate. Test first at low speed, away from traffic.",)),
    (("identity",), ("Nothing here proves who owns a car or what it is; never alter, move or copy an identification plate.",)),
)


def for_systems(systems: Sequence[str]) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    """The sets of cautions that apply: for each, the systems present that it speaks of, and its sentences."""
    present = set(systems)
    found = [(tuple(name for name in names if name in present), sentences) for names, sentences in _SETS]
    return [(names, sentences) for names, sentences in found if names]
