"""Two good plants told in full as far as pump, drive train and the owner's numbers go, and how to change one line."""

import re

US = """
plant = { name = "Bell frame joinery", units = "US" }
site = { altitude = "300 ft +/- 50 ft", room_temperature = "60..80 degF", humidity = "35..60 %" }
relief_valve = { set_pressure = "175 psi by plate", capacity = "65 scfm by plate" }
receiver = { volume = "120 gal by plate", plate_pressure = "200 psi by plate" }

[control]
kind = "pressure switch"
cut_in = "110 psi by gauge"
cut_out = "140 psi by gauge"
low = "40 Hz"
full = "60 Hz"
independent_pressure_stop = "yes"
starts_sign = "yes"

[supply]
kind = "208 wye"
voltage = "230 V by multimeter"
breaker = "50 A by plate"

[drive]
rated_output_current = "31 A by plate"
input_phases = 3
overload = "1.5 by maker"
minimum_frequency = "40 Hz"
maximum_frequency = "60 Hz"

[motor]
power = "7.5 hp by plate"
voltage = "230 V by plate"
frequency = "60 Hz"
speed = "1755 rpm by plate"
current = "19.5 A by plate"
efficiency = "0.91 by plate"
power_factor = "0.81 by plate"
inverter_duty = "no"
enclosure = "enclosed"

[belt]
section = "B"
count = 2
motor_sheave = "6.75 in by caliper"
pump_sheave = "16.25 in by tape"
ratio = { is = "2.42 +/- 0.02", by = "tachometer" }
centre_distance = "26 in by tape"
guard = "yes"
guard_lets_air_through = "yes"

[pump]
size_class = "large two-stage"
layout = "V"
first_stage = { cylinders = 1, bore = "4.6 in by caliper", stroke = "3.5 in by caliper" }
second_stage = { cylinders = 1, bore = "2.5 in by caliper" }
displacement = "58 in3 by maker"
rated = [{ air = "19 cfm", at = "125 psi", speed = "800 rpm", known = "maker" }]
rated_speed = "800 rpm by plate"
maximum_speed = "900 rpm by plate"
minimum_speed = "420 rpm by plate"
flywheel_inertia = "60 lb ft2 by maker"
lubrication = "splash"
unloader = "valve on the pressure switch"
vents_after_fault = "yes"
turns_right = "yes"
reverse_disabled = "yes"
"""
"""A two-stage pump on a drive."""

SI = """
plant = { name = "Loom shed", units = "SI" }
site = { altitude = "80 m", room_temperature = "15..26 degC", humidity = "35..60 %" }
relief_valve = { set_pressure = "11 bar by plate", capacity = "1500 L/min ANR by plate" }
receiver = { volume = "900 L by plate", plate_pressure = "11 bar by plate" }
drive = "none"

[control]
kind = "pressure switch"
cut_in = "6.5 bar by gauge"
cut_out = "8.5 bar by gauge"
independent_pressure_stop = "yes"
starts_sign = "yes"

[supply]
kind = "400/230 wye"
voltage = "400 V by multimeter"
breaker = "20 A by plate"

[motor]
power = "5.5 kW by plate"
voltage = "400 V by plate"
frequency = "50 Hz"
speed = "1450 rpm by plate"
current = "11.2 A by plate"
efficiency = "0.87 by plate"
power_factor = "0.82 by plate"
inverter_duty = "no"

[belt]
section = "A"
count = 3
motor_sheave = "140 mm by caliper"
pump_sheave = "360 mm by tape"
ratio = { is = "2.6 +/- 0.02", by = "tachometer" }
centre_distance = "600 mm by tape"
guard = "yes"
guard_lets_air_through = "yes"

[pump]
size_class = "small belt"
layout = "V"
first_stage = { cylinders = 2, bore = "90 mm by caliper", stroke = "65 mm by caliper" }
displacement_flow = "455 L/min by plate"
rated = [{ air = "300 L/min", at = "8 bar", speed = "550 rpm", known = "maker" }]
rated_speed = "550 rpm by plate"
maximum_speed = "800 rpm by plate"
minimum_speed = "350 rpm by plate"
flywheel_inertia = "0.9 kg m2 by maker"
lubrication = "splash"
unloader = "valve on the pressure switch"
turns_right = "yes"
"""
"""A pump of one stage straight on the line."""


def changed(text, **lines):
    """A plant with entries changed: section__entry = value, or None to take it out; [ and { begin TOML of their own."""
    for name, value in lines.items():
        section, entry = name.split("__")
        head = re.search(rf"^\[{section}\]\n", text, re.MULTILINE)
        assert head, f"no [{section}]"
        body, rest = re.match(r"(.*?)(\n\[.*|$)", text[head.end() :], re.DOTALL).groups()
        body = re.sub(rf"^{entry} = .*\n?", "", body, flags=re.MULTILINE)
        own = "" if value is None else f"{entry} = {_toml(value)}\n"
        text = text[: head.end()] + own + body + rest
    return text


def _toml(value):
    return str(value) if isinstance(value, int) or value[0] in "[{" else f'"{value}"'
