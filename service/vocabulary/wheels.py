"""Wheels and tires: the wheel, the tire, the room around them, the hub and the nuts.

Ranges are `common practice`; the hard ones leave out only what cannot be a wheel. A wheel's offset is positive when
its mounting face stands outboard of the rim's centerline.
"""

from __future__ import annotations

from service.vocabulary.core import CORNERS, Field, Kind, Positions

#: Loose items can be said to be at a corner, on an axle, anywhere by name, or nowhere in particular.
ANYWHERE = Positions(label=True)
SEATS = ("conical", "ball", "flat", "shank")

WHEEL = Kind("wheel", "Wheel", "wheels", (
    Field("rim_diameter", "rim diameter", "length", "13..22 in", "8..30 in", True, "stamped; nominal, at the bead seats"),
    Field("rim_width", "rim width", "length", "4..13 in", "2..20 in", True, "stamped; nominal, bead to bead, not outside the flanges"),
    Field("offset", "offset", "length", "-50..60 mm", "-200..200 mm", True, "stamped ET; mounting face to rim centerline, positive outboard of it"),
    Field("backspacing", "backspacing", "length", "2.5..8 in", "0..15 in", True,
          "straightedge across the inner rim edge, rule down to the mounting face; offset = backspacing - (rim width + 1 in)/2"),
    Field("bolt_count", "number of bolt holes", "integer", "4..8", "3..12", True, "count"),
    Field("bolt_circle", "bolt circle", "length", "98..170 mm", "50..400 mm", True,
          "stamped; or neighbor holes center to center: circle = spacing / sin(180 deg / count)"),
    Field("center_bore", "center bore", "length", "50..130 mm", "30..300 mm", True, "caliper, from the mounting side, inside the chamfer"),
    Field("spacer_thickness", "wheel spacer thickness", "length", "0..30 mm", "0..150 mm", True, "caliper; 0 when there is none"),
    Field("seat_thickness", "mounting face to where the nut's thread starts", "length", "5..30 mm", "0..100 mm", True,
          "caliper, at a hole: wheel thickness less what the nut dips into its seat"),
    Field("centering", "what centers the wheel", "choice", how="ask: hub-centric or lug-centric? A hub-centric wheel fits the pilot without play",
          choices=("hub", "studs")),
    Field("seat_type", "seat of the wheel's bolt holes", "choice", choosable=True, how="look: cone, ball, flat washer or shank", choices=SEATS),
    Field("load_rating", "load rating of one wheel", "mass", "450..900 kg", "50..5000 kg", how="stamped, often on the back of a spoke"),
    Field("barrel_inner_radius", "inside radius of the barrel at the caliper", "length", "0.15..0.24 m", "0.08..0.5 m", True,
          "template, or half the inside diameter at the caliper"),
    Field("spoke_depth", "mounting face outboard to the back of the spokes at the caliper's radius", "length", "10..80 mm", "-0.2..0.3 m", True,
          "straightedge across the mounting face, rule to the spokes; negative when the spokes stand inboard of the face"),
), CORNERS)

TIRE = Kind("tire", "Tire", "wheels", (
    Field("size", "tire size", "text", choosable=True, how="sidewall, as printed", notation="tire_size"),
    Field("date_code", "date code", "text", choosable=True, how="sidewall, last four figures of the long code: week and year; often on one side only",
          notation="date_code"),
    Field("load_index", "load index", "integer", "75..121", "0..279", True, "sidewall, behind the size; of a dual index the first"),
    Field("speed_symbol", "speed symbol", "text", choosable=True, how="sidewall, the letter behind the load index", notation="speed_symbol"),
    Field("max_load", "maximum load, single fitting", "mass", "400..1500 kg", "50..5000 kg", True, "sidewall: max load so much at so much"),
    Field("max_load_pressure", "pressure that belongs to the maximum load", "pressure", "220..550 kPa", "100..1000 kPa", True,
          "sidewall: max load so much at so much"),
    Field("load_range", "load range", "choice", choosable=True,
          how="sidewall: standard load SL, extra load XL, or the letter", choices=("SL", "XL", "C", "D", "E")),
    Field("type", "kind of tire", "choice", choosable=True, how="sidewall: LT before or after the size is light truck; P or nothing before it is passenger",
          choices=("passenger", "light_truck", "competition")),
    Field("tread_depth", "tread depth, shallowest groove", "length", "3..9 mm", "0..40 mm", how="depth gauge in the main grooves, three places around"),
    Field("pressure", "pressure, cold", "pressure", "180..350 kPa", "20..1000 kPa", True, "gauge, before driving"),
    Field("rolling_radius", "loaded rolling radius", "length", "0.28..0.40 m", "0.1..0.8 m",
          how="roll the loaded car ten turns of the wheel and tape it: distance / (20 pi)"),
    Field("revs_per_mile", "turns in a mile", "dimensionless", "600..900", "200..2500", how="tire maker's data sheet"),
    Field("section_width", "section width on the measuring rim", "length", "155..345 mm", "50..600 mm", how="tire maker's data sheet"),
    Field("rim_width_min", "narrowest rim the maker allows", "length", "4..13 in", "2..20 in", how="tire maker's data sheet"),
    Field("rim_width_max", "widest rim the maker allows", "length", "4..13 in", "2..20 in", how="tire maker's data sheet"),
), CORNERS)

