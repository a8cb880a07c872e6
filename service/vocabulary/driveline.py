"""Driveline: converter or clutch, transmission, driveshaft, axle, the starter, and the measurements between them."""

from __future__ import annotations

from service.vocabulary.core import Field, Kind, Positions

#: One piece, the two shafts of a two-piece line, or the separate shaft to a driven front axle.
SHAFTS = Positions(("front", "rear", "front axle"))
#: A line as a whole: the main one, or the one to a driven front axle.
LINES = Positions(("front axle",))
#: The joints of the main line, and the joint at the transfer case of the line to a driven front axle.
JOINTS = Positions(("front", "center", "rear", "front axle"), bare=False)

_FLEXPLATE = (
    Field("thickness", "plate thickness", "length", "2..8 mm", "0.5..40 mm", True, "caliper"),
    Field("offset", "dish: converter ring plane rearward of the hub plane, plate thickness not counted; 0 = flat", "length", "0..15 mm",
          "-60..60 mm", True, "lay hub side down on a flat table: height of the pad's rear face less the thickness"),
    Field("converter_bolt_circle", "converter bolt circle", "length", "240..300 mm", "100..600 mm", True,
          "center to center through the middle"),
    Field("converter_bolt_count", "converter holes", "integer", "3..6", "2..24", how="count"),
    Field("crank_bolt_circle", "crank bolt circle", "length", "60..110 mm", "20..400 mm", True, "caliper"),
    Field("crank_bolt_count", "crank holes", "integer", "6..10", "3..24", how="count"),
    Field("crank_bolt_length", "crank bolt length under the head", "length", "16..60 mm", "4..300 mm", True, "caliper"),
    Field("crank_washer_thickness", "load plate under the crank bolts", "length", "0..5 mm", "0..30 mm", True,
          "caliper; 0 unless recorded"),
    Field("ring_gear_teeth", "ring-gear teeth", "integer", "100..180", "40..400", True, "count, mark the first tooth"),
    Field("ring_gear_module", "ring-gear tooth size (25.4 mm/diametral pitch)", "length", "2.0..2.6 mm", "0.5..10 mm",
          how="outside diameter/(teeth + 2)"),
    Field("balance", "balance", "choice", choosable=True, choices=("internal", "external"), how="a welded weight = external"),
)

_SPACER = (
    Field("thickness", "thickness", "length", "3..25 mm", "0..150 mm", True, "micrometer, four places, within 0.03 mm"),
    Field("location", "where it sits", "choice", choosable=True, choices=("crank", "converter"),
          how="crank: between crank and flexplate; converter: between flexplate and pads; crank unless recorded"),
    Field("pilot_inner_diameter", "register in the spacer for the converter pilot", "length", "30..65 mm", "8..150 mm", True, "bore gauge"),
    Field("pilot_depth", "depth of that register from the spacer's rear face", "length", "5..30 mm", "0..150 mm", True, "depth gauge"),
)

