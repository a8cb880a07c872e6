"""Brakes: the brake of each axle, what works it, the fluid, and what a firm push shows.

Ranges are `common practice`; the hard ones leave out only what cannot be a brake of a car.
"""

from __future__ import annotations

from service.vocabulary.core import AXLES, Field, Kind, Positions

#: Loose items can be said to be at a corner, on an axle, anywhere by name, or nowhere in particular.
ANYWHERE = Positions(label=True)
GRADES = ("dot_3", "dot_4", "dot_5", "dot_5_1", "mineral_oil")

BRAKE = Kind("brake", "Brake", "brakes", (
    Field("type", "disc or drum", "choice", choosable=True, how="look", choices=("disc", "drum")),
    Field("piston_count", "pistons of one caliper", "integer", "1..6", "1..16", True, "count all pistons of one caliper, both sides"),
    Field("piston_diameter", "piston diameter", "length", "28..75 mm", "10..150 mm", True, "caliper; of pistons of two sizes the one of equal mean area"),
    Field("caliper_type", "floating or fixed caliper", "choice", choosable=True, how="look: pistons on one side only and a sliding body is floating",
          choices=("floating", "fixed")),
    Field("pad_friction", "friction coefficient of the pads", "dimensionless", "0.30..0.50", "0.05..1", True, "pad maker's data, at working temperature"),
    Field("effective_radius", "effective radius", "length", "90..165 mm", "30..300 mm", True, "axle center to the middle of the pad"),
    Field("rotor_diameter", "rotor diameter", "length", "220..400 mm", "100..600 mm", True, "caliper or tape"),
    Field("rotor_mass", "mass of one rotor", "mass", "3..14 kg", "0.5..40 kg", True, "scale, off the car; iron only, without an aluminum hat"),
    Field("ventilated", "ventilated rotor", "yes_no", choosable=True, how="look at its edge"),
    Field("wheel_cylinder_diameter", "wheel-cylinder bore", "length", "16..32 mm", "8..60 mm", True, "cast in, or caliper"),
    Field("drum_radius", "drum inside radius", "length", "100..160 mm", "50..300 mm", True, "half the inside diameter, drum gauge"),
    Field("brake_factor", "brake factor: drum drag force over force on one shoe", "dimensionless", "1.8..5", "0.5..10", True,
          "maker's data; leading-trailing shoes about 2.0 to 2.3, two leading 2.8 to 3.4, duo-servo 4.0 to 5.0 (from memory): give a tolerance"),
    Field("energy_share", "share of the stop's energy on this axle", "dimensionless", "50..85 %", "0..100 %", how="maker's data or a balance calculation"),
    Field("caliper_radius", "axle center to the caliper's outermost point", "length", "130..220 mm", "50..400 mm", how="rule from the hub's center"),
    Field("caliper_projection", "hub face outboard to the caliper's outermost face", "length", "0..80 mm", "-100..200 mm",
          how="straightedge across the caliper, rule to the face the wheel sits on"),
), AXLES)

PEDAL = Kind("brake_pedal", "Brake pedal", "brakes", (
    Field("ratio", "pedal ratio", "dimensionless", "3.5..7", "1..15", True, "pivot to the middle of the pad over pivot to the rod's pin"),
    Field("force", "force on the pedal", "force", "150..500 N", "1..3000 N", True, "pedal force gauge"),
))

MASTER_CYLINDER = Kind("master_cylinder", "Master cylinder", "brakes", (
    Field("bore", "bore", "length", "19..32 mm", "8..60 mm", True, "cast in, or caliper in the open bore"),
    Field("stroke", "stroke", "length", "25..45 mm", "5..100 mm", True, "push the piston down on the bench, rule at the rod"),
    Field("circuits", "separate circuits", "integer", "2..2", "1..2", True, "look: two outlets fed by two chambers"),
))

BOOSTER = Kind("brake_booster", "Brake booster", "brakes", (
    Field("type", "kind of booster", "choice", choosable=True, how="look", choices=("none", "vacuum", "hydraulic")),
    Field("boost_ratio", "output over input force below run-out", "dimensionless", "2..5", "1..15", True, "maker's data, or two force gauges"),
    Field("runout_force", "output force at run-out", "force", "2..6 kN", "0.1..30 kN", True, "maker's data: where more push gives no more help"),
    Field("supply_vacuum", "vacuum at the booster", "pressure", "50..75 kPa", "1..101 kPa", True,
          "gauge at the booster, hot, idling, in gear, accessories on; below outside air", suits="inHg"),
    Field("supply_pressure", "pressure at the booster", "pressure", "5..12 MPa", "0.5..30 MPa", True,
          "gauge at the booster, hot idle, brakes and steering worked"),
))

PROPORTIONING_VALVE = Kind("proportioning_valve", "Proportioning valve", "brakes", (
    Field("knee_pressure", "pressure where it starts to hold the rear back", "pressure", "2..5 MPa", "0..20 MPa", True, "two gauges, front and rear"),
    Field("slope", "rise of rear over front pressure above the knee", "dimensionless", "0.25..0.6", "0..1", True, "two gauges, front and rear"),
    Field("bypass", "opens fully if the front circuit is lost", "yes_no", choosable=True, how="maker's statement, or front bled open and a gauge at the rear"),
))

