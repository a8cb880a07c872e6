"""Every way to write one quantity reads as the same float, the same unit, and what was typed is kept."""

import math

import pytest

from service.quantities import DIMENSIONS, UNITS, QuantityError, find_unit, gauge_area, read
from service.quantities.spelling import PREFIX_CASE, SPELLINGS, spelling_key

# Exact: the pound of 1959 (0.45359237 kg) times standard gravity; NIST SP 811 (2008), appendix B.
POUND_FORCE = 0.45359237 * 9.80665

# dimension, canonical unit, SI value, the spellings.
SAME = [
    ("length", "in", 0.028575, [
        "1.125 in", "1 1/8 in", "1-1/8 in", "9/8 in", "1⅛ in", "1 ⅛ in", "1-⅛ in", '1 1/8"', "1⅛”", "1-1/8″",
        "1 1/8 inch", "1 1/8 inches", "1 1/8 IN", "1 1/8 in.", "1 1/8''", "1 1/8’’", "1\u00a01/8\u202fin", "1 1⁄8 in",
        "1.125in", "+1.125 in", "1.125-inch", "  1.125   in ", "1.1250 in", "1125e-3 in", "11.25E-1 in",
    ]),
    ("length", "in", 1.778, [
        "5'10\"", "5' 10\"", "5’10”", "5′10″", "5'-10\"", "5 ft 10 in", "5 feet 10 inches", "5'10", "70 in",
        "5ft10in", "5 ft. 10 in.", "5'10.0\"",
    ]),
    ("length", "in", 1.7907, ["5' 10 1/2\"", "5'10-1/2\"", "5’ 10½”", "5'-10 1/2\"", "70 1/2 in", "70.5 in"]),
    ("length", "in", -1.7907, ["-5' 10 1/2\"", "−5'10½\"", "-70-1/2 in", "-70 1/2 in", "– 70.5 in"]),
    ("length", "ft", 1.524, ["5'", "5 ft", "5 feet", "5 FT", "5’", "5 foot"]),
    ("length", "in", 0.0127, [".5 in", "0.5 in", "1/2 in", "½ in", "½\"", "0.50 in"]),
    ("length", "in", 0.0142875, ["9/16 in", "9/16\"", ".5625 in", "9 / 16 in"]),
    ("length", "mm", 0.035, ["35 mm", "35MM", "35 Mm", "35 millimeters", "35 millimetre", "35. mm"]),
    ("length", "thou", 0.000127, ["5 thou", "5 THOU"]),
    ("length", "um", 0.00008, ["80 um", "80 µm", "80 μm", "80 microns"]),
    ("mass", "lb", 566.9904625, ["1,250 lb", "1250 lbs", "1,250.0 LB", "1250 pounds", "1250 lbm", "1250 lb."]),
    ("mass", "kg", 1234567.0, ["1,234,567 kg", "1234567 kgs", "1.234567e6 kg"]),
    ("force", "lbf", 100 * POUND_FORCE, ["100 lb", "100 lbf", "100 lbs", "100 pounds", "100 pounds-force"]),
    ("torque", "lb·ft", 470 * POUND_FORCE * 0.3048, [
        "470 lb-ft", "470 ft-lb", "470 lbf*ft", "470 ft·lbf", "470 lb·ft", "470 lb ft", "470 lbft", "470 ft-lbs",
        "470 ft. lbs.", "470 LB-FT", "470 foot-pounds", "470 pound-feet", "470 ft lbs", "470 lb.ft", "470 lbf·ft",
        "470 lb•ft", "470 ftlb", "470lb-ft",
    ]),
    ("torque", "N·m", 60.0, [
        "60 N*m", "60 N·m", "60 Nm", "60 N-m", "60 N m", "60 nm", "60 NM", "60 N.m", "60 N⋅m", "60 newton-meters",
    ]),
    ("torque", "lb·in", 120 * POUND_FORCE * 0.0254, [
        "120 lb-in", "120 in-lb", "120 in·lbf", "120 inch-pounds", "120 in-lbs", "120 lb*in",
    ]),
    ("stiffness", "lb/in", 350 * POUND_FORCE / 0.0254, [
        "350 lb/in", "350 lbf/in", "350 lbs/in", "350 lb/inch", "350 lb per inch", "350 LB/IN", "350 lb / in",
    ]),
    ("pressure", "psi", 30 * POUND_FORCE / 0.0254**2, [
        "30 psi", "30 PSI", "30 lb/in2", "30 lb/in²", "30 lb/in^2", "30 lb/sq in",
    ]),
    ("pressure", "MPa", 8e6, ["8 MPa", "8 MPA", "8 Mpa", "8 N/mm2", "8 N/mm²"]),
    ("pressure", "inHg", 3 * 0.0254 * 13595.1 * 9.80665, [
        "3 inHg", "3 in Hg", "3 in. Hg", "3 inhg", "3\"Hg", "3” Hg", "3 inches of mercury",
    ]),
    ("power", "hp", 525 * 550 * POUND_FORCE * 0.3048, ["525 hp", "525 HP", "525 bhp", "525 horsepower"]),
    ("power", "PS", 73549.875, ["100 PS", "100 ps"]),
    ("rotational_speed", "rpm", 100 * math.pi, [
        "3000 rpm", "3,000 RPM", "3000 r/min", "3000 rev/min", "3000 revs/min", "3000 1/min",
    ]),
    ("speed", "km/h", 100 / 3.6, ["100 km/h", "100 kph", "100 kmh", "100 KM/H", "100 km/hr", "100 km per hour"]),
    ("speed", "mph", 31.2928, ["70 mph", "70 MPH", "70 mi/h", "70 miles per hour"]),
    ("volume_flow", "cfm", 650 * 0.3048**3 / 60, [
        "650 cfm", "650 CFM", "650 ft3/min", "650 cu ft/min", "650 cu. ft/min",
    ]),
    ("volume_flow", "cc/min", 7e-06, ["420 cc/min", "420 cm3/min", "420 mL/min", "420 cm³/min"]),
    ("volume_flow", "gph", 250 * 231 * 0.0254**3 / 3600, [
        "250 gph", "250 gal/h", "250 gal/hr", "250 gallons per hour", "250 GPH",
    ]),
    ("mass_flow", "lb/h", 40 * 0.45359237 / 3600, ["40 lb/h", "40 lb/hr", "40 lbs/hr", "40 pph", "40 lbs per hour"]),
    ("temperature", "degF", (180 + 459.67) / 1.8, [
        "180 degF", "180 °F", "180°F", "180 F", "180 deg F", "180 degrees F", "180℉", "180 º F", "180 f",
    ]),
    ("temperature", "degC", 358.15, [
        "85 degC", "85 °C", "85°C", "85C", "85 deg C", "85 degrees celsius", "85 ℃", "85 DEGC",
    ]),
    ("angle", "deg", math.radians(-2.5), [
        "-2.5 deg", "−2.5 deg", "-2.5°", "−2.5 °", "-2 1/2 deg", "-2½°", "- 2.5 degrees", "-2.50º",
    ]),
    ("voltage", "mV", 0.3, ["300 mV", "300 mv", "300 millivolts"]),
    ("current", "A", 30.0, ["30 A", "30 amps", "30 a", "30 ampere"]),
    ("resistance", "mohm", 0.005, ["5 mohm", "5 mΩ", "5 mΩ", "5 mOhm", "5 milliohms"]),
    ("resistance", "ohm", 4.0, ["4 ohm", "4 Ω", "4 Ω", "4 ohms", "4 OHM"]),
    ("charge", "Ah", 70 * 3600, ["70 Ah", "70 A·h", "70 A*h", "70 AH", "70 amp hours", "70 amp-hr"]),
    ("time", "h", 10800.0, ["3 h", "3 hr", "3 hrs", "3 hours", "3 H"]),
    ("density", "kg/m3", 1040.0, ["1040 kg/m3", "1040 kg/m³", "1,040 kg/m^3", "1040 kg/m**3"]),
    ("volume", "cc", 6.4e-05, ["64 cc", "64 cm3", "64 cm³", "64 mL", "64 ml", "64 CC", "64 cm^3"]),
    ("volume", "cu in", 350 * 0.0254**3, [
        "350 cu in", "350 cid", "350 in3", "350 in³", "350 CID", "350 cubic inches", "350 cu. in.", "350 ci",
    ]),
    ("volume", "L", 5.7 / 1000, ["5.7 L", "5.7 l", "5.7 liters", "5.7 litre", "5.7L"]),
    ("volume", "gal", 16 * 231 * 0.0254**3, ["16 gal", "16 gallons", "16 GAL", "16 gal."]),
    ("area", "in2", 0.0064516, ["10 in2", "10 in²", "10 sq in", "10 sq. in.", "10 square inches"]),
    ("thermal_conductance", "kW/K", 3000.0, ["3 kW/K", "3 kW/°C", "3 kw/k"]),
    ("specific_consumption", "lb/(hp*h)", 0.5 * 0.45359237 / (550 * POUND_FORCE * 0.3048 * 3600), [
        "0.5 lb/(hp*h)", "0.5 lb/(hp·h)", "0.5 lb/hp-hr", "1/2 lb/hp/h", "0.5 lb/hp·h", "0.5 lbs/hp-hr",
        "0.5 LB/HP-HR",
    ]),
    ("specific_consumption", "g/(kW*h)", 0.3 / 3.6e6, [
        "300 g/(kW*h)", "300 g/kWh", "300 g/kW-h", "300 g/kW·h", "300 g/(kW·h)",
    ]),
    ("acceleration", "g0", 0.95 * 9.80665, ["0.95 g0", "0.95 g", "0.95 G"]),
    ("acceleration", "m/s2", 4.5, ["4.5 m/s2", "4.5 m/s²", "4.5 m/s^2"]),
    ("power_density", "hp/cu in", 550 * POUND_FORCE * 0.3048 / 0.0254**3, [
        "1 hp/cu in", "1 hp/cid", "1 hp/in3", "1 hp per cubic inch",
    ]),
    ("power_density", "kW/L", 7e7, ["70 kW/L", "70 kw/l", "70 kW per liter"]),
    ("energy", "ft·lbf", POUND_FORCE * 0.3048, ["1 ft·lbf", "1 ft-lb", "1 ft*lbf", "1 foot-pound"]),
    ("frequency", "Hz", 1.5, ["1.5 Hz", "1.5 hz", "1 1/2 hertz", "1.5 1/s"]),
    ("roll_stiffness", "lb·ft/deg", 450 * POUND_FORCE * 0.3048 * 180 / math.pi, [
        "450 lb·ft/deg", "450 lb-ft/deg", "450 ft-lb/deg", "450 ft-lbs/degree", "450 lbf·ft/°",
        "450 foot-pounds per degree",
    ]),
    ("roll_stiffness", "N·m/deg", 1000 * 180 / math.pi, [
        "1000 N·m/deg", "1000 Nm/deg", "1000 N*m/°", "1000 N-m/deg", "1000 Nm per degree",
    ]),
    ("dimensionless", "1", 4.1, ["4.10", "4.1", "4.10:1", "4.1 : 1", "4.10 to 1", "4.10 1", "4 1/10"]),
    ("dimensionless", "%", 0.75, ["75 %", "75%", "75 percent", "75 pct"]),
    ("wire_size", "AWG", gauge_area(14), [
        "14 AWG", "AWG 14", "AWG14", "14AWG", "#14", "# 14", "14 ga", "14 ga.", "14 gauge", "14-gauge", "14 awg",
        "No. 14", "#14 AWG",
    ]),
    ("wire_size", "AWG", gauge_area(-1), ["2/0", "2/0 AWG", "00", "00 AWG", "AWG 2/0", "#2/0", "2/0 ga", "2 / 0"]),
    ("wire_size", "AWG", gauge_area(-3), ["4/0", "0000", "0000 AWG", "4/0 AWG", "AWG 0000"]),
    ("wire_size", "AWG", gauge_area(0), ["1/0", "1/0 AWG", "0 AWG", "AWG 0", "#0"]),
    ("wire_size", "mm2", 2.5e-06, ["2.5 mm2", "2.5 mm²", "2.5mm²", "2.5 mm^2", "2.5 sq mm", "2 1/2 mm2"]),
]  # fmt: skip
SPELLED = [(dimension, unit, si, text) for dimension, unit, si, texts in SAME for text in texts]

