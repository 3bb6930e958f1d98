"""Small plants, as files' text, whose day is run: full speed, steps, by pressure, lead and follow, small receiver.

Uses run by the clock (``fixed``) unless chance is the point, so that one script serves kernel and reference.
"""

import tomllib
from functools import cache

from airfettle.plant.whole import OwnersPlant
from airfettle.studies.day.prepared import prepare_plant
from airfettle.studies.day.run import run_path
from airfettle.studies.draw import draw

ROWS = 8

SHOP = """
[plant]
name = "Canoe works"
units = "US"
[site]
altitude = "600 ft"
room_temperature = "68 °F"
humidity = "60 %"
[supply]
kind = "208 wye"
voltage = "208 V by multimeter"
frequency = "60 Hz by plate"
[drive]
minimum_frequency = "20 Hz"
maximum_frequency = "75 Hz"
rated_power = "7.5 hp"
[motor]
known = "nameplate"
power = "5 hp"
phases = 3
speed = "1750 rpm"
voltage = "208 V"
frequency = "60 Hz"
current = "15 A"
[belt]
ratio = "2.5 by tachometer"
[pump]
size_class = "large two-stage"
stages = 2
displacement_flow = "21 cfm by plate"
rated_speed = "700 rpm by plate"
[hot_line]
volume = "0.3 L"
[cooler]
kind = "finned pipe"
conductance = "14 W/K"
heat_capacity = "2 kJ/K"
[separator]
efficiency = "70 %"
[receiver]
volume = "80 gal by plate"
[shop_pipe]
leak = "0.4 scfm"
"""
"""A two-stage pump on a drive, an 80 gal receiver."""

USES = """
[[use]]
name = "sander"
tool = "unknown"
air = "9 cfm at 90 psi"
pressure = "85 psi"
lost_on_the_way = "5 psi"
when = "daily 00:30-23:30"
on = "170 s"
off = "260 s"
spread = "fixed"
attended = "no"
[[use]]
name = "stapler"
tool = "unknown"
air = "3 cfm at 95 psi"
pressure = "90 psi"
lost_on_the_way = "3 psi"
when = "daily 00:10-23:40"
on = "23 s"
off = "71 s"
spread = "fixed"
attended = "no"
[[use]]
name = "cabinet"
tool = "unknown"
air = "11 cfm at 80 psi"
pressure = "75 psi"
regulated = "no"
lost_on_the_way = "6 psi"
when = "daily 01:00-22:00"
on = "240 s"
off = "1100 s"
spread = "fixed"
attended = "no"
"""

PRESET = """
[control]
cut_in = "105 psi by gauge"
cut_out = "130 psi by gauge"
full = "60 Hz"
quiet = "40 Hz"
speed_by = "preset"
"""

STEPS = """
[control]
cut_in = "105 psi by gauge"
cut_out = "125 psi by gauge"
full = "60 Hz"
quiet = "35 Hz"
speed_by = "steps"
full_below = "98 psi by gauge"
idle_time = "25 s"
minimum_off = "40 s"
"""

PRESSURE = """
[control]
cut_in = "100 psi by gauge"
cut_out = "122 psi by gauge"
low = "25 Hz"
full = "70 Hz"
quiet = "45 Hz"
speed_by = "pressure"
held_pressure = "112 psi by gauge"
pressure_band = "8 psi"
reset_time = "25 s"
"""

TWO = """
[plant]
name = "Glass studio"
units = "SI"
[site]
altitude = "3 m"
room_temperature = "18 degC"
humidity = "75 %"
[control]
cut_in = "6.6 bar"
cut_out = "8.0 bar"
follow_cut_in = "6.2 bar"
follow_cut_out = "7.6 bar"
idle_time = "40 s"
hours = "daily 00:20-23:00"
quiet_hours = "daily 03:00-04:30"
quiet = "30 Hz"
full = "50 Hz"
[supply]
kind = "400/230 wye"
frequency = "50 Hz"
voltage = "400 V by multimeter"
[[train]]
name = "lead"
[train.drive]
rated_power = "7.5 kW"
minimum_frequency = "25 Hz"
maximum_frequency = "50 Hz"
[train.motor]
power = "4 kW"
poles = 4
[train.pump]
stages = 2
displacement_flow = "600 L/min by plate"
rated_speed = "800 rpm by plate"
[train.cooler]
kind = "finned pipe"
conductance = "9 W/K"
[[train]]
name = "follow"
drive = "none"
belt = "none"
[train.motor]
power = "2.2 kW"
phases = 3
[train.pump]
size_class = "direct"
displacement_flow = "250 L/min by plate"
rated_speed = "1400 rpm by plate"
[receiver]
volume = "200 L"
drain_every = "30 min"
drain_open = "3 s"
drain_bore = "3 mm"
[[filter]]
name = "regulator"
purpose = "regulator"
"""

SMALL = """
[control]
cut_in = "95 psi by gauge"
cut_out = "115 psi by gauge"
full = "60 Hz"
most_starts = "10"
speed_by = "preset"
"""


def _with(text, *, volume=None):
    return text if volume is None else text.replace('volume = "80 gal by plate"', f'volume = "{volume} by plate"')


BARE = SHOP.replace(
    """[cooler]
kind = "finned pipe"
conductance = "14 W/K"
heat_capacity = "2 kJ/K"
""",
    "",
)
"""The same pump straight on its receiver."""

TEXTS = {
    "full speed": SHOP + PRESET + USES,
    "steps": SHOP + STEPS + USES,
    "by pressure": SHOP + PRESSURE + USES,
    "no cooler": 'cooler = "none"\n' + BARE + PRESET + USES,
    "lead and follow": TWO + USES,
    "small receiver": _with(SHOP, volume="12 gal") + SMALL + USES,
    "by chance": SHOP + PRESET.replace('speed_by = "preset"', 'hours = "daily 00:15-20:00"\nminimum_off = "45 s"')
    + USES.replace('spread = "fixed"', 'spread = "exponential"'),
}  # fmt: skip
"""Plant files, by what they show. [text]"""


@cache
def drawn(which):
    """The plant of a name, drawn."""
    return draw(OwnersPlant.model_validate(tomllib.loads(TEXTS[which])), rows=ROWS, seed=1)


@cache
def prepared(which):
    """The plant of a name, ready to run."""
    return prepare_plant(drawn(which))


def made(text):
    """A plant of any text, ready to run."""
    return prepare_plant(draw(OwnersPlant.model_validate(tomllib.loads(text)), rows=ROWS, seed=1))


def run(plant, *, row=0, length, path=0, **more):
    """A row of a plant, run from Monday 00:00."""
    return run_path(plant.one(row), path=path, seed=1, length=length, **more)


def ran(which, **more):
    """The same for a plant of a name."""
    return run(prepared(which), **more)
