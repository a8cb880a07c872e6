"""Engine: the engine itself, its mounts and the parts of it that a builder lists."""

from __future__ import annotations

from service.vocabulary.core import LABEL, Field, Kind

FUELS = ("gasoline_regular", "gasoline_midgrade", "gasoline_premium", "gasoline_racing", "e85", "methanol", "diesel")

_SIZE = (
    Field("bore", "bore", "length", "65..120 mm", "20..300 mm",
          how="bore gauge, three heights; never from the sales sheet after a rebuild"),
    Field("stroke", "stroke", "length", "50..115 mm", "20..400 mm",
          how="piston travel with a depth gauge, or crank casting and maker"),
    Field("cylinders", "number of cylinders", "integer", "4..12", "1..24", how="count"),
    Field("cycle", "working cycle", "choice", choices=("four_stroke", "two_stroke"), how="engine sheet; four_stroke unless recorded"),
    Field("displacement", "displacement claimed", "volume", "0.8..10 L", "0.02..40 L", how="plate, invoice", suits="cu in"),
    Field("rod_length", "connecting-rod length, centers", "length", "115..190 mm", "40..600 mm", how="rod maker"),
    Field("rod_material", "rod material", "choice", choices=("steel", "titanium", "aluminum"), how="rod maker; steel unless recorded"),
    Field("chamber_volume", "chamber volume in the head", "volume", "20..130 cc", "1..1000 cc", True,
          "burette and plate; every chamber"),
    Field("piston_volume", "piston crown volume: dish and pockets positive, dome negative", "volume", "-40..40 cc", "-300..300 cc", True,
          "burette in the bore at a set depth, or piston sheet (many sheets use the opposite sign: check)"),
    Field("gasket_bore", "head-gasket bore", "length", "66..125 mm", "20..310 mm", True, "caliper on a used gasket"),
    Field("gasket_thickness", "compressed gasket thickness", "length", "0.3..2.5 mm", "0..10 mm", True, "gasket maker, compressed"),
    Field("deck_clearance", "piston below deck at top center: positive below, negative proud", "length", "-0.5..2.5 mm", "-5..20 mm",
          True, "dial gauge over the wrist pin, both ends of the block"),
    Field("compression_ratio", "compression ratio claimed", "dimensionless", "8..13", "2..30", how="engine sheet"),
)

_OUTPUT = (
    Field("peak_power", "peak power", "power", "40..900 hp", "1..5000 hp", how="dynamometer sheet; state the basis"),
    Field("power_basis", "what the power figure is", "choice", choices=("net", "gross", "wheel"),
          how="the sheet; SAE J1349 net, older figures gross; net unless recorded"),
    Field("peak_power_speed", "speed of peak power", "rotational_speed", "3500..8000 rpm", "300..25000 rpm", how="same sheet as the power"),
    Field("peak_torque", "peak torque", "torque", "100..1200 N*m", "1..10000 N*m", how="same sheet as the power"),
    Field("peak_torque_speed", "speed of peak torque", "rotational_speed", "1500..6500 rpm", "200..25000 rpm",
          how="same sheet as the power"),
    Field("redline", "highest engine speed used", "rotational_speed", "4500..8500 rpm", "500..25000 rpm", True,
          "limiter setting, not the gauge face"),
    Field("idle_speed", "idle speed", "rotational_speed", "600..1100 rpm", "200..3000 rpm", True,
          "tachometer, warm, in gear for an automatic"),
    Field("fuel", "fuel", "choice", choosable=True, choices=FUELS, how="owner's decision: regular 87 AKI, midgrade 89, premium 91 to 93"),
    Field("aspiration", "aspiration", "choice", choices=("natural", "supercharged", "turbocharged", "nitrous"), how="look"),
    Field("boost_pressure", "boost, gauge", "pressure", "30..250 kPa", "0..1000 kPa", True, "gauge at the manifold"),
    Field("volumetric_efficiency", "volumetric efficiency", "dimensionless", "0.75..1.0", "0.2..3",
          how="from a dynamometer's air meter, air mass drawn in over displacement filled at ambient density"),
)

