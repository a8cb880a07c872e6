"""Cooling: radiator and its mounting, fans, coolant, transmission cooler, and the parts around them.

Ranges are common practice; hard ranges are physical impossibility with a margin.
"""

from service.vocabulary.core import Field, Kind, Positions

#: A part of which a car may have several, told apart by a label (`upper`, `heater supply`).
SEVERAL = Positions(label=True)
HOLES = Positions(("upper", "lower"), bare=False)

RADIATOR = Kind("radiator", "radiator", "cooling", (
    Field("core_height", "core height", "length", "300..600 mm", "50..1500 mm", True, "finned area only, tanks excluded"),
    Field("core_width", "core width", "length", "400..800 mm", "50..2000 mm", True, "finned area only"),
    Field("core_thickness", "core thickness", "length", "16..80 mm", "5..200 mm", True, "front to back of fins"),
    Field("capacity", "coolant capacity", "volume", "2..15 L", "0.1..60 L", how="fill from a measured jug", suits="qt"),
    Field("flow_direction", "flow direction", "choice", choosable=True, how="tanks at the sides (crossflow) or top and bottom (downflow)",
          choices=("crossflow", "downflow")),
    Field("cap_pressure", "cap pressure (gauge)", "pressure", "48..140 kPa", "0..300 kPa", True, "stamped on the cap"),
    Field("pressure_rating", "highest pressure allowed", "pressure", "90..200 kPa", "0..600 kPa", how="maker's sheet"),
    Field("conductance", "heat conductance at 5 m/s", "thermal_conductance", "1..6 kW/K", "0.05..30 kW/K", how="maker's test sheet"),
    Field("top_above_mount", "highest point above mounting hole", "length", "50..500 mm", "0..1500 mm",
          how="tape, part on the bench, cap on"),
    Field("bottom_below_mount", "lowest point below mounting hole", "length", "0..600 mm", "0..1500 mm",
          how="tape, drain cock included"),
    Field("fill_point_above_mount", "filler neck above mounting hole", "length", "50..500 mm", "-500..1500 mm", how="tape"),
))

COOLING_FAN = Kind("cooling_fan", "cooling fan", "cooling", (
    Field("drive", "drive", "choice", choosable=True, how="look", choices=("electric", "mechanical", "clutch")),
    Field("count", "number of fans", "integer", "1..2", "1..6", True, "count"),
    Field("airflow", "airflow of one fan", "volume_flow", "0.3..1.6 m3/s", "0.01..5 m3/s", True, "maker's curve; state the pressure"),
    Field("static_pressure", "pressure at which the airflow is quoted", "pressure", "0..250 Pa", "0..2000 Pa",
          how="maker's curve; 0 = free air"),
    Field("current", "running current of one fan", "current", "8..40 A", "0.5..150 A", how="clamp meter, engine hot, 13.5 V"),
    Field("diameter", "blade diameter", "length", "250..460 mm", "80..800 mm", True, "tip to tip"),
    Field("shroud", "full shroud fitted", "yes_no", choosable=True, how="yes when it covers the whole core"),
    Field("fuse_rating", "fuse of one fan circuit", "current", "20..60 A", "1..200 A", True, "printed on the fuse"),
    Field("fans_per_circuit", "fans on one fuse", "integer", "1..2", "1..6", True, "wiring diagram"),
    Field("core_gap", "blade to core distance", "length", "15..60 mm", "0..500 mm", True, "closest point, engine at rest"),
    Field("engine_gap", "fan or motor to nearest engine part", "length", "15..80 mm", "0..1000 mm", True,
          "closest point, pulley and hub included"),
))

COOLANT = Kind("coolant", "coolant", "cooling", (
    Field("glycol_type", "antifreeze base", "choice", choosable=True, how="label on the jug", choices=("ethylene", "propylene")),
    Field("glycol_fraction", "antifreeze share by volume", "dimensionless", "30..60 %", "0..100 %", True,
          "refractometer, or what was poured"),
    Field("freeze_point", "measured freeze point", "temperature", "-50..-15 degC", "-80..0 degC", how="refractometer on the right scale"),
    Field("highest_temperature", "highest steady coolant temperature allowed", "temperature", "95..115 degC", "60..140 degC", True,
          "decision"),
    Field("temperature", "coolant temperature seen", "temperature", "80..105 degC", "-40..140 degC",
          how="second sensor at the outlet, not the dash gauge alone"),
))