# The units every build of this vocabulary may rely on.
AT_LEAST = {
    "length": "in mm cm m ft mi km",
    "angle": "deg rad",
    "mass": "lb oz kg g ton",
    "force": "lbf N kN kgf",
    "torque": "lb·ft lb·in N·m",
    "stiffness": "lb/in N/mm N/m",
    "pressure": "psi bar kPa MPa inHg",
    "power": "hp PS kW W",
    "rotational_speed": "rpm rad/s",
    "speed": "mph km/h m/s ft/min",
    "volume_flow": "cfm L/min gph L/h cc/min m3/s",
    "mass_flow": "lb/h g/s",
    "temperature": "degC degF K",
    "temperature_difference": "degC degF K",
    "voltage": "V mV",
    "current": "A mA",
    "resistance": "ohm mohm",
    "charge": "Ah",
    "time": "s min h day",
    "density": "kg/m3",
    "volume": "cc L gal qt pt",
    "area": "mm2",
    "wire_size": "AWG mm2",
    "thermal_conductance": "W/K kW/K",
    "specific_consumption": "lb/(hp*h) g/(kW*h)",
    "acceleration": "m/s2 g0",
    "angular_acceleration": "rad/s2",
    "power_density": "W/m3 hp/L kW/L",
    "energy": "J kJ ft·lbf",
    "frequency": "Hz",
    "roll_stiffness": "N·m/rad N·m/deg lb·ft/deg",
    "dimensionless": "1 %",
}
EVERY_NAME = [(dimension, name, unit) for dimension, names in SPELLINGS.items() for name, unit in names.items()]


