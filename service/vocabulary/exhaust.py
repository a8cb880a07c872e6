"""Exhaust: the pipe, its clearances, and the parts around it.

Ranges are common practice; hard ranges are physical impossibility with a margin.
"""

from service.vocabulary.core import LABEL, Field, Kind, Positions

#: A part of which a car may have several, told apart by a label (`left`, `rear`).
SEVERAL = Positions(label=True)

EXHAUST = Kind("exhaust", "exhaust", "exhaust", (
    Field("pipe_diameter", "pipe inside diameter", "length", "44..76 mm", "10..250 mm", True, "caliper on a cut end, at the narrowest place"),
    Field("pipe_count", "pipes that share the whole flow", "integer", "1..2", "1..8", True, "count at the narrowest place"),
    Field("gas_temperature", "gas temperature at that place", "temperature", "650..950 K", "300..1400 K",
          how="thermocouple in the gas at full power"),
    Field("backpressure", "backpressure before the muffler at full power (gauge)", "pressure", "3..20 kPa", "0..200 kPa",
          how="port with a long steel tube to a gauge"),
))

EXHAUST_CLEARANCE = Kind("exhaust_clearance", "exhaust clearance", "exhaust", (
    Field("distance", "distance to the neighbor", "length", "20..100 mm", "0..2000 mm", True, "closest point, engine rocked both ways"),
    Field("neighbor", "neighbor", "choice", how="look",
          choices=("fuel_line", "brake_line", "fuel_tank", "wiring", "hose", "tire", "body", "driveshaft", "starter")),
    Field("shield", "heat shield between", "yes_no", choosable=True, how="look"),
), positions=LABEL, area=True)

KINDS = [
    EXHAUST,
    EXHAUST_CLEARANCE,
    *(Kind(name, title, "exhaust", positions=SEVERAL) for name, title in (
        ("exhaust_manifold", "exhaust manifold"),
        ("header", "header"),
        ("exhaust_pipe", "exhaust pipe"),
        ("muffler", "muffler"),
        ("resonator", "resonator"),
        ("catalytic_converter", "catalytic converter"),
        ("oxygen_sensor", "oxygen sensor"),
        ("tailpipe", "tailpipe"),
        ("exhaust_hanger", "exhaust hanger"),
        ("exhaust_gasket", "exhaust gasket"),
        ("heat_shield", "heat shield"),
    )),
]
