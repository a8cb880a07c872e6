"""Fuel: the system as a whole, pumps, injectors, carburetor, lines, tank, and the parts around them.

Ranges are common practice; hard ranges are physical impossibility with a margin.
"""

from service.vocabulary.core import LABEL, Field, Kind, Positions

#: A part of which a car may have several, told apart by a label (`rail`, `left bank`).
SEVERAL = Positions(label=True)

FUEL_SYSTEM = Kind("fuel_system", "fuel system", "fuel", (
    Field("kind", "metering", "choice", choosable=True, how="look", choices=("carburetor", "throttle_body_injection", "port_injection")),
    Field("fuel", "fuel", "choice", choosable=True, how="owner; when not recorded it follows the engine's fuel",
          choices=("gasoline", "e85", "methanol", "diesel")),
    Field("pressure", "pressure above manifold or atmosphere", "pressure", "20..450 kPa", "0..25000 kPa", True,
          "gauge at the rail, engine running"),
    Field("pressure_reference", "regulator reference", "choice", choosable=True, how="hose to the manifold or not",
          choices=("manifold", "atmosphere")),
    Field("returnless", "returnless", "yes_no", choosable=True, how="look"),
    Field("bsfc", "brake specific fuel consumption", "specific_consumption", "0.45..0.65 lb/(hp*h)", "0.3..1.5 lb/(hp*h)", how="dyno"),
    Field("regulator", "regulator fitted", "yes_no", choosable=True, how="look"),
    Field("return_line", "return line fitted", "yes_no", choosable=True, how="look"),
    Field("filter_fine", "fine filter fitted", "yes_no", choosable=True, how="look, after the pump"),
    Field("filter_coarse", "coarse filter or strainer fitted", "yes_no", choosable=True, how="look, before the pump"),
    Field("shutoff", "pump cut-out fitted", "yes_no", choosable=True, how="look: inertia switch, oil-pressure switch or ECU-timed cut-out"),
))

FUEL_PUMP = Kind("fuel_pump", "fuel pump", "fuel", (
    Field("flow", "flow of one pump", "volume_flow", "100..400 L/h", "1..3000 L/h", True, "maker's curve"),
    Field("rated_pressure", "pressure of that flow", "pressure", "300..450 kPa", "0..2000 kPa", how="maker's curve"),
    Field("rated_voltage", "voltage of that flow", "voltage", "12..13.5 V", "5..30 V", how="maker's curve"),
    Field("second_flow", "flow at another point of the curve", "volume_flow", "100..400 L/h", "1..3000 L/h",
          how="maker's curve, same voltage"),
    Field("second_pressure", "pressure of that other point", "pressure", "300..450 kPa", "0..2000 kPa",
          how="maker's curve, same voltage"),
    Field("voltage", "voltage at the pump plug, running", "voltage", "12..14.2 V", "5..30 V", how="meter at the plug, under load"),
    Field("drive", "drive", "choice", choosable=True, how="look; electric unless recorded", choices=("electric", "mechanical")),
    Field("count", "pumps in parallel", "integer", "1..2", "1..4", True, "look"),
))

INJECTOR = Kind("injector", "injector", "fuel", (
    Field("mass_flow", "static flow by mass", "mass_flow", "18..80 lb/h", "1..500 lb/h", True, "flow sheet"),
    Field("flow", "static flow by volume", "volume_flow", "190..850 cc/min", "10..5300 cc/min", True, "flow sheet"),
    Field("rated_pressure", "pressure of that flow", "pressure", "270..400 kPa", "50..2000 kPa", how="flow sheet"),
    Field("count", "injectors fed", "integer", "2..8", "1..24", True, "count"),
    Field("impedance", "coil resistance", "resistance", "1.5..16 ohm", "0.2..50 ohm", how="ohmmeter"),
))

CARBURETOR = Kind("carburetor", "carburetor", "fuel", (
    Field("airflow", "rated airflow, all", "volume_flow", "300..850 cfm", "20..3000 cfm", True, "maker"),
    Field("secondaries", "secondaries", "choice", choosable=True, how="look", choices=("none", "mechanical", "vacuum", "air_valve")),
    Field("rated_drop", "pressure drop of that rating", "pressure", "1.5..3.0 inHg", "0.1..30 inHg",
          how="maker; 1.5 inHg for a four barrel, 3.0 inHg for one and two barrels"),
))

FUEL_LINE = Kind("fuel_line", "fuel line", "fuel", (
    Field("inner_diameter", "inside diameter", "length", "5..13 mm", "1..50 mm", True, "offcut, caliper"),
    Field("length", "length", "length", "0.3..6 m", "0.01..15 m", True, "string"),
    Field("role", "role", "choice", choosable=True, how="look", choices=("suction", "pressure", "return")),
    Field("material", "material", "choice", choosable=True, how="printing on the hose",
          choices=("steel", "stainless", "nylon", "hose_low_pressure", "hose_injection", "ptfe_braid", "aluminum", "copper")),
    Field("flow", "flow if known", "volume_flow", "50..400 L/h", "0..3000 L/h", how="pump flow for a return system"),
), positions=LABEL)

FUEL_TANK = Kind("fuel_tank", "fuel tank", "fuel", (
    Field("capacity", "capacity", "volume", "40..100 L", "1..500 L", True, "fill"),
    Field("vent", "vented", "yes_no", choosable=True, how="look"),
))

KINDS = [
    FUEL_SYSTEM,
    FUEL_PUMP,
    INJECTOR,
    CARBURETOR,
    FUEL_LINE,
    FUEL_TANK,
    *(Kind(name, title, "fuel", positions=SEVERAL) for name, title in (
        ("fuel_filter", "fuel filter"),
        ("fuel_strainer", "fuel strainer"),
        ("fuel_regulator", "fuel pressure regulator"),
        ("fuel_rail", "fuel rail"),
        ("fuel_hose", "fuel hose"),
        ("fuel_fitting", "fuel line fitting"),
        ("fuel_sender", "fuel level sender"),
        ("fuel_cap", "fuel filler cap"),
        ("fuel_filler", "fuel filler neck"),
        ("fuel_cutoff", "fuel pump cut-out switch"),
        ("roll_over_valve", "roll-over vent valve"),
        ("vapor_canister", "vapor canister"),
    )),
]
