"""Kinds of quantity and the units each may be written in.

A kind is what a number measures in the trade: gauge pressure is another kind than a pressure
difference, a pump's intake volume another than a tool's mass flow at reference air. Each kind has
its own short list of units; a unit of another kind is refused where it stands.

References
----------
[si-brochure] unit factors; [iso-8778] reference air ANR; [practice] scfm at 14.5 psia, 68 degF, dry
"""

from __future__ import annotations

from dataclasses import dataclass, field

LBF_PER_IN2 = 6_894.757293168361
FOOT = 0.3048
INCH = 0.0254
GALLON = 3.785411784e-3
POUND = 0.45359237
CFM = FOOT**3 / 60.0
HORSEPOWER = 745.6998715822702
METRIC_HORSEPOWER = 735.49875

DRY_AIR_SCFM = 14.5 * LBF_PER_IN2 / (287.055 * 293.15)
"""Dry air in a cubic metre at 14.5 psia, 68 degF, 0 % humidity. [kg/m3]"""
DRY_AIR_ANR = (100_000.0 - 0.65 * 2_338.8) / (287.055 * 293.15)
"""Dry air in a cubic metre at 100 kPa, 20 degC, 65 % humidity (ISO 8778). [kg/m3]"""
DRY_AIR_NORMAL = 101_325.0 / (287.055 * 273.15)
"""Dry air in a cubic metre at 101.325 kPa, 0 degC. [kg/m3]"""


@dataclass(frozen=True)
class Kind:
    """One kind of quantity.

    Attributes
    ----------
    name, label : str
        The name used in the program, and the words for it in a message.
    si : str
        The SI unit everything inside the program is in.
    units : dict
        Unit as written -> (factor, offset): SI value = factor * number + offset.
    us, metric : str
        Units shown to owners who write US or SI.
    low, high : float
        What can physically be, in SI, ends included; a high end that nature does not set is far above any shop.
    flavours : dict
        Unit -> the kind a span in that unit is of, where it differs from this one.
    refused : dict
        Unit -> why it has two meanings, and what to write instead.
    """

    name: str
    label: str
    si: str
    units: dict[str, tuple[float, float]]
    us: str
    metric: str
    low: float = float("-inf")
    high: float = float("inf")
    flavours: dict[str, str] = field(default_factory=dict)
    refused: dict[str, str] = field(default_factory=dict)


def _units(**factors: float) -> dict[str, tuple[float, float]]:
    return {name: (factor, 0.0) for name, factor in factors.items()}


_PRESSURE = {
    "Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "bar": 1e5, "mbar": 100.0, "psi": LBF_PER_IN2,
}  # fmt: skip
_SMALL_PRESSURE = {"inH2O": 249.08891, "mmH2O": 9.80665, "inHg": 3_386.389, "kgf/cm2": 98_066.5}
_GAUGE = {name: (f, 0.0) for name, f in _PRESSURE.items()} | {
    "psig": (LBF_PER_IN2, 0.0), "barg": (1e5, 0.0), "bar(g)": (1e5, 0.0), "kPag": (1e3, 0.0),
    "kgf/cm2": (98_066.5, 0.0),
}  # fmt: skip
_ABSOLUTE = {
    "psia": (LBF_PER_IN2, 0.0), "bara": (1e5, 0.0), "bar(a)": (1e5, 0.0), "kPaa": (1e3, 0.0),
    "kPa(a)": (1e3, 0.0), "MPaa": (1e6, 0.0), "hPa": (100.0, 0.0),
    "inHg": (3_386.389, 0.0), "mmHg": (133.322387415, 0.0),
}  # fmt: skip
_TEMPERATURE = {"degC": (1.0, 273.15), "°C": (1.0, 273.15), "C": (1.0, 273.15), "K": (1.0, 0.0), "R": (5 / 9, 0.0),
                "degF": (5 / 9, 459.67 * 5 / 9), "°F": (5 / 9, 459.67 * 5 / 9),
                "F": (5 / 9, 459.67 * 5 / 9)}  # fmt: skip