WHEEL_FIT = Kind("wheel_fit", "Room around the wheel", "wheels", (
    Field("reference_offset", "offset of the wheel used for measuring", "length", "-50..60 mm", "-200..200 mm",
          how="stamped ET of the wheel that was on the car, less any spacer under it"),
    Field("reference_section_width", "section width of the tire used for measuring, as mounted", "length", "155..345 mm", "50..600 mm",
          how="straightedges on both sidewalls, mounted and at pressure; not the size printed on it"),
    Field("reference_diameter", "diameter of the tire used for measuring", "length", "550..800 mm", "300..1300 mm",
          how="tape over the tread, circumference / pi"),
    Field("inner_clearance", "smallest gap inboard of the wheel used for measuring", "length", "5..100 mm", "-50..400 mm",
          how="at ride height and lock to lock: to arm, tie rod, spring, frame; note the smallest"),
    Field("outer_clearance", "smallest gap outboard of the wheel used for measuring", "length", "5..100 mm", "-50..400 mm",
          how="at ride height and lock to lock: to the fender lip; note the smallest"),
    Field("radial_clearance", "smallest gap over the tread of the wheel used for measuring", "length", "5..100 mm", "-50..400 mm",
          how="at ride height and lock to lock; note the smallest"),
    Field("swept_at_lock_and_bump", "this wheel swept lock to lock at full bump and full droop, and looked at", "yes_no",
          how="springs out or compressed, jack under the arm; rear: bump and droop only"),
    Field("smallest_swept_clearance", "smallest gap seen in the sweep", "length", "5..60 mm", "-50..400 mm", how="feeler or clay at the tightest place"),
    Field("brake_hose_slack_at_lock", "slack left in the brake hose at the worst point of the sweep", "length", "10..60 mm", "-50..300 mm",
          how="pull the hose straight by hand at the worst point and measure what is left"),
), CORNERS, area=True)

HUB = Kind("hub", "Hub", "wheels", (
    Field("bolt_count", "number of studs", "integer", "4..8", "3..12", True, "count"),
    Field("bolt_circle", "bolt circle", "length", "98..170 mm", "50..400 mm", True,
          "caliper: neighbor studs center to center: circle = spacing / sin(180 deg / count)"),
    Field("pilot_diameter", "pilot diameter", "length", "50..125 mm", "20..300 mm", True, "caliper on the boss that enters the wheel's bore"),
    Field("stud_thread", "stud thread", "text", choosable=True, how="pitch gauge and caliper", notation="thread"),
    Field("stud_length", "stud length out of the face the wheel sits on", "length", "25..60 mm", "5..200 mm", True,
          "caliper, with the rotor or drum fitted"),
), CORNERS)

LUG_NUT = Kind("lug_nut", "Lug nut", "wheels", (
    Field("seat_type", "seat of the nut", "choice", choosable=True, how="look: cone, ball, flat washer or shank", choices=SEATS),
    Field("thread", "nut thread", "text", choosable=True, how="pitch gauge, or try it on a known stud by hand", notation="thread"),
    Field("closed", "closed end", "yes_no", choosable=True, how="look"),
    Field("material", "nut material", "choice", choosable=True, how="magnet", choices=("steel", "aluminum")),
    Field("thread_length", "length of thread in the nut", "length", "12..30 mm", "3..100 mm", True, "caliper, full turns only"),
    Field("depth", "depth to the closed end", "length", "20..50 mm", "5..150 mm", True, "depth gauge, from the seat end"),
    Field("turns", "turns from first bite to tight", "dimensionless", "6..16", "0..60", True, "count on the car, by hand"),
), CORNERS)

KINDS: list[Kind] = [
    WHEEL, TIRE, WHEEL_FIT, HUB, LUG_NUT,
    Kind("wheel_spacer", "Wheel spacer", "wheels", positions=ANYWHERE),
    Kind("wheel_adapter", "Wheel adapter", "wheels", positions=ANYWHERE),
    Kind("hub_ring", "Hub centering ring", "wheels", positions=ANYWHERE),
    Kind("wheel_stud", "Wheel studs", "wheels", positions=ANYWHERE),
    Kind("wheel_bearing", "Wheel bearing", "wheels", positions=ANYWHERE),
    Kind("hub_seal", "Hub seal", "wheels", positions=ANYWHERE),
    Kind("dust_cap", "Bearing dust cap", "wheels", positions=ANYWHERE),
    Kind("valve_stem", "Tire valve", "wheels", positions=ANYWHERE),
    Kind("pressure_sensor", "Tire pressure sensor", "wheels", positions=ANYWHERE),
    Kind("balance_weights", "Balance weights", "wheels", positions=ANYWHERE),
    Kind("inner_tube", "Inner tube", "wheels", positions=ANYWHERE),
    Kind("center_cap", "Center cap", "wheels", positions=ANYWHERE),
    Kind("wheel_cover", "Wheel cover", "wheels", positions=ANYWHERE),
    Kind("spare_wheel", "Spare wheel and tire", "wheels"),
    Kind("jack", "Jack and wheel wrench", "wheels"),
]