_CONVERTER = (
    Field("stall_torque_ratio", "stall torque ratio", "dimensionless", "1.7..2.5", "1..5", True, "maker"),
    Field("stall_speed", "stall speed behind this engine", "rotational_speed", "1600..4500 rpm", "500..10000 rpm", True,
          "maker; foot-brake tests load the brakes and heat the fluid, do not hold over 5 s"),
    Field("lockup", "lock-up clutch", "yes_no", how="maker"),
    Field("cruise_slip", "slip at cruise, unlocked", "dimensionless", "1..8 %", "0..50 %", how="engine against shaft speed"),
    Field("pilot_diameter", "pilot diameter", "length", "30..65 mm", "8..150 mm", True, "micrometer"),
    Field("pilot_length", "pilot length at full diameter, chamfer excluded", "length", "8..30 mm", "0..150 mm", True, "depth gauge"),
    Field("nose_length", "shoulder to the very tip, chamfer or nose included", "length", "8..35 mm", "0..160 mm", how="depth gauge"),
    Field("pad_to_pilot_shoulder", "pad face forward to where the full pilot diameter begins; negative when it begins behind the pads",
          "length", "-10..30 mm", "-100..150 mm", how="straight edge across the pads"),
    Field("bolt_circle", "bolt circle", "length", "240..300 mm", "100..600 mm", True, "center to center"),
    Field("bolt_count", "converter bolts", "integer", "3..6", "2..24", True, "count"),
    Field("bolt_thread", "pad thread", "text", notation="thread", how="thread gauge"),
    Field("pad_thread_depth", "usable thread depth in the pad", "length", "8..20 mm", "2..100 mm",
          how="depth gauge to the converter's skin, full thread only"),
    Field("bolt_length", "converter bolt length under the head", "length", "12..45 mm", "4..300 mm", True, "caliper"),
    Field("washer_thickness", "washer under the head", "length", "0..4 mm", "0..20 mm", True, "caliper; 0 unless recorded"),
    Field("seated_depth", "bellhousing face back to the pad face, converter fully home", "length", "15..35 mm", "-50..200 mm",
          how="straight edge across the bellhousing; turn and push until it drops the last time"),
)

_CLUTCH = (
    Field("torque_capacity", "maker's torque capacity", "torque", "200..1500 N*m", "5..20000 N*m", True, "maker"),
    Field("clamp_load", "pressure-plate clamp load", "force", "4..18 kN", "0.1..200 kN", True, "maker, at set height"),
    Field("friction_outer_diameter", "friction ring outside diameter", "length", "180..310 mm", "50..700 mm", True, "caliper"),
    Field("friction_inner_diameter", "friction ring inside diameter", "length", "110..220 mm", "20..600 mm", True, "caliper"),
    Field("friction_material", "friction material", "choice", choosable=True, choices=("organic", "aramid", "ceramic", "sintered"),
          how="maker; organic unless recorded"),
    Field("friction_coefficient", "friction coefficient", "dimensionless", "0.25..0.45", "0.05..1", how="maker"),
    Field("faces", "friction faces (2 a disc)", "integer", "2..6", "1..20", True, "count"),
    Field("release_travel_needed", "bearing travel that frees the disc", "length", "7..11 mm", "0..60 mm", how="maker's sheet"),
    Field("release_travel_most", "most bearing travel allowed", "length", "10..16 mm", "0..80 mm", how="maker's sheet"),
    Field("release_force", "force at the release bearing", "force", "0.8..2.5 kN", "0..20 kN", how="maker's sheet"),
)

_TRANSMISSION = (
    Field("type", "type", "choice", choosable=True, choices=("automatic", "manual", "automated_manual", "continuously_variable"), how="look"),
    Field("control", "control", "choice", choices=("electronic", "hydraulic", "manual"), how="connector on the case = electronic"),
    Field("duty", "duty class", "choice", choosable=True, choices=("standard", "heavy_duty"), how="maker or builder's sheet"),
    Field("input_power_rating", "highest engine power allowed", "power", "150..1500 hp", "1..10000 hp", True, "maker or builder's sheet"),
    Field("input_torque_rating", "highest engine torque allowed", "torque", "250..1500 N*m", "5..20000 N*m", True,
          "maker or builder's sheet"),
    Field("gearbox_torque_rating", "highest torque allowed after the converter", "torque", "500..2500 N*m", "5..40000 N*m", True,
          "maker or builder's sheet"),
    Field("gross_vehicle_rating", "highest vehicle mass allowed", "mass", "2000..8000 kg", "100..100000 kg", True,
          "maker or builder's sheet"),
    Field("gross_combined_rating", "highest mass of car and trailer together", "mass", "3000..15000 kg", "100..200000 kg", True,
          "maker's sheet"),
    Field("forward_ratios", "forward ratios, first to top", "ratios", "0.5..5", "0.1..30", True, "turns of input for one of output"),
    Field("reverse_ratio", "reverse ratio", "dimensionless", "2..4.5", "0.1..30", how="turns of input for one of output"),
    Field("low_range_ratio", "transfer-case low range", "dimensionless", "1..3", "0.5..8", True,
          "turns of input for one of output; 1 unless recorded"),
    Field("output_spline_teeth", "output splines", "integer", "16..35", "4..100", how="count"),
    Field("case_length", "bellhousing face to tail seal", "length", "400..900 mm", "100..2500 mm", how="tape"),
    Field("speed_sensor_teeth", "pulses a turn of the output shaft", "integer", "4..60", "1..500", True, "count or maker"),
    Field("speedometer_drive_teeth", "mechanical speedometer drive teeth", "integer", "5..25", "3..100", True, "count"),
    Field("speedometer_driven_teeth", "mechanical speedometer driven teeth", "integer", "14..45", "3..100", True, "count"),
    Field("tail_seal_diameter", "tail seal bore on the yoke", "length", "35..55 mm", "5..200 mm", how="caliper"),
)

