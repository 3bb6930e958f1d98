"""Two plants told in full, in US and in SI units, for the rules of the pressure boundary, to be spoilt line by line."""

US = """
[plant]
units = "US"
[site]
place = "US, Maine"
room_temperature = "60..75 °F"
[control]
cut_in = "100 psi by gauge"
cut_out = "125 psi by gauge"
full = "60 Hz"
[drive]
maximum_frequency = "60 Hz"
[motor]
known = "nameplate"
power = "5 hp"
speed = "1750 rpm"
frequency = "60 Hz"
voltage = "230 V"
current = "13 A"
[belt]
ratio = "2.5 by tachometer"
[pump]
stages = 2
first_stage = { cylinders = 1, bore = "4 in by tape", stroke = "3 in by tape" }
second_stage = { cylinders = 1, bore = "2.2 in by tape" }
maximum_speed = "900 rpm by plate"
[hot_line]
material = "copper, brazed or flared"
flexible_piece = "yes"
stop_valve = "no"
interstage_relief = "yes"
[cooler]
conductance = "30 W/K"
pressure_rating = "250 psi by maker"
temperature_rating = "450 °F by maker"
[separator]
pressure_rating = "250 psi by plate"
[check_valve]
place = "at the receiver"
[receiver]
condition = "used"
volume = "80 gal by plate"
plate_pressure = "200 psi by plate"
wall_thickness = "0.25 in by ultrasound"
diameter = "24 in by tape"
turned = "no"
drain = "automatic"
altered = "no"
proof_test = "no"
rust_inside = "no"
gauge = "yes"
[[relief_valve]]
name = "receiver"
set_pressure = "150 psi by plate"
capacity = "60 scfm by plate"
protects = "receiver"
valve_before = "no"
tampered = "no"
[[relief_valve]]
name = "pump"
set_pressure = "175 psi by plate"
capacity = "60 scfm by plate"
protects = "pump discharge"
valve_before = "no"
tampered = "no"
"""

SI = """
drive = "none"
[plant]
units = "SI"
[site]
place = "Denmark"
room_temperature = "15..25 °C"
[control]
cut_in = "5 bar by gauge"
cut_out = "6.5 bar by gauge"
[motor]
known = "nameplate"
power = "3 kW"
speed = "1440 rpm"
frequency = "50 Hz"
voltage = "400 V"
current = "6.3 A"
[belt]
ratio = "2.4 by tachometer"
[pump]
known = "maker"
first_stage = { cylinders = 2, bore = "80 mm by maker", stroke = "60 mm by maker" }
maximum_speed = "900 rpm by maker"
discharge_limit = "260 °C by maker"
[hot_line]
material = "PTFE hose with steel braid"
pressure_rating = "70 bar by plate"
temperature_rating = "300 °C by maker"
stop_valve = "no"
[cooler]
conductance = "40 W/K"
pressure_rating = "16 bar by plate"
temperature_rating = "300 °C by plate"
[check_valve]
place = "at the receiver"
[receiver]
condition = "new"
volume = "200 L by plate"
plate_pressure = "11 bar by plate"
turned = "upright to lying"
drain = "by hand"
drain_at_lowest = "yes"
made_for_it = "yes"
altered = "by an authorised repairer"
proof_test = "with water"
gauge = "yes"
[[relief_valve]]
name = "receiver"
set_pressure = "8 bar by plate"
capacity = "1200 L/min ANR by plate"
protects = "receiver"
valve_before = "no"
tampered = "no"
[[relief_valve]]
name = "pump"
set_pressure = "9 bar by plate"
capacity = "1200 L/min ANR by plate"
protects = "pump discharge"
valve_before = "no"
tampered = "no"
"""


def spoilt(text, *changes):
    """A plant with lines replaced; each has to be there."""
    for before, after in changes:
        assert before in text, before
        text = text.replace(before, after)
    return text