_VOLUME_FLOW = {
    "cfm": CFM, "ft3/min": CFM, "L/min": 1e-3 / 60, "l/min": 1e-3 / 60, "L/s": 1e-3, "l/s": 1e-3,
    "m3/min": 1 / 60, "m3/h": 1 / 3600, "m3/s": 1.0, "cfh": CFM / 60,
}  # fmt: skip
_REFERENCE_FLOW = {
    "scfm": DRY_AIR_SCFM * CFM, "cfm": DRY_AIR_SCFM * CFM, "scfh": DRY_AIR_SCFM * CFM / 60,
    "L/min ANR": DRY_AIR_ANR * 1e-3 / 60, "L/min (ANR)": DRY_AIR_ANR * 1e-3 / 60, "L/s ANR": DRY_AIR_ANR * 1e-3,
    "m3/min ANR": DRY_AIR_ANR / 60, "m3/h ANR": DRY_AIR_ANR / 3600, "L/min": DRY_AIR_ANR * 1e-3 / 60,
    "L/s": DRY_AIR_ANR * 1e-3, "m3/min": DRY_AIR_ANR / 60, "m3/h": DRY_AIR_ANR / 3600,
    "Nm3/h": DRY_AIR_NORMAL / 3600, "Nm3/min": DRY_AIR_NORMAL / 60, "kg/s": 1.0, "kg/h": 1 / 3600, "g/s": 1e-3,
}  # fmt: skip
_NORMAL_LITRES = (
    "'NL' is used both for 0 degC and for 20 degC air, 7 % apart: write 'L/min ANR' (20 degC, 100 kPa, 65 %) "
    "or give it in 'Nm3/h' (0 degC, 101.325 kPa)"
)