_STARTER = (
    Field("ring_gear_teeth", "ring gear it is made for", "integer", "100..180", "40..400", True, "maker"),
    Field("pinion_module", "pinion tooth size", "length", "2.0..2.6 mm", "0.5..10 mm",
          how="pinion outside diameter/(teeth + 2), long-addendum pinions read high"),
    Field("root_clearance", "pinion tip to ring root, meshed", "length", "0.5..0.9 mm", "0..20 mm", True, "wire gauge"),
    Field("rest_gap", "pinion face to ring, at rest", "length", "1.5..4.8 mm", "0..20 mm", True, "wire gauge"),
    Field("current", "cranking current", "current", "120..350 A", "20..2000 A", how="clamp meter, hot engine"),
    Field("positive_length", "positive cable length", "length", "0.5..5 m", "0.05..15 m", True, "string"),
    Field("negative_length", "negative cable length", "length", "0.5..5 m", "0.05..15 m", True,
          "string; by the frame: its cable at each end summed"),
    Field("positive_size", "positive cable size", "wire_size", "4..2/0 AWG", "0.0048..500 mm2", True, "printing on the cable"),
    Field("negative_size", "negative cable size", "wire_size", "4..2/0 AWG", "0.0048..500 mm2", True, "printing on the cable"),
)

_SPEEDOMETER = (
    Field("pulses_per_mile", "pulses a mile it is set for", "dimensionless", "2000..150000", "100..1000000", True, "its setting"),
    Field("cable_revs_per_mile", "cable turns a mile of the instrument", "dimensionless", "1000..1001", "100..5000",
          how="printed on the dial; 1000 unless recorded"),
    Field("calibrated_revs_per_mile", "tire turns a mile it was calibrated with", "dimensionless", "600..900", "100..3000", True,
          "original build sheet"),
    Field("calibrated_axle_ratio", "axle ratio it was calibrated with", "dimensionless", "2.5..5.5", "0.5..20", True,
          "original build sheet"),
    Field("rule", "rule to meet", "choice", choosable=True, choices=("common", "unece_r39"), how="market; common unless recorded"),
)

