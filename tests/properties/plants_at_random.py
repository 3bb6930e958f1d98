"""Random but plausible plants, as an owner might write them down: half told, half unknown, parts missing.

A plant is made from any source of chance, so that hypothesis can shrink it and a plain seed can repeat it.
"""

import random

import numpy as np
from hypothesis import strategies as st

from airfettle.plant.whole import OwnersPlant
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.instant.whole import instant

ROWS = 8
THREE_PHASE = ("208 wye", "240 high-leg delta", "240 corner-grounded delta", "generator, three-phase",
               "rotary converter", "static converter")  # fmt: skip
SINGLE_PHASE = ("single-phase 120/240", "generator, single-phase")
THREE_PHASE_METRIC = ("400/230 wye", "generator, three-phase")
SINGLE_PHASE_METRIC = ("single-phase 230",)
FANS = ("own supply", "drive output", "pump flywheel", "none", "unknown")
HORSEPOWER = (2, 3, 5, 7.5, 10)
KILOWATTS = (1.5, 2.2, 4, 5.5, 7.5)


def plant_data(chance):
    """A plant file's contents, from a random.Random or one of hypothesis's."""
    us = chance.random() < 0.5
    data = {"plant": {"name": "random", "units": "US" if us else "SI"}}
    _perhaps(chance, data, "site", lambda: _site(chance, us))
    _perhaps(chance, data, "control", lambda: _control(chance, us))
    if chance.random() < 0.2:
        data["train"] = [{"name": "main"} | _train(chance, us, direct=False),
                         {"name": "spare"} | _train(chance, us, direct=True)]  # fmt: skip
        if chance.random() < 0.5:
            data["supply"] = _supply(chance, us, 3)
    else:
        data |= _train(chance, us, direct=chance.random() < 0.3)
    _air_path(chance, data, us)
    return data


def owners_plant(data):
    """The plant as it would be read from its file."""
    return OwnersPlant.model_validate(data)


plants = st.randoms(use_true_random=False).map(plant_data)
"""Strategy of plant files' contents."""


def seeded(seed):
    """The plant of a seed, the same on every machine."""
    return plant_data(random.Random(seed))


def numbers_of(data, *, rows=ROWS, seed=1):
    """A plant drawn, with its gaps filled."""
    return complete(draw(owners_plant(data), rows=rows, seed=seed))


def at(numbers, *, hertz, bar, **more):
    """A plant's instant at frequencies and receiver gauge pressures."""
    pressure = numbers.barometer + 1e5 * np.array(bar, dtype=float)[None, None, :]
    return instant(numbers, frequency=np.array(hertz, dtype=float)[None, :, None], receiver_pressure=pressure, **more)


def held(state, *, below=1.0):
    """Rows and points at which every motor holds; elsewhere the numbers belong to no running plant."""
    return np.asarray(np.all(np.broadcast_arrays(*(t.pull_out_share <= below for t in state.trains)), axis=0))


def _perhaps(chance, data, key, make, *, share=0.7):
    if chance.random() < share:
        data[key] = make()


def _some(chance, entries, *, share=0.5):
    """Some of the entries; of the others some are said to be unknown and the rest are left out."""
    kept = {}
    for name, value in entries.items():
        place = chance.random()
        if place < share:
            kept[name] = value
        elif place < share + 0.15:
            kept[name] = "unknown"
    return kept


def _site(chance, us):
    return _some(chance, {
        "altitude": chance.choice(["0 ft", "1500 ft", "0..6000 ft"] if us else ["0 m", "450 m", "0..1800 m"]),
        "room_temperature": chance.choice(["40..60 degF", "86 degF by thermometer", "95..105 degF"] if us
                                          else ["5..15 degC", "30 degC by thermometer", "35..40 degC"]),
        "humidity": chance.choice(["20 %", "40..75 %", "90 %", "100 %"]),
    } | ({} if chance.random() < 0.8 else {"barometer": "28.5 inHg by barometer"}))  # fmt: skip


def _control(chance, us):
    return _some(chance, {
        "cut_in": chance.choice(["90 psi", "100..120 psi"] if us else ["6 bar", "7..8 bar"]),
        "cut_out": chance.choice(["125 psi by gauge", "140..150 psi"] if us else ["8.5 bar by gauge", "9.5..10 bar"]),
    })  # fmt: skip


