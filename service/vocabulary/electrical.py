"""Electrical: battery, alternator, circuits, grounds, the system as a whole, and the parts around them.

The starter, whose teeth belong to the driveline, is declared there with all its fields.
Ranges are common practice; hard ranges are physical impossibility with a margin.
"""

from service.vocabulary.core import LABEL, Field, Kind, Positions

#: A part of which a car may have several, told apart by a label (`cooling fan`, `left headlight`).
SEVERAL = Positions(label=True)

BATTERY = Kind("battery", "battery", "electrical", (
    Field("cranking_current", "cold cranking amps", "current", "500..900 A", "50..2500 A", True, "label"),
    Field("capacity", "capacity", "charge", "40..100 Ah", "1..400 Ah", True, "label; else reserve minutes × 25 A"),
    Field("kind", "kind", "choice", choosable=True, how="label", choices=("flooded", "absorbed_glass_mat", "gel", "lithium_iron_phosphate")),
    Field("location", "place", "choice", choosable=True, how="look", choices=("engine_bay", "trunk", "cabin", "frame")),
    Field("vented_outside", "vent hose led outside", "yes_no", choosable=True, how="look"),
    Field("disconnect", "master switch fitted", "yes_no", choosable=True, how="look"),
))

ALTERNATOR = Kind("alternator", "alternator", "electrical", (
    Field("rated_output", "hot rated output", "current", "60..200 A", "5..500 A", True, "label or test sheet"),
    Field("measured_hot", "figures taken hot at the car", "yes_no", how="clamp meter after a run"),
    Field("idle_output", "output at idle", "current", "25..90 A", "0..400 A", how="clamp meter at idle, loads on"),
))

CIRCUIT = Kind("circuit", "circuit", "electrical", (
    Field("current", "current when on", "current", "0.1..40 A", "0..1000 A", how="clamp meter"),
    Field("length", "source to load, one way", "length", "0.3..6 m", "0.01..30 m", True, "string along the route"),
    Field("return_path", "return", "choice", choosable=True, how="look", choices=("wire", "chassis")),
    Field("wire_size", "wire size", "wire_size", "20..8 AWG", "0.005..500 mm2", True, "printing on the insulation"),
    Field("insulation_class", "insulation temperature", "temperature", "80..125 degC", "40..260 degC", True,
          "printing; cross-linked 125 °C, plain PVC 80 °C"),
    Field("temperature", "air around the wire", "temperature", "40..100 degC", "-40..200 degC", how="probe after a hot run"),
    Field("bundled_count", "loaded wires in the bundle, this one counted", "integer", "1..20", "1..300", True, "count"),
    Field("duty", "duty", "choice", how="continuous = on 3 min or more", choices=("continuous", "intermittent")),
    Field("on_fraction", "share of time on", "dimensionless", "10..100 %", "0..100 %", how="estimate"),
    Field("when", "when on", "choice", how="decision", choices=("idle_and_cruise", "cruise", "idle", "occasional")),
    Field("fused", "fuse or breaker fitted", "yes_no", choosable=True, how="look"),
    Field("conductor", "conductor", "choice", choosable=True, how="printing; scrape the end; copper unless recorded",
          choices=("copper", "copper_clad_aluminum", "aluminum")),
    Field("fuse_rating", "fuse or breaker", "current", "3..60 A", "0.1..600 A", True, "printed"),
    Field("fuse_distance", "source to fuse along the wire", "length", "0.05..1 m", "0..15 m", True, "tape"),
    Field("critical", "critical circuit", "yes_no",
          how="yes when a drop dims lights or starves pump, ignition, control unit or charging"),
    Field("measured_drop", "total drop measured with the load on", "voltage", "0..0.6 V", "0..30 V",
          how="meter: source + to load +, plus load − to battery −"),
    Field("joints_resistance", "resistance of joints, switch, relay", "resistance", "2..20 mohm", "0..5000 mohm", how="drop ÷ current"),
), positions=LABEL)

GROUND = Kind("ground", "ground", "electrical", (
    Field("role", "role", "choice", how="look", choices=("engine_to_battery", "body_to_battery", "engine_to_body", "accessory", "control_unit")),
    Field("voltage_drop", "drop across the ground, load on", "voltage", "0..0.2 V", "0..15 V", how="meter, cranking or all loads on"),
    Field("resistance", "resistance", "resistance", "0..10 mohm", "0..100000 mohm", how="four-wire meter"),
    Field("current", "current through it", "current", "1..300 A", "0..2000 A", how="clamp meter"),
), positions=LABEL)

ELECTRICAL = Kind("electrical", "electrical system", "electrical", (
    Field("system_voltage", "system voltage", "voltage", "12..12 V", "5..60 V", True, "label; 12 V unless recorded"),
    Field("rest_voltage", "battery at rest, all off 4 h", "voltage", "12.2..12.8 V", "0..60 V", how="meter on the posts"),
    Field("charging_voltage", "at the battery, about 1500 rpm, lights and fan on", "voltage", "13.8..14.6 V", "0..60 V",
          how="meter on the posts"),
    Field("parasitic_draw", "draw, all asleep", "current", "10..50 mA", "0..20000 mA", how="meter in series, or clamp after 40 min"),
), area=True)

KINDS = [
    BATTERY,
    ALTERNATOR,
    CIRCUIT,
    GROUND,
    ELECTRICAL,
    *(Kind(name, title, "electrical", positions=SEVERAL) for name, title in (
        ("lamp", "lamp"),
        ("relay", "relay"),
        ("switch", "switch"),
        ("harness", "wiring harness"),
        ("fuse_panel", "fuse panel"),
        ("fuse", "fuse or breaker"),
        ("control_unit", "control unit"),
        ("ignition_coil", "ignition coil"),
        ("ignition_module", "ignition module"),
        ("ignition_switch", "ignition switch"),
        ("voltage_regulator", "voltage regulator"),
        ("battery_cable", "battery cable"),
        ("battery_tray", "battery tray and hold-down"),
        ("ground_strap", "ground strap"),
        ("connector", "connector"),
        ("sensor", "sensor"),
        ("horn", "horn"),
        ("wiper_motor", "wiper motor"),
        ("window_motor", "window motor"),
    )),
]