_DRIVESHAFT = (
    Field("length", "joint center to joint center (or to the center bearing)", "length", "500..1700 mm", "50..4000 mm", True,
          "tape along the tube, cup center to cup center"),
    Field("outer_diameter", "tube outside diameter", "length", "50..130 mm", "15..300 mm", True, "caliper, away from welds"),
    Field("wall", "tube wall", "length", "1.6..4 mm", "0.3..100 mm", True, "maker; ultrasonic gauge"),
    Field("material", "tube material", "choice", choosable=True, choices=("steel", "chromoly", "aluminum", "carbon"),
          how="magnet; steel unless recorded"),
    Field("elastic_modulus", "axial modulus", "pressure", "60000..220000 MPa", "1000..500000 MPa", how="maker; needed for carbon"),
    Field("density", "density", "density", "1500..7900 kg/m3", "500..20000 kg/m3", how="maker; needed for carbon"),
    Field("shear_strength", "shear strength", "pressure", "100..400 MPa", "1..2000 MPa", how="maker; needed for carbon"),
    Field("critical_speed", "maker's critical speed", "rotational_speed", "4000..15000 rpm", "100..50000 rpm",
          how="maker's sheet for this length"),
    Field("joint_torque_rating", "joint series, short-duration torque rating", "torque", "1000..8000 N*m", "10..50000 N*m", True,
          "joint maker; the smaller end governs"),
    Field("yoke_phase", "angle between the yokes of the two ends", "angle", "0..0 deg", "-180..180 deg", True,
          "both yokes against a level, shaft on the bench; 0 unless recorded"),
    Field("slip_travel", "slip from bottomed to least allowed spline engagement", "length", "50..120 mm", "0..600 mm", True,
          "spline length less engagement kept (at least the spline diameter)"),
    Field("cap_diameter", "joint cap diameter at the slip yoke end", "length", "24..38 mm", "5..100 mm", how="caliper"),
    Field("cap_span", "span across the joint caps at the slip yoke end", "length", "60..110 mm", "10..300 mm", how="caliper"),
)

_AXLE = (
    Field("ratio", "axle ratio", "dimensionless", "2.5..5.5", "1.5..9", True,
          "ring teeth/pinion teeth, or turns of pinion for one of both wheels"),
    Field("torque_rating", "highest torque at both wheels together, short time", "torque", "3000..15000 N*m", "50..100000 N*m", True,
          "maker; state if continuous"),
    Field("pinion_torque_rating", "highest pinion torque", "torque", "800..5000 N*m", "10..30000 N*m", True, "maker"),
    Field("shaft_torque_rating", "highest torque of one axle shaft", "torque", "2000..10000 N*m", "20..60000 N*m", True, "maker"),
    Field("differential", "differential", "choice", choosable=True, choices=("open", "limited_slip", "locked"),
          how="turn one wheel, axle up; open unless recorded"),
)

_FROM_ABOVE = "atan((rear offset - front offset)/length), offsets from a straight rail; 0 unless recorded"

_SLOPES = (
    Field("engine_slope", "slope of the transmission output axis", "angle", "0..6 deg", "-30..30 deg", True,
          "level on a machined face square to the output; at ride height, full weight on the wheels", positions=LINES),
    Field("shaft_slope", "slope of the shaft tube", "angle", "-2..10 deg", "-45..45 deg",
          how="level on the tube, away from welds and weights", positions=SHAFTS),
    Field("pinion_slope", "slope of the pinion axis", "angle", "-3..10 deg", "-45..45 deg", True,
          "level on the yoke's machined face", positions=LINES),
    Field("engine_plan_angle", "engine axis from above", "angle", "-3..3 deg", "-30..30 deg", how=_FROM_ABOVE, positions=LINES),
    Field("shaft_plan_angle", "shaft from above", "angle", "-3..3 deg", "-30..30 deg", how=_FROM_ABOVE, positions=SHAFTS),
    Field("pinion_plan_angle", "pinion axis from above", "angle", "-3..3 deg", "-30..30 deg", how=_FROM_ABOVE, positions=LINES),
    Field("pinion_rise", "rise of the pinion nose under load", "angle", "0..3 deg", "-10..15 deg",
          how="leaf springs wind 1 to 3 deg, links under 1 deg; 0 unless recorded", positions=LINES),
    Field("joint_type", "joint type", "choice", choosable=True, choices=("cardan", "double_cardan", "constant_velocity"),
          how="look; cardan unless recorded; front axle: the joint at the transfer case", positions=JOINTS),
)

