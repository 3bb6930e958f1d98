"""The told plants with their air side told in full: cooler, separator, dryer, filters, the shop's pipe."""

import re

import told_plants


def without(text, *sections):
    """A plant without sections that stand on one line each."""
    for section in sections:
        text, found = re.subn(rf"^{section} = .*\n", "", text, flags=re.MULTILINE)
        assert found == 1, section
    return text


US = (
    without(told_plants.US, "site", "receiver")
    + """
[site]
altitude = "300 ft +/- 50 ft"
room_temperature = "60..80 degF"
humidity = "35..60 %"
frost = "no"
condensate = "collected or cleaned"

[intake]
near = "clean air"

[cooler]
kind = "vehicle condenser"
conductance = "70 W/K by thermometer"
fan = "own supply"
water_runs = "to a separator or drain"

[separator]
lowest_flow = "5 scfm by maker"
highest_flow = "60 scfm by maker"
drain = "automatic"
bowl = "metal"

[receiver]
volume = "120 gal by plate"
plate_pressure = "200 psi by plate"
turned = "no"
drain = "automatic"

[dryer]
rated_flow = "35 scfm by plate"
rated_dew_point = "38 degF by plate"
rated_inlet_temperature = "100 degF by plate"

[shop_pipe]
material = "copper"
pressure_rating = "300 psi by maker"
temperature_rating = "150 degF by maker"
coldest = "60..65 degF by thermometer"
leak = "0.3 scfm"
finest_use = "paint or finishing"
blow_gun = "safety nozzle"
branches = "from the top"
falls_to_drains = "yes"

[[filter]]
name = "oil"
purpose = "coalescing"
rated_flow = "50 scfm by plate"
bowl = "metal"

[[filter]]
name = "smell"
purpose = "carbon"
rated_flow = "50 scfm by plate"
bowl = "plastic with guard"
"""
)
"""A pump on a drive, a dryer behind the receiver, air for a spray gun."""

SI = (
    without(told_plants.SI, "site", "receiver")
    + """
[site]
altitude = "80 m"
room_temperature = "15..26 degC"
humidity = "35..60 %"
frost = "yes, but heated"
condensate = "sewer by permission"

[intake]
near = "clean air"

[cooler]
kind = "bought aftercooler"
transfer_units = "2.8..3.6 by maker"
fan = "own supply"
water_runs = "to a separator or drain"

[separator]
lowest_flow = "90 L/min ANR by maker"
highest_flow = "1200 L/min ANR by maker"
drain = "automatic"
bowl = "metal"

[receiver]
volume = "900 L by plate"
plate_pressure = "11 bar by plate"
turned = "no"
drain = "automatic"

[dryer]
rated_flow = "800 L/min ANR by plate"
rated_dew_point = "3 degC by plate"
rated_inlet_temperature = "45 degC by plate"

[filter]
purpose = "coalescing"
rated_flow = "1200 L/min ANR by plate"
bowl = "metal"

[shop_pipe]
material = "listed plastic for air"
pressure_rating = "16 bar by maker"
temperature_rating = "45 degC by maker"
coldest = "14..16 degC by thermometer"
leak = "5 L/min ANR"
finest_use = "blasting"
blow_gun = "open nozzle, regulated low"
branches = "from the top"
falls_to_drains = "yes"

[plant]
name = "Loom shed"
units = "SI"
air_path = ["separator", "dryer", "receiver", "filter"]
"""
)
SI = without(SI, "plant")
"""A pump straight on the line, a dryer before the receiver, a plastic pipe made for air."""
