"""What must rise or fall with what, row by row, in random plants inside the range the equations are made for.

Rows where a motor stalls at one of the points compared are left out: there is no running plant there.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from properties import plants_at_random as at_random

HAIR = 1e-6
"""Relative, for numbers settled by passes."""


def lone(data):
    """The same plant with one train at most, so that a single pump speed can be asked for."""
    if "train" in data:
        first = dict(data["train"][0])
        first.pop("name")
        data = {key: value for key, value in data.items() if key not in ("train", "supply")} | first
        data["plant"] = {key: value for key, value in data["plant"].items() if key != "air_path"}
    return data


def on_a_drive(data):
    """The same plant, its one motor on a drive."""
    data = dict(lone(data))
    if data.get("drive") == "none":
        del data["drive"]
        data["motor"] = {key: value for key, value in data["motor"].items() if key != "phases"}
    return data


def changed(data, section, **entries):
    """The same plant with some entries of a section told otherwise."""
    told = data.get(section)
    return data | {section: (told if isinstance(told, dict) else {}) | entries}


def compared(*plants_or_points):
    """Total delivery of each state, with rows and points where all motors hold in every one of them."""
    held = np.all(np.broadcast_arrays(*(at_random.held(s, below=0.98) for s in plants_or_points)), axis=0)
    flows = [sum(t.delivered_dry_air for t in s.trains) for s in plants_or_points]
    return [np.broadcast_to(flow, held.shape) for flow in flows], held


def never_more(less, more, held):
    assert np.all((less <= more * (1.0 + HAIR))[held])


@given(at_random.plants)
@settings(max_examples=25)
def test_delivery_falls_with_receiver_pressure(data):
    numbers = at_random.numbers_of(data)
    state = at_random.at(numbers, hertz=(45, 60), bar=(3, 5, 7, 9, 11))
    (flow,), held = compared(state)
    pair = held[..., 1:] & held[..., :-1]
    assert np.all((flow[..., 1:] < flow[..., :-1])[pair])


@given(at_random.plants)
@settings(max_examples=25)
def test_delivery_rises_with_frequency(data):
    """From 0.5 to 1.1 of the pump's rated speed; below, leaks, and above, valves may take more than speed gives."""
    numbers = at_random.numbers_of(on_a_drive(data))
    state = at_random.at(numbers, hertz=np.arange(15, 91, 5), bar=(4, 8))
    (flow,), held = compared(state)
    (train,) = state.trains
    share = np.broadcast_to(train.pump_speed / train.rated_pump_speed, held.shape)
    held = held & (share >= 0.5) & (share <= 1.1)
    pair = held[:, 1:] & held[:, :-1]
    assert np.all((flow[:, 1:] > flow[:, :-1])[pair])


@given(at_random.plants)
@settings(max_examples=25)
def test_a_bigger_cooler_never_warms_the_air(data):
    outlets = []
    for size in ("10..10 W/K", "25..25 W/K", "60..60 W/K"):
        cooled = changed(lone(data), "cooler", conductance=size)
        state = at_random.at(at_random.numbers_of(cooled), hertz=(40, 60), bar=(4, 8))
        outlets.append(np.broadcast_to(state.trains[0].cooler_outlet_temperature, (at_random.ROWS, 2, 2)))
    assert np.all(outlets[1] <= outlets[0] + 1e-6)
    assert np.all(outlets[2] <= outlets[1] + 1e-6)


@given(at_random.plants)
@settings(max_examples=25)
def test_more_leakage_never_delivers_more(data):
    states = []
    for leak in ("3..3 %", "8..8 %", "20..20 %"):
        leaking = changed(lone(data), "pump", leakage=leak)
        leaking["pump"].pop("rated", None)  # a claim would make up for the leak with a bigger pump
        states.append(at_random.at(at_random.numbers_of(leaking), hertz=(30, 60), bar=(4, 8)))
    (little, some, much), held = compared(*states)
    never_more(some, little, held)
    never_more(much, some, held)


@given(at_random.plants)
@settings(max_examples=25)
def test_higher_up_a_plant_never_delivers_more_air(data):
    states = []
    for altitude in ("0..0 m", "800..800 m", "2500..2500 m"):
        placed = changed(lone(data), "site", altitude=altitude)
        placed["site"].pop("barometer", None)
        placed["pump"] = {key: value for key, value in placed["pump"].items() if key != "rated"}
        states.append(at_random.at(at_random.numbers_of(placed), hertz=(40, 60), bar=(4, 8)))
    (low, middle, high), held = compared(*states)
    never_more(middle, low, held)
    never_more(high, middle, held)


@given(at_random.plants)
@settings(max_examples=25)
def test_thicker_wire_never_lowers_the_volts(data):
    states = []
    for wire in ("12 AWG", "8 AWG", "4 AWG"):
        wired = changed(lone(data), "supply", wire=wire)
        states.append(at_random.at(at_random.numbers_of(wired), hertz=(40, 60), bar=(4, 8)))
    _, held = compared(*states)
    thin, middle, thick = (np.broadcast_to(s.trains[0].terminal_voltage, held.shape) for s in states)
    assert np.all((thin < middle)[held])
    assert np.all((middle < thick)[held])


@given(at_random.plants, st.sampled_from([6.0, 8.0]))
@settings(max_examples=25)
def test_a_slower_pump_asks_for_much_the_same_torque(data, bar):
    """Between half and all of rated pump speed within 15 %: slowing it does not cure an overload.

    A pump that leaks over a fifth of its air is left out: hot walls and little air make it up to 19 %.
    """
    numbers = at_random.numbers_of(on_a_drive(data))
    base = numbers.base_frequency
    state = at_random.at(numbers, hertz=np.linspace(0.4, 1.0, 7) * base, bar=(bar,))
    (train,) = state.trains
    _, held = compared(state)
    share = np.broadcast_to(train.pump_speed / train.rated_pump_speed, held.shape)
    tight = numbers.trains[0].pump.part.leakage <= 0.2
    inside = held & tight & (share >= 0.5) & (share <= 1.0)
    torque = np.broadcast_to(train.motor_torque, held.shape)
    most, least = np.max(torque, axis=1, where=inside, initial=0.0), np.min(torque, axis=1, where=inside, initial=1e9)
    assert np.all((most <= 1.15 * least)[inside.any(axis=1)])


def test_warmer_rooms_and_dirtier_filters_deliver_less_air():
    base = at_random.seeded(3)
    data = lone(base) | {"site": {"altitude": "0..0 m"}, "pump": {"displacement": "0.8 L"}, "drive": {}}

    def mass(**entries):
        plant = changed(changed(data, "site", room_temperature=entries["room"]), "intake", drop=entries["drop"])
        return compared(at_random.at(at_random.numbers_of(plant), hertz=(50,), bar=(7,)))[0][0]

    assert np.all(mass(room="35..35 degC", drop="1..1 kPa") < mass(room="10..10 degC", drop="1..1 kPa"))
    assert np.all(mass(room="20..20 degC", drop="5..5 kPa") < mass(room="20..20 degC", drop="1..1 kPa"))


@pytest.mark.parametrize("seed", range(4))
def test_a_wetter_room_leaves_more_water_in_the_receiver_path(seed):
    data = lone(at_random.seeded(seed))
    drawn = []
    for humidity in ("20..20 %", "60..60 %", "95..95 %"):
        wet = changed(data, "site", humidity=humidity)
        drawn.append(at_random.at(at_random.numbers_of(wet), hertz=(50,), bar=(7,)).path.intake_water)
    assert np.all(drawn[0] < drawn[1])
    assert np.all(drawn[1] < drawn[2])
