"""Service intervals by what is fitted. All `common practice` for a car of this kind; the maker of a part comes first."""

from __future__ import annotations

from dataclasses import dataclass

#: A distance in miles with the kilometers that are said beside it.
Distance = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Rule:
    """What is due when any of `kinds` is fitted: once at `first`, then every `every` or so many `years`, whichever comes first.

    `{parts}` in `what` is replaced by the names of the parts of those kinds; `note` is added to the interval.
    """

    key: str
    kinds: frozenset[str]
    what: str
    first: Distance | None = None
    every: Distance | None = None
    years: int = 0
    note: str = ""


def _kinds(names: str) -> frozenset[str]:
    return frozenset(names.split())


RULES = (
    Rule("engine-oil", _kinds("engine"), "Engine oil and filter", (500, 800), (5000, 8000), 1),
    Rule("filters", _kinds("fuel_filter fuel_strainer air_cleaner"), "Filters: {parts}", None, (12000, 20000), 2),
    Rule("coolant-level", _kinds("radiator"), "Coolant: level cold, hoses, clamps, cap; never open it hot", None, (6000, 10000), 1),
    Rule("transmission-fluid", _kinds("transmission"), "Transmission fluid", None, (30000, 50000), 0, "half that when towing or racing"),
    Rule("axle-oil", _kinds("axle"), "Axle oil", (500, 800), (30000, 50000)),
    Rule("transfer-oil", _kinds("transfer_case"), "Transfer case oil", (500, 800), (30000, 50000)),
    Rule("brakes", _kinds("brake brake_pad brake_rotor brake_shoe brake_drum master_cylinder"),
         "Brakes: lining thickness, hoses, leaks, pedal; wheels off, car on stands", None, (6000, 10000), 1),
    Rule("parking-brake", _kinds("parking_brake parking_brake_cable parking_brake_lever"), "Parking brake: travel, hold on a slope, cable",
         None, (6000, 10000), 1),
    Rule("joints", _kinds("driveshaft universal_joint steering_joint ball_joint tie_rod half_shaft drag_link idler_arm pitman_arm control_arm"),
         "Joints of driveline, steering and suspension: play, boots, locking; wheels off the ground, car on stands", None, (6000, 10000), 1),
    Rule("wheel-bearings", _kinds("wheel_bearing spindle hub"), "Wheel bearings: play, noise, grease where they take it", None, (12000, 20000), 2),
    Rule("belts", _kinds("belt accessory_drive"), "Drive belts: tension, cracks, run; engine off", (500, 800), (12000, 20000), 1),
    Rule("clutch", _kinds("clutch clutch_release clutch_linkage"), "Clutch: free play, fluid level, slip in top gear", None, (6000, 10000), 1),
    Rule("steering-fluid", _kinds("power_steering_pump power_steering_fluid"), "Power steering: fluid level, hoses", None, (6000, 10000), 1),
    Rule("battery", _kinds("battery"), "Battery: voltage at rest, clamps, hold-down, vent", None, None, 1),
    Rule("fuel", _kinds("fuel_tank fuel_line fuel_hose"),
         "Fuel lines and tank: look and smell for leaks, engine running and an hour after", None, (6000, 10000), 1),
    Rule("exhaust", _kinds("exhaust exhaust_pipe muffler header exhaust_manifold"), "Exhaust: leaks, hangers, gap to lines and floor", None, (12000, 20000), 2),
    Rule("belts-of-seats", _kinds("seat_belt"), "Seat belts: webbing, latches, anchor bolts", None, None, 1),
)

#: What is changed by age alone, in years from filling or fitting.
BRAKE_FLUID_YEARS = 2
COOLANT_YEARS = 3
RUBBER_YEARS = 5
TIRE_LIFE_YEARS = 10
#: From this age on tires are looked at every year for cracks and hardness.
TIRE_LOOK_YEARS = 6
RUBBER = _kinds("hose belt brake_hose fuel_hose power_steering_hose booster_hose timing_set")


def said(distance: Distance, units: str) -> str:
    """`500 mi (800 km)`, the shop's own unit first."""
    miles, kilometers = f"{distance[0]:,} mi", f"{distance[1]:,} km"
    return f"{kilometers} ({miles})" if units == "metric" else f"{miles} ({kilometers})"


def interval(rule: Rule, units: str) -> str:
    """`after 500 mi (800 km), then every 5,000 mi (8,000 km) or once a year`."""
    years = {0: "", 1: "once a year", 2: "every two years"}.get(rule.years, f"every {rule.years} years")
    again = " or ".join(word for word in (f"every {said(rule.every, units)}" if rule.every else "", years) if word)
    text = f"after {said(rule.first, units)}, then {again}" if rule.first else again
    return f"{text}; {rule.note}" if rule.note else text