def _supply(chance, us, phases):
    told = {"wire": chance.choice(["10 AWG", "8 AWG", "6 AWG"] if us else ["4 mm2", "6 mm2", "10 mm2"]),
            "wire_length": chance.choice(["20 ft", "100 ft by tape"] if us else ["8 m", "30 m by tape"]),
            "tolerance": chance.choice(["0.9..1.05", "1.0"])}  # fmt: skip
    data = _some(chance, told)
    if chance.random() < 0.7:
        kinds = (SINGLE_PHASE, THREE_PHASE) if us else (SINGLE_PHASE_METRIC, THREE_PHASE_METRIC)
        data["kind"] = chance.choice(kinds[phases == 3])
    return data


def _train(chance, us, *, direct):
    motor_phases = chance.choice([1, 3, 3]) if direct else 3
    supply_phases = motor_phases if direct else chance.choice([1, 3])
    data = {"drive": "none"} if direct else {}
    if not direct:
        _perhaps(chance, data, "drive", lambda: _drive(chance, us))
    _perhaps(chance, data, "supply", lambda: _supply(chance, us, supply_phases))
    _perhaps(chance, data, "motor_lead", lambda: _some(chance, {"wire": "12 AWG" if us else "2.5 mm2"}))
    power = chance.choice(HORSEPOWER if us else KILOWATTS)
    on_the_shaft = direct and chance.random() < 0.3
    data["motor"] = _motor(chance, us, power, motor_phases)
    data["belt"] = "none" if on_the_shaft else _belt(chance, us)
    _perhaps(chance, data, "intake", lambda: _intake(chance, us))
    data["pump"] = _pump(chance, us, power, on_the_shaft)
    _perhaps(chance, data, "cooler", lambda: _cooler(chance, us))
    if chance.random() < 0.1:
        data["cooler"] = "none"
    return data


def _drive(chance, us):
    return _some(chance, {
        "rated_output_current": chance.choice(["16 A", "32 A by plate"]),
        "rated_power": chance.choice(["7.5 hp", "15 hp"] if us else ["5.5 kW", "11 kW"]),
        "single_phase_output_current": "14 A by maker",
        "efficiency": "96 %",
        "true_power_factor": "0.6..0.8",
        "voltage_drop": "2 %",
        "reactor": chance.choice(["yes", "no"]),
    }, share=0.4) | ({"input_phases": chance.choice([1, 3])} if chance.random() < 0.5 else {})  # fmt: skip


def _motor(chance, us, power, phases):
    told = {"power": f"{power} {'hp' if us else 'kW'} by plate",
            "voltage": "230 V" if us or phases == 1 else "400 V",
            "speed": "1745 rpm by plate" if us else "1450 rpm by plate", "current": "20 A by plate",
            "efficiency": "0.84..0.89", "power_factor": "0.80", "breakdown_ratio": "2.5"}  # fmt: skip
    data = _some(chance, told, share=0.6)
    if data.get("speed", "unknown") != "unknown":  # a plate's speed belongs to a frequency
        data["frequency"] = "60 Hz" if us else "50 Hz"
    if phases == 1 or chance.random() < 0.3:
        data["phases"] = phases
    return data


def _belt(chance, us):
    how = chance.choice(["unknown", "ratio", "sheaves"])
    data = _some(chance, {"creep": "1 %", "efficiency": "0.95", "section": chance.choice(["A", "B", "3V"])})
    data = {key: value for key, value in data.items() if key != "section" or value != "unknown"}
    if how == "ratio":
        data["ratio"] = chance.choice(["1.6", "1.8..2.2"])
    if how == "sheaves":
        data |= {"motor_sheave": "7.5 in by tape", "pump_sheave": "14 in by tape"} if us else {
            "motor_sheave": "180 mm by tape", "pump_sheave": "350 mm by tape", "diameters": "pitch"}  # fmt: skip
    return data


def _intake(chance, us):
    if chance.random() < 0.2:
        return "none"
    return _some(chance, {"drop": "0.3 psi" if us else "15 mbar", "temperature_rise": "8 K"})