_PLACE = (
    Field("flange_to_yoke_distance", "front joint center, slip bottomed, to rear joint center", "length", "500..1750 mm", "50..4000 mm",
          how="slip pushed home, ride height", positions=SHAFTS),
    Field("plunge_in", "shaft shortening wanted over axle travel", "length", "5..25 mm", "0..300 mm",
          how="cycle the axle without springs; 12.7 mm unless recorded", positions=SHAFTS),
    Field("plunge_out", "shaft lengthening wanted over axle travel", "length", "5..25 mm", "0..300 mm",
          how="cycle the axle without springs; 12.7 mm unless recorded", positions=SHAFTS),
    Field("converter_gap", "pads to flexplate, converter pushed fully back", "length", "3..5 mm", "-20..60 mm",
          how="drill shanks between pad and plate at every pad"),
    Field("flexplate_face_depth", "block face to the flexplate's converter face", "length", "5..40 mm", "-60..200 mm",
          how="straight edge on the block face itself, never on a mid plate; spacer included"),
    Field("adapter_thickness", "plates between block and bellhousing", "length", "0..20 mm", "0..200 mm", True,
          "micrometer; 0 unless recorded"),
    Field("fan_clearance", "gap from the engine to the fan now", "length", "20..120 mm", "0..1500 mm",
          how="nearest points, fittings and sensors included"),
    Field("firewall_clearance", "gap from the engine to the firewall now", "length", "20..120 mm", "0..1500 mm",
          how="nearest points, distributor, fittings and sensors included"),
    Field("fan_clearance_needed", "gap to the fan wanted", "length", "20..50 mm", "0..300 mm", True, "owner and builder; 25.4 mm unless recorded"),
    Field("firewall_clearance_needed", "gap to the firewall wanted", "length", "20..50 mm", "0..300 mm", True,
          "owner and builder; 25.4 mm unless recorded"),
    Field("slip_collapse_room", "how far the slip may go in from now", "length", "10..80 mm", "0..500 mm",
          how="slide the yoke home, axle travel already taken off"),
    Field("slip_extension_room", "how far the slip may come out from now", "length", "10..80 mm", "0..500 mm",
          how="slide the yoke out to the least engagement, axle travel already taken off"),
    Field("crossmember_slide_forward", "transmission crossmember travel forward", "length", "0..150 mm", "0..1000 mm", True,
          "slots or spare holes"),
    Field("crossmember_slide_rearward", "transmission crossmember travel rearward", "length", "0..150 mm", "0..1000 mm", True,
          "slots or spare holes"),
)

_USE = (
    Field("cruise_speed", "steady speed the car is used at", "speed", "25..55 m/s", "1..150 m/s", True, "owner", suits="km/h"),
    Field("tire_friction", "highest friction of the driven tires", "dimensionless", "0.8..1.8", "0.05..5",
          how="tire maker or a measured pull: force to drag the locked tire over its load"),
    Field("trailer_mass", "trailer mass", "mass", "0..5000 kg", "0..40000 kg", True, "weighbridge; 0 unless recorded"),
    Field("launch_torque_fraction", "share of peak torque usable when moving off", "dimensionless", "0.5..0.9", "0.05..1",
          how="torque curve at the speed the clutch or converter holds; 0.7 unless recorded"),
)

_CLUTCH_RELEASE = (
    Field("pedal_ratio", "pedal lever ratio", "dimensionless", "4..7", "1..20", True, "lengths from the pivot"),
    Field("fork_ratio", "release fork lever ratio", "dimensionless", "1..2.2", "0.5..6", True,
          "lengths from the pivot; 1 for a concentric slave"),
    Field("master_bore", "master cylinder bore", "length", "15..25 mm", "5..60 mm", True, "cast in, caliper"),
    Field("slave_bore", "slave cylinder bore", "length", "15..25 mm", "5..60 mm", True,
          "cast in, caliper; annular slave: diameter of the same area"),
    Field("pedal_travel", "pedal travel at the pad", "length", "100..180 mm", "0..400 mm", True, "tape"),
    Field("free_play", "free play at the pedal pad", "length", "5..25 mm", "0..100 mm", True, "tape; 12 mm unless recorded"),
    Field("bearing_gap", "air gap at the release bearing", "length", "0..4 mm", "0..30 mm", True, "feeler; 0 unless recorded"),
)