_REAR_FACE = (
    Field("crank_flange_to_block_face", "crank flange face from the block's bellhousing face", "length", "-5..35 mm", "-100..150 mm",
          how="straight edge across the block face and a depth gauge; thrust the crank rearward; positive toward the transmission"),
    Field("crank_register_diameter", "bore in the crank for the converter pilot or bushing", "length", "30..65 mm", "8..150 mm",
          how="bore gauge"),
    Field("crank_register_depth", "depth of that bore at full diameter", "length", "10..50 mm", "0..200 mm", how="depth gauge"),
    Field("flange_bolt_circle", "crank flange bolt circle", "length", "60..110 mm", "20..400 mm",
          how="caliper; outer edge to outer edge of opposite holes less one hole"),
    Field("flange_bolt_count", "crank flange bolts", "integer", "6..10", "3..24", how="count"),
    Field("crank_bolt_thread", "crank flange thread", "text", notation="thread", how="thread gauge, never a nut from the bin"),
    Field("crank_thread_depth", "usable thread depth in the flange", "length", "15..40 mm", "2..200 mm",
          how="depth gauge; count only full thread"),
    Field("balance", "balance", "choice", choices=("internal", "external"), how="engine builder"),
    Field("coolant_high_point", "highest coolant passage of the engine, on the radiator_mount datum", "length", "200..800 mm",
          "-500..2000 mm", how="level from the thermostat housing or the head's highest passage across to the radiator's datum"),
)

_MOUNTS = (
    Field("adjustable", "slide fore and aft", "yes_no", choosable=True, how="look"),
    Field("slide_forward", "travel left forward from where it stands", "length", "0..150 mm", "0..1000 mm", True,
          "tape, both mounts, the smaller"),
    Field("slide_rearward", "travel left rearward from where it stands", "length", "0..150 mm", "0..1000 mm", True,
          "tape, both mounts, the smaller"),
    Field("shift", "chosen shift from where it stands, rearward positive", "length", "-100..100 mm", "-1000..1000 mm", True,
          "scribe marks; 0 unless recorded"),
)

#: Parts that are listed with maker and number and have no fields of their own (`common practice`).
_LISTED = {
    "cylinder_head": "cylinder head", "head_gasket": "head gasket", "camshaft": "camshaft", "lifters": "valve lifters",
    "pushrods": "pushrods", "rocker_arms": "rocker arms", "valves": "valves", "valve_springs": "valve springs",
    "timing_set": "timing chain, belt or gears", "crankshaft": "crankshaft", "connecting_rods": "connecting rods",
    "pistons": "pistons", "piston_rings": "piston rings", "engine_bearings": "engine bearings", "crank_damper": "crankshaft damper",
    "oil_pump": "oil pump", "oil_pan": "oil pan", "oil_filter": "oil filter", "oil_cooler": "oil cooler", "engine_oil": "engine oil",
    "valve_cover": "valve cover", "intake_manifold": "intake manifold", "throttle_body": "throttle body", "air_cleaner": "air cleaner",
    "supercharger": "supercharger", "turbocharger": "turbocharger", "intercooler": "intercooler", "nitrous_system": "nitrous system",
    "accessory_drive": "accessory drive", "belt": "drive belt", "engine_gasket_set": "engine gasket set", "dipstick": "dipstick and tube",
    "crankcase_breather": "crankcase ventilation or breather",
}

KINDS: list[Kind] = [
    Kind("engine", "engine", "engine", _SIZE + _OUTPUT + _REAR_FACE),
    Kind("cylinder", "cylinder", "engine", (
        Field("compression", "compression, cranking", "pressure", "900..1500 kPa", "0..5000 kPa",
              how="engine warm, all plugs out, throttle held open, the same turns for each; gauge in the plug hole; ignition and fuel off"),
        Field("leakage", "leakage past rings and valves", "dimensionless", "2..15 %", "0..100 %", how="leakdown tester, piston at top center; ignition off"),
    ), positions=LABEL, area=True),
    Kind("engine_mounts", "engine mounts", "driveline", _MOUNTS),
    *(Kind(name, title, "engine") for name, title in _LISTED.items()),
]