COOLING = Kind("cooling", "cooling", "cooling", (
    Field("ambient_temperature", "hottest air expected", "temperature", "30..45 degC", "-40..60 degC", True, "owner's climate"),
    Field("coldest_temperature", "coldest expected", "temperature", "-40..5 degC", "-70..30 degC", True, "owner's climate"),
    Field("altitude", "highest altitude used", "length", "0..3000 m", "-430..6000 m", True, "map"),
    Field("sustained_power", "power held for minutes", "power", "20..250 kW", "1..2000 kW", True, "estimate"),
    Field("road_speed", "speed at that power", "speed", "10..45 m/s", "1..120 m/s", True, "estimate"),
    Field("ram_fraction", "face velocity over road speed", "dimensionless", "0.1..0.35", "0..1", how="anemometer or default"),
    Field("idle_heat", "heat to coolant at idle", "power", "5..20 kW", "0.2..100 kW", how="rarely known"),
    Field("condenser_heat", "heat put into the air by an A/C condenser ahead of the core", "power", "5..9 kW", "0..30 kW", how="A/C maker"),
), area=True)

RADIATOR_MOUNT = Kind("radiator_mount", "radiator mounting", "cooling", (
    Field("slot_low", "lowest mounting height the slotted channel allows", "length", "0..600 mm", "-500..2000 mm", True,
          "datum to hole center at the lower slot end; heights are above one marked datum, such as the core support's lower rail"),
    Field("slot_high", "highest mounting height the slotted channel allows", "length", "0..600 mm", "-500..2000 mm", True,
          "datum to hole center at the upper slot end"),
    Field("mount_height", "height chosen", "length", "0..600 mm", "-500..2000 mm", True, "datum to hole center, bolts snug"),
    Field("hood_height", "underside of closed hood above datum", "length", "300..900 mm", "0..2000 mm",
          how="clay or foam block pressed by the closed hood"),
    Field("obstruction_height", "top of whatever is under the radiator", "length", "-100..300 mm", "-1000..1500 mm",
          how="crossmember, steering box, sway bar at full droop"),
    Field("hood_gap", "gap wanted above", "length", "13..25 mm", "0..200 mm", True, "decision"),
    Field("lower_gap", "gap wanted below", "length", "13..25 mm", "0..200 mm", True, "decision"),
    Field("bracket_hole_height", "bracket hole above datum", "length", "0..900 mm", "-500..2000 mm", how="offered up, square",
          positions=HOLES),
    Field("support_hole_height", "matching core-support hole above datum", "length", "0..900 mm", "-500..2000 mm",
          how="tape; omit when there is no hole", positions=HOLES),
    Field("slot_length", "slot length", "length", "6..60 mm", "1..300 mm", True, "caliper", positions=HOLES),
    Field("hole_diameter", "hole diameter", "length", "6..60 mm", "1..300 mm", True, "caliper", positions=HOLES),
    Field("bolt_diameter", "bolt diameter", "length", "6..60 mm", "1..300 mm", True, "caliper", positions=HOLES),
    Field("edge_distance", "hole center to sheet edge", "length", "10..40 mm", "0..500 mm", True, "caliper", positions=HOLES),
), area=True)

TRANSMISSION_COOLER = Kind("transmission_cooler", "transmission cooler", "cooling", (
    Field("kind", "kind", "choice", choosable=True, how="look", choices=("in_radiator", "plate_ahead", "separate_fan")),
    Field("line_diameter", "inside diameter of the lines", "length", "7.9..12.7 mm", "2..40 mm", True, "line's inside, caliper"),
    Field("thermostat", "thermostat fitted", "yes_no", choosable=True, how="look for the bypass valve in the lines"),
    Field("temperature", "fluid temperature seen", "temperature", "70..105 degC", "-40..200 degC",
          how="sensor in the line out of the transmission"),
))

KINDS = [
    RADIATOR,
    COOLING_FAN,
    COOLANT,
    COOLING,
    RADIATOR_MOUNT,
    TRANSMISSION_COOLER,
    *(Kind(name, title, "cooling", positions=SEVERAL) for name, title in (
        ("condenser", "A/C condenser"),
        ("air_conditioning_compressor", "A/C compressor"),
        ("evaporator", "A/C evaporator"),
        ("receiver_drier", "A/C receiver-drier"),
        ("hose", "hose"),
        ("hose_clamp", "hose clamp"),
        ("thermostat", "thermostat"),
        ("thermostat_housing", "thermostat housing"),
        ("water_pump", "water pump"),
        ("radiator_cap", "radiator cap"),
        ("expansion_tank", "expansion or overflow tank"),
        ("heater_core", "heater core"),
        ("heater_valve", "heater valve"),
        ("fan_shroud", "fan shroud"),
        ("fan_switch", "fan thermostat switch"),
        ("coolant_sensor", "coolant temperature sensor"),
    )),
]