_BELLHOUSING = (
    Field("bore_runout", "bore run-out, total indicator reading", "length", "0..0.3 mm", "0..10 mm",
          how="dial gauge on the crank, turned by hand, bolts torqued"),
    Field("face_runout", "face run-out, total indicator reading", "length", "0..0.3 mm", "0..10 mm",
          how="dial gauge on the crank, turned by hand, bolts torqued"),
)

_SLIP_YOKE = (
    Field("spline_teeth", "yoke splines", "integer", "16..35", "4..100", True, "count"),
    Field("spline_diameter", "spline diameter", "length", "25..45 mm", "5..150 mm", True, "caliper"),
    Field("engagement", "spline engaged at ride height", "length", "30..90 mm", "0..300 mm", True, "mark the seal line at ride height, caliper"),
    Field("seal_diameter", "seal surface diameter", "length", "35..55 mm", "5..200 mm", True, "caliper"),
    Field("cap_diameter", "joint cap diameter", "length", "24..38 mm", "5..100 mm", True, "caliper"),
    Field("cap_span", "span across the joint caps", "length", "60..110 mm", "10..300 mm", True, "caliper"),
)

#: Parts that are listed with maker and number and have no fields of their own (`common practice`).
_LISTED = {
    "flywheel": "flywheel", "pilot_bearing": "pilot bearing or bushing", "release_bearing": "clutch release bearing",
    "clutch_linkage": "clutch linkage or hydraulics", "transfer_case": "transfer case", "shifter": "shifter",
    "shift_linkage": "shift linkage or cable", "transmission_mount": "transmission mount", "transmission_crossmember": "transmission crossmember",
    "transmission_controller": "transmission controller", "transmission_pan": "transmission pan", "transmission_fluid": "transmission fluid",
    "throttle_pressure_cable": "throttle-pressure cable", "adapter_plate": "adapter or mid plate", "universal_joint": "universal joint",
    "center_bearing": "center bearing", "driveshaft_loop": "driveshaft loop", "ring_and_pinion": "ring and pinion", "axle_shaft": "axle shaft",
    "axle_bearing": "axle bearing and seal", "differential_cover": "differential cover", "gear_oil": "gear oil",
    "half_shaft": "half shaft with constant-velocity joints", "speedometer_cable": "speedometer cable or drive",
}

KINDS: list[Kind] = [
    Kind("flexplate", "flexplate", "driveline", _FLEXPLATE),
    Kind("flexplate_spacer", "flexplate spacer", "driveline", _SPACER),
    Kind("torque_converter", "torque converter", "driveline", _CONVERTER),
    Kind("clutch", "clutch", "driveline", _CLUTCH),
    Kind("clutch_release", "clutch release", "driveline", _CLUTCH_RELEASE),
    Kind("bellhousing", "bellhousing", "driveline", _BELLHOUSING),
    Kind("transmission", "transmission", "driveline", _TRANSMISSION),
    Kind("starter", "starter", "electrical", _STARTER),
    Kind("speedometer", "speedometer", "driveline", _SPEEDOMETER),
    Kind("slip_yoke", "slip yoke", "driveline", _SLIP_YOKE),
    Kind("driveshaft", "driveshaft", "driveline", _DRIVESHAFT, SHAFTS),
    Kind("axle", "axle", "driveline", _AXLE),
    Kind("driveline", "driveline measurements", "driveline", _SLOPES + _PLACE + _USE, area=True),
    *(Kind(name, title, "driveline") for name, title in _LISTED.items()),
]