_ALL = (
    Kind("length", "a length", "m",
         _units(m=1.0, mm=1e-3, cm=1e-2, ft=FOOT) | {"in": (INCH, 0.0), '"': (INCH, 0.0)}, "in", "mm", 0.0, 1e5),
    Kind("area", "an area", "m2", _units(m2=1.0, cm2=1e-4, mm2=1e-6, in2=INCH**2, ft2=FOOT**2), "ft2", "m2", 0.0, 1e6),
    Kind("volume", "a volume", "m3",
         _units(m3=1.0, L=1e-3, l=1e-3, mL=1e-6, cm3=1e-6, cc=1e-6, gal=GALLON, ft3=FOOT**3, in3=INCH**3),
         "gal", "L", 0.0, 1e5),
    Kind("swept_volume", "a volume swept in one turn", "m3",
         _units(m3=1.0, L=1e-3, l=1e-3, cm3=1e-6, cc=1e-6, in3=INCH**3, ft3=FOOT**3), "in3", "L", 0.0, 1e2),
    Kind("altitude", "a height above the sea", "m", _units(m=1.0, ft=FOOT, km=1e3), "ft", "m", -500.0, 6_000.0),
    Kind("pressure", "a pressure", "Pa", _GAUGE | _ABSOLUTE, "psi", "bar", -101_325.0, 1e8,
         flavours=dict.fromkeys(_ABSOLUTE, "absolute_pressure")),
    Kind("absolute_pressure", "an absolute pressure", "Pa",
         _ABSOLUTE | {name: (f, 0.0) for name, f in _PRESSURE.items()}, "psia", "bara", 0.0, 1e8),
    Kind("pressure_difference", "a pressure difference", "Pa",
         {name: (f, 0.0) for name, f in (_PRESSURE | _SMALL_PRESSURE).items()}, "psi", "bar", 0.0, 1e7),
    Kind("temperature", "a temperature", "K", _TEMPERATURE, "°F", "°C", 150.0, 1_500.0),
    Kind("temperature_difference", "a temperature difference", "K",
         {"K": (1.0, 0.0), "degC": (1.0, 0.0), "°C": (1.0, 0.0), "degF": (5 / 9, 0.0), "°F": (5 / 9, 0.0)},
         "°F", "K", -500.0, 500.0),
    Kind("rotational_speed", "a speed of rotation", "1/s",
         {"rpm": (1 / 60, 0.0), "1/min": (1 / 60, 0.0), "r/min": (1 / 60, 0.0), "1/s": (1.0, 0.0)},
         "rpm", "rpm", 0.0, 1_000.0),
    Kind("frequency", "a frequency", "Hz", _units(Hz=1.0, kHz=1e3), "Hz", "Hz", 0.0, 1e5),
    Kind("intake_flow", "air as volume at the pump's intake", "m3/s",
         {name: (f, 0.0) for name, f in _VOLUME_FLOW.items()}, "cfm", "L/min", 0.0, 1e4,
         refused={"scfm": "a pump's delivery is volume as it stands at the intake; 'scfm' is mass at reference "
                          "air, up to 20 % apart on a hill or a hot day: write 'cfm' for delivery at the intake",
                  "NL/min": _NORMAL_LITRES, "Nl/min": _NORMAL_LITRES}),
    Kind("reference_flow", "air as mass at reference conditions", "kg/s",
         {name: (f, 0.0) for name, f in _REFERENCE_FLOW.items()}, "scfm", "L/min ANR", 0.0, 1e4,
         refused={"NL/min": _NORMAL_LITRES, "Nl/min": _NORMAL_LITRES}),
    Kind("fan_flow", "a fan's air flow", "m3/s",
         {name: (f, 0.0) for name, f in _VOLUME_FLOW.items()}, "cfm", "m3/h", 0.0, 1e4),
    Kind("water_flow", "a flow of water", "kg/s",
         {"kg/s": (1.0, 0.0), "g/h": (1e-3 / 3600, 0.0), "kg/h": (1 / 3600, 0.0), "L/h": (1 / 3600, 0.0),
          "oz/h": (POUND / 16 / 3600, 0.0), "L/day": (1 / 86_400, 0.0)}, "g/h", "g/h", 0.0, 1e4),
    Kind("power", "a power", "W",
         _units(W=1.0, kW=1e3, hp=HORSEPOWER, HP=HORSEPOWER, PS=METRIC_HORSEPOWER) | {"Btu/h": (0.29307107, 0.0)},
         "kW", "kW", 0.0, 1e9),
    Kind("voltage", "a voltage", "V", _units(V=1.0, kV=1e3), "V", "V", 0.0, 1e5),
    Kind("current", "a current", "A", _units(A=1.0, mA=1e-3), "A", "A", 0.0, 1e5),
    Kind("fraction", "a share", "-", {"%": (0.01, 0.0), "-": (1.0, 0.0), "": (1.0, 0.0)}, "%", "%", 0.0, 1e4),
    Kind("number", "a number", "-", {"": (1.0, 0.0), "-": (1.0, 0.0)}, "-", "-", -1e12, 1e12),
    Kind("torque", "a torque", "N m",
         {"N m": (1.0, 0.0), "Nm": (1.0, 0.0), "lbf ft": (1.3558179483314004, 0.0), "lb ft": (1.3558179483314004, 0.0),
          "ft lb": (1.3558179483314004, 0.0), "lbf in": (0.1129848290276167, 0.0)}, "lbf ft", "N m", 0.0, 1e8),
    Kind("mass", "a mass", "kg", _units(kg=1.0, g=1e-3, lb=POUND, oz=POUND / 16), "lb", "kg", 0.0, 1e8),
    Kind("inertia", "a moment of inertia", "kg m2",
         {"kg m2": (1.0, 0.0), "kgm2": (1.0, 0.0), "lb ft2": (POUND * FOOT**2, 0.0), "lb in2": (POUND * INCH**2, 0.0)},
         "lb ft2", "kg m2", 0.0, 1e8),
    Kind("conductance", "a heat conductance", "W/K",
         {"W/K": (1.0, 0.0), "Btu/h/degF": (0.52752792, 0.0), "Btu/(h °F)": (0.52752792, 0.0)}, "W/K", "W/K", 0.0, 1e8),
    Kind("heat_capacity", "a heat capacity", "J/K", _units(**{"J/K": 1.0, "kJ/K": 1e3}), "kJ/K", "kJ/K", 0.0, 1e12),
    Kind("time", "a time", "s", _units(s=1.0, min=60.0, h=3600.0, ms=1e-3) | {"day": (86_400.0, 0.0)},
         "s", "s", 0.0, 1e10),
    Kind("sound_level", "a sound level", "dB", {"dBA": (1.0, 0.0), "dB(A)": (1.0, 0.0), "dB": (1.0, 0.0)},
         "dBA", "dBA", -20.0, 200.0),
    Kind("specific_power", "power for the air delivered", "J/m3",
         {"J/m3": (1.0, 0.0), "kW/100 cfm": (1e3 / (100 * CFM), 0.0), "kW/(m3/min)": (6e4, 0.0),
          "W/(L/min)": (6e4, 0.0)}, "kW/100 cfm", "kW/(m3/min)", 0.0, 1e10),
    Kind("money", "an amount of money", "money", {"": (1.0, 0.0), "-": (1.0, 0.0)}, "", "", 0.0, 1e12),
    Kind("energy_price", "a price of energy", "money/J",
         {"/kWh": (1 / 3.6e6, 0.0), "per kWh": (1 / 3.6e6, 0.0)}, "/kWh", "/kWh", 0.0, 1e6),
    Kind("cost_rate", "money for running", "money/s", {"/h": (1 / 3600, 0.0)}, "/h", "/h", 0.0, 1e12),
    Kind("flow_coefficient", "a sonic conductance", "m3/(s Pa)",
         {"dm3/(s bar)": (1e-8, 0.0), "L/(s bar)": (1e-8, 0.0), "m3/(s Pa)": (1.0, 0.0)},
         "dm3/(s bar)", "dm3/(s bar)", 0.0, 1.0),
    Kind("wire_size", "a wire size", "m2",
         {"mm2": (1e-6, 0.0), "m2": (1.0, 0.0), "kcmil": (5.067074790974977e-7, 0.0)}, "mm2", "mm2", 0.0, 1.0),
    Kind("humidity_ratio", "water carried by dry air", "kg/kg",
         {"kg/kg": (1.0, 0.0), "g/kg": (1e-3, 0.0)}, "g/kg", "g/kg", 0.0, 1e3),
    Kind("mass_flow", "a mass flow of dry air", "kg/s",
         {"kg/s": (1.0, 0.0), "g/s": (1e-3, 0.0), "kg/h": (1 / 3600, 0.0)}, "g/s", "g/s", 0.0, 1e4),
    Kind("linear_speed", "a speed", "m/s",
         _units(**{"m/s": 1.0, "ft/s": FOOT, "ft/min": FOOT / 60, "m/min": 1 / 60}), "ft/min", "m/s", 0.0, 1e5),
    Kind("energy", "an amount of energy", "J",
         {"J": (1.0, 0.0), "kJ": (1e3, 0.0), "MJ": (1e6, 0.0), "Wh": (3600.0, 0.0), "kWh": (3.6e6, 0.0)},
         "kWh", "kWh", -1e15, 1e15),
    Kind("start_rate", "starts in a time", "1/s", {"/h": (1 / 3600, 0.0), "/day": (1 / 86_400, 0.0), "1/s": (1.0, 0.0)},
         "/h", "/h", 0.0, 1e3),
    Kind("daily_water", "water in a day", "kg/s",
         {"L/day": (1 / 86_400, 0.0), "kg/day": (1 / 86_400, 0.0), "g/h": (1e-3 / 3600, 0.0), "kg/s": (1.0, 0.0)},
         "L/day", "L/day", 0.0, 1e4),
    Kind("hours", "a time, in hours", "s",
         _units(h=3600.0, s=1.0, min=60.0) | {"day": (86_400.0, 0.0)}, "h", "h", 0.0, 1e12),
    Kind("minutes", "a time, in minutes", "s",
         _units(min=60.0, s=1.0, h=3600.0) | {"day": (86_400.0, 0.0)}, "min", "min", 0.0, 1e12),
    Kind("work", "work in one turn", "J", {"J": (1.0, 0.0), "kJ": (1e3, 0.0)}, "J", "J", -1e12, 1e12),
)  # fmt: skip