PARKING_BRAKE = Kind("parking_brake", "Parking brake", "brakes", (
    Field("kind", "what the cable works", "choice", choosable=True, how="look", choices=("drum_shoes", "caliper_lever", "drum_in_hat")),
    Field("force", "force on the lever or pedal", "force", "200..500 N", "10..2000 N", True, "spring scale at the grip, or pedal force gauge"),
    Field("lever_ratio", "lever or pedal ratio", "dimensionless", "4..8", "1..30", True, "travel of the grip over travel of the cable"),
    Field("shoe_lever_ratio", "shoe lever ratio", "dimensionless", "2.5..5", "0.5..20", True, "travel of the cable over travel of the shoe"),
    Field("cable_efficiency", "force that arrives at the end of the cables", "dimensionless", "70..95 %", "10..100 %", True, "spring scale at both ends"),
    Field("caliper_clamp_ratio", "clamp force of one caliper over force of its cable", "dimensionless", "8..30", "1..100", True,
          "caliper maker; or cable travel over piston travel times 0.8"),
))

FLUID = Kind("brake_fluid", "Brake fluid", "brakes", (
    Field("grade", "grade", "choice", choosable=True, how="the bottle it was filled from", choices=GRADES),
    Field("previous_grade", "grade that was in the system before", "choice", choosable=True, how="reservoir cap, bottle, owner", choices=GRADES),
    Field("filled_on", "date of filling", "text", choosable=True, how="work record", notation="date"),
))

SYSTEM = Kind("brake_system", "Brake system", "brakes", (
    Field("antilock", "antilock brakes", "yes_no", how="look: wheel sensors and a pressure unit, and it works"),
    Field("flushed_dry", "taken apart, flushed and dried before this fluid", "yes_no", how="work record"),
    Field("seals", "what the seals stand", "choice", how="seal maker's statement", choices=("glycol_compatible", "mineral_compatible")),
    Field("held_pedal_drop", "sinking of the pedal pad in 60 s under a firm push", "length", "0..10 mm", "0..300 mm",
          how="about 450 N (100 lbf) held for a minute, engine running if boosted; rule at the pad"),
    Field("leaks_seen", "wet joint, hose or seal after that push", "yes_no", how="dry paper and a light at every joint"),
    Field("bleeders_uppermost", "every bleeder at the top of its cylinder", "yes_no", how="look at each; calipers swapped side to side put it at the bottom"),
), area=True)

KINDS: list[Kind] = [
    BRAKE, PEDAL, MASTER_CYLINDER, BOOSTER, PROPORTIONING_VALVE, PARKING_BRAKE, FLUID, SYSTEM,
    Kind("brake_caliper", "Brake caliper", "brakes", positions=ANYWHERE),
    Kind("caliper_bracket", "Caliper bracket", "brakes", positions=ANYWHERE),
    Kind("brake_rotor", "Brake rotor", "brakes", positions=ANYWHERE),
    Kind("brake_pad", "Brake pads", "brakes", positions=ANYWHERE),
    Kind("brake_drum", "Brake drum", "brakes", positions=ANYWHERE),
    Kind("brake_shoe", "Brake shoes", "brakes", positions=ANYWHERE),
    Kind("wheel_cylinder", "Wheel cylinder", "brakes", positions=ANYWHERE),
    Kind("backing_plate", "Backing plate or dust shield", "brakes", positions=ANYWHERE),
    Kind("brake_hose", "Brake hose", "brakes", positions=ANYWHERE),
    Kind("brake_line", "Brake line", "brakes", positions=ANYWHERE),
    Kind("brake_fitting", "Brake line fitting", "brakes", positions=ANYWHERE),
    Kind("metering_valve", "Metering valve", "brakes"),
    Kind("residual_valve", "Residual-pressure valve", "brakes", positions=ANYWHERE),
    Kind("pressure_warning_switch", "Brake pressure warning switch", "brakes"),
    Kind("brake_reservoir", "Brake fluid reservoir", "brakes", positions=ANYWHERE),
    Kind("vacuum_pump", "Brake vacuum pump", "brakes"),
    Kind("vacuum_reservoir", "Brake vacuum reservoir", "brakes"),
    Kind("vacuum_check_valve", "Booster one-way valve", "brakes"),
    Kind("booster_hose", "Booster hose", "brakes", positions=ANYWHERE),
    Kind("pressure_accumulator", "Brake pressure accumulator", "brakes"),
    Kind("antilock_unit", "Antilock unit", "brakes"),
    Kind("wheel_speed_sensor", "Wheel speed sensor", "brakes", positions=ANYWHERE),
    Kind("parking_brake_cable", "Parking-brake cable", "brakes", positions=ANYWHERE),
    Kind("parking_brake_lever", "Parking-brake lever or pedal", "brakes"),
    Kind("brake_duct", "Brake cooling duct", "brakes", positions=ANYWHERE),
]
