"""Good plants told in full as far as supply, drive, motor and control go; see ``told_plants.changed``."""

ONE_PHASE = """
plant = { name = "Dulcimer shop", units = "US" }
site = { room_temperature = "60..80 degF" }
receiver = { volume = "80 gal by plate" }

[control]
kind = "pressure switch"
cut_in = "100 psi by gauge"
cut_out = "130 psi by gauge"
low = "40 Hz"
full = "60 Hz"
contacts = "drive input by signal contacts"
restarts_by_itself = "nothing"
emergency_stop = "yes"

[supply]
kind = "single-phase 120/240"
voltage = "240 V by multimeter"
breaker = "50 A by plate"
wire = "6 AWG by stamp"
wire_length = "30 ft by tape"
protective_earth = "yes"
ground_fault = "none"

[drive]
condition = "used"
rated_output_current = "30 A by plate"
rated_input_current = "34 A by plate"
single_phase_output_current = "16 A by maker"
largest_breaker = "60 A by maker"
lowest_input_voltage = "180 V by maker"
input_phases = 3
reactor = "yes"
minimum_frequency = "40 Hz by plate"
maximum_frequency = "60 Hz by plate"
on_output = "only the motor"
output_switch = "none"
bypass = "none"
started_by = "its run input"
stop_mode = "coast"
lost_speed = "stops"
place = "clean and open"
stored = "over a year, re-formed"

[motor_lead]
wire = "12 AWG by stamp"
wire_length = "6 ft by tape"
shielded = "yes"

[motor]
power = "5 hp by plate"
voltage = "230 V by plate"
frequency = "60 Hz by plate"
speed = "1750 rpm by plate"
current = "12.8 A by plate"
efficiency = "0.895 by plate"
power_factor = "0.82 by plate"
service_factor = "1.15 by plate"
inverter_duty = "yes"
overload_set = "plate amps"
disconnect = "yes"

[pump]
stages = 2
displacement = "38 in3 by maker"
maximum_speed = "900 rpm by plate"

[belt]
ratio = { is = "2.4 +/- 0.02", by = "tachometer" }

[cooler]
kind = "bought aftercooler"
fan = "own supply"
"""
"""US units, a three-phase drive on the house's single phase."""

ON_THE_LINE = """
plant = { name = "Sign painters", units = "US" }
site = { room_temperature = "60..80 degF" }
drive = "none"
receiver = { volume = "80 gal by plate" }

[control]
kind = "pressure switch"
cut_in = "100 psi by gauge"
cut_out = "130 psi by gauge"
contacts = "contactor coil"
switch_power = "5 hp by plate"
restarts_by_itself = "nothing"
emergency_stop = "yes"

[supply]
kind = "208 wye"
voltage = "208 V by multimeter"
breaker = "40 A by plate"
wire = "10 AWG by stamp"
wire_length = "40 ft by tape"
volts_1_2 = "208 V by multimeter"
volts_2_3 = "207 V by multimeter"
volts_3_1 = "208.5 V by multimeter"
protective_earth = "yes"
ground_fault = "4-6 mA"

[motor_lead]
wire = "12 AWG by stamp"
wire_length = "6 ft by tape"

[motor]
power = "5 hp by plate"
voltage = "200 V by plate"
frequency = "60 Hz by plate"
speed = "1750 rpm by plate"
current = "15 A by plate"
efficiency = "0.895 by plate"
power_factor = "0.82 by plate"
overload_set = "plate amps"
disconnect = "yes"

[pump]
stages = 2
displacement = "38 in3 by maker"
maximum_speed = "900 rpm by plate"

[belt]
ratio = { is = "2.4 +/- 0.02", by = "tachometer" }
"""
"""US units, three phases, the motor straight on the line."""

THREE_PHASE = """
plant = { name = "Marquetry shop", units = "SI" }
site = { room_temperature = "16..26 degC" }
receiver = { volume = "270 L by plate" }

[control]
kind = "transducer"
cut_in = "6.5 bar by gauge"
cut_out = "8.5 bar by gauge"
low = "30 Hz"
full = "50 Hz"
restarts_by_itself = "nothing"
emergency_stop = "yes"

[supply]
kind = "400/230 wye"
voltage = "400 V by multimeter"
breaker = "16 A by plate"
wire = "2.5 mm2 by stamp"
wire_length = "12 m by tape"
protective_earth = "yes"
ground_fault = "30 mA type B"

[drive]
condition = "new"
rated_output_current = "10 A by plate"
rated_input_current = "11 A by plate"
largest_breaker = "20 A by maker"
lowest_input_voltage = "325 V by maker"
input_phases = 3
reactor = "yes"
minimum_frequency = "30 Hz by plate"
maximum_frequency = "50 Hz by plate"
on_output = "only the motor"
output_switch = "isolator with early-break contact"
bypass = "interlocked"
started_by = "its run input"
stop_mode = "coast"
lost_speed = "preset speeds only"
place = "box with vents"

[motor_lead]
wire = "1.5 mm2 by stamp"
wire_length = "4 m by tape"
shielded = "yes"

[motor]
power = "4 kW by plate"
voltage = "400 V by plate"
frequency = "50 Hz by plate"
speed = "1450 rpm by plate"
current = "8.2 A by plate"
efficiency = "0.886 by plate"
power_factor = "0.81 by plate"
inverter_duty = "no"
overload_set = "plate amps"
disconnect = "yes"

[pump]
displacement = "0.45 L by maker"
maximum_speed = "900 rpm by plate"

[belt]
ratio = { is = "2.4 +/- 0.02", by = "tachometer" }
"""
"""SI units, a drive on 400 V."""

GOOD = (ONE_PHASE, ON_THE_LINE, THREE_PHASE)
"""All of them."""