def _pump(chance, us, power, on_the_shaft):
    """A pump near to what the motor can turn, known by its cylinders, its plate, a claim, or by nothing."""
    stages = 1 if on_the_shaft else chance.choice([1, 1, 2])
    data = _some(chance, {
        "leakage": chance.choice(["4 %", "5..20 %"]), "suction_loss": "3 %", "wall_heat_share": "0.3..0.45",
        "blow_by_share": chance.choice(["0", "0.5", "1"]), "sound_level": "82 dBA",
    }, share=0.3) | {"condition": chance.choice(["new", "used", "worn", "unknown"])}  # fmt: skip
    if on_the_shaft:
        data["size_class"] = "direct"
        data["maximum_speed"] = "1800 rpm" if us else "1500 rpm"
    elif chance.random() < 0.5:
        data["maximum_speed"] = chance.choice(["900..1000 rpm", "950 rpm by plate"])
    if stages == 2:
        data["stages"] = 2
    turning = 1650.0 if on_the_shaft else 850.0  # what the size is matched to [rpm]
    litres = 0.7 * power * (745.7 if us else 1000.0) / (turning / 60.0 * (340.0 if stages == 2 else 255.0))
    flow = 0.7 * litres * turning
    how = chance.choice(["nothing", "cylinders", "displacement", "plate", "claim", "claim"])
    if how == "cylinders":
        data |= _cylinders(litres, stages, us)
    elif how == "displacement":
        data["displacement"] = f"{litres * 61.02:.1f} in3" if us else f"{litres:.3f} L"
    elif how == "plate":
        data["displacement_flow"] = f"{litres * turning * 0.0353147:.1f} cfm" if us else f"{litres * turning:.0f} L/min"
        data["rated_speed"] = f"{turning:.0f} rpm"
    elif how == "claim":
        claim = {"air": f"{flow * 0.0353147:.1f} cfm" if us else f"{flow:.0f} L/min",
                 "at": chance.choice(["100 psi", "125 psi"] if us else ["7 bar", "8 bar"])}  # fmt: skip
        data["rated"] = [claim | ({"speed": f"{turning:.0f} rpm"} if chance.random() < 0.7 else {})]
    return data


def _cylinders(litres, stages, us):
    count = 1 if stages == 2 else 2
    bore = (4.0 * litres * 1e-3 / (np.pi * 0.8 * count)) ** (1 / 3)

    def size(metres):
        return f"{metres / 0.0254:.2f} in by tape" if us else f"{metres * 1e3:.0f} mm by tape"

    data = {"first_stage": {"cylinders": count, "bore": size(bore), "stroke": size(0.8 * bore)}}
    if stages == 2:
        data["second_stage"] = {"cylinders": 1, "bore": size(0.57 * bore)}
    return data


def _cooler(chance, us):
    kinds = ["vehicle oil cooler", "vehicle condenser", "bought aftercooler", "finned pipe", "unknown"]
    data = _some(chance, {"fan_flow": "500 cfm" if us else "800 m3/h", "drop": "1 psi" if us else "0.1 bar",
                          "fan_off_share": "10 %"})  # fmt: skip
    return data | {"kind": chance.choice(kinds), "fan": chance.choice(FANS)}


def _air_path(chance, data, us):
    _perhaps(chance, data, "separator", lambda: _separator(chance, us), share=0.5)
    _perhaps(chance, data, "check_valve", lambda: _some(chance, {"drop": "2 psi" if us else "0.1 bar"}), share=0.5)
    receivers = chance.choice([0, 1, 1, 1, 2])
    if receivers == 2:
        data["receiver"] = [{"name": "one", "room_conductance": "10 W/K"}, {"name": "two"}]
    elif receivers:
        data["receiver"] = _some(chance, {"volume": "80 gal" if us else "270 L", "room_conductance": "8..25 W/K"})
    _perhaps(chance, data, "dryer", lambda: _dryer(chance, us), share=0.4)
    purposes = [p for p in ("coalescing", "particles", "carbon", "regulator", "unknown") if chance.random() < 0.25]
    if purposes:
        data["filter"] = [{"name": p, "purpose": p} | _filter(chance, us) for p in purposes]
    if chance.random() < 0.3:
        _reordered(chance, data)


def _reordered(chance, data):
    """An order of the owner's own, with dryer and filters on either side of the receivers."""
    names = owners_plant(data).stations()
    receivers = [name for name in names if name.startswith("receiver")]
    if not receivers:
        return
    before = [n for n in names if n not in receivers and (n in ("separator", "check_valve") or chance.random() < 0.5)]
    after = [n for n in names if n not in receivers and n not in before]
    data["plant"]["air_path"] = [*before, *receivers, *after]


def _separator(chance, us):
    return _some(chance, {"efficiency": chance.choice(["90 %", "0", "1"]), "drop": "1 psi" if us else "0.05 bar",
                          "lowest_flow": "5 scfm" if us else "150 L/min ANR",
                          "highest_flow": "20 scfm" if us else "2000 L/min ANR"})  # fmt: skip


def _dryer(chance, us):
    return _some(chance, {
        "rated_flow": chance.choice(["10 scfm", "25 scfm"] if us else ["300 L/min ANR", "1 m3/min"]),
        "rated_dew_point": "38 degF" if us else "3 degC", "drop": "3 psi" if us else "0.2 bar",
    })  # fmt: skip


def _filter(chance, us):
    return _some(chance, {"rated_flow": "35 scfm" if us else "1000 L/min ANR", "drop": "1 psi" if us else "0.1 bar"})