@pytest.mark.parametrize(("dimension", "unit", "si", "text"), SPELLED)
def test_spellings_agree(dimension: str, unit: str, si: float, text: str) -> None:
    quantity = read(text, dimension)
    assert quantity.si == pytest.approx(si, rel=1e-14)
    assert (quantity.unit, quantity.text, quantity.tolerance) == (unit, text, None)


@pytest.mark.parametrize(("dimension", "unit", "texts"), [(row[0], row[1], row[3]) for row in SAME])
def test_spellings_give_one_and_the_same_float(dimension: str, unit: str, texts: list[str]) -> None:
    assert len({read(text, dimension).si for text in texts}) == 1


def test_dimensions_and_units_at_least() -> None:
    assert set(DIMENSIONS) == set(AT_LEAST)
    lacking = {name: set(AT_LEAST[name].split()) - set(UNITS[name]) for name in DIMENSIONS}
    assert not any(lacking.values()), lacking


@pytest.mark.parametrize(("dimension", "name", "unit"), EVERY_NAME)
def test_every_listed_name_is_found(dimension: str, name: str, unit: object) -> None:
    """A name that is not its own key could be typed only in the one way it is listed."""
    assert find_unit(name, dimension) is unit
    assert spelling_key(name) in SPELLINGS[dimension]


@pytest.mark.parametrize(("dimension", "name", "unit"), EVERY_NAME)
def test_case_matters_only_for_milli_and_mega(dimension: str, name: str, unit: object) -> None:
    shouted = name.upper()
    expected = None if name in PREFIX_CASE and name[0] == "m" else unit
    assert find_unit(shouted, dimension) is expected


@pytest.mark.parametrize("text", ["12 MV", "12 Mv", "12 MA", "5 Mohm", "5 MΩ", "5 MOHM", "8 mPa", "8 mpa", "1 mJ", "40 ML"])
def test_milli_is_not_mega(text: str) -> None:
    for dimension in ("voltage", "current", "resistance", "pressure", "energy", "volume"):
        with pytest.raises(QuantityError):
            read(text, dimension)