KINDS: dict[str, Kind] = {kind.name: kind for kind in _ALL}

AWG = {
    "14": 2.081e-6, "12": 3.309e-6, "10": 5.261e-6, "8": 8.367e-6, "6": 13.30e-6, "4": 21.15e-6,
    "3": 26.67e-6, "2": 33.62e-6, "1": 42.41e-6, "1/0": 53.49e-6, "2/0": 67.43e-6, "3/0": 85.01e-6, "4/0": 107.2e-6,
}  # fmt: skip
"""American wire gauge as copper area. [m2]  Rounded from its definition, 0.005 in times 92^((36 - n)/39) across."""

OFTEN_WRITTEN = {
    "inch": ("in",), "inches": ("in",), "feet": ("ft",), "foot": ("ft",), "'": ("ft",), "metre": ("m",),
    "meter": ("m",), "metres": ("m",), "meters": ("m",), "amp": ("A",), "amps": ("A",), "volt": ("V",),
    "volts": ("V",), "vac": ("V",), "watt": ("W",), "watts": ("W",), "kilowatt": ("kW",), "horsepower": ("hp",),
    "bhp": ("hp",), "gallon": ("gal",), "gallons": ("gal",), "litre": ("L",), "liter": ("L",), "litres": ("L",),
    "liters": ("L",), "ltr": ("L",), "cu in": ("in3",), "cu ft": ("ft3",), "lbs": ("lb",), "pound": ("lb",),
    "pounds": ("lb",), "rev/min": ("rpm",), "turns": ("rpm",), "hertz": ("Hz",), "cps": ("Hz",), "lpm": ("L/min",),
    "cu ft/min": ("cfm",), "cmh": ("m3/h",), "psi(g)": ("psig",), "psi(a)": ("psia",), "atm": ("bara", "bar"),
    "deg c": ("degC",), "celsius": ("degC",), "deg f": ("degF",), "fahrenheit": ("degF",), "percent": ("%",),
    "sec": ("s",), "secs": ("s",), "seconds": ("s",), "mins": ("min",), "minutes": ("min",), "hours": ("h",),
    "hrs": ("h",), "days": ("day",), "db a": ("dBA",), "sq mm": ("mm2",), "mm^2": ("mm2",), "btu/hr": ("Btu/h",),
}  # fmt: skip
"""What owners write -> the unit to offer them; an error's hint, never read as that unit."""
