"""Circuits of every plant file, of random plants, and of plants whose every fact about wiring is drawn at random."""

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import get_args

import pytest
from electric_plants import GOOD
from hypothesis import given, settings
from hypothesis import strategies as st
from plant_cases import plant_of
from properties.plants_at_random import owners_plant, seeded

from airfettle.drawings.symbols import all_symbols
from airfettle.findings.register import RULES
from airfettle.plant.part import fact_of
from airfettle.plant.supply import SupplyKind
from airfettle.report.terminals_leaf import terminals_leaf
from airfettle.store.plant_file import read_plant
from airfettle.studies.draw import draw
from airfettle.studies.wiring.check import check_circuit
from airfettle.studies.wiring.circuits import circuits
from airfettle.studies.wiring.stops import stops_of

ROOT = Path(__file__).parents[2]
FILES = [*sorted(ROOT.glob("examples/*.toml")), *sorted(ROOT.glob("tests/plants/**/*.toml"))]
SECTIONS = ("control", "supply", "drive", "motor", "motor_lead", "pump", "cooler")
CHOICES = {
    ("supply", "kind"): (None, *get_args(SupplyKind)),
    ("supply", "breaker_kind"): ("breaker", "time-delay fuses", "fast fuses"),
    ("drive", "input_phases"): (None, 1, 3),
    ("drive", "reactor"): ("yes", "no", "unknown"),
    ("motor", "phases"): (1, 3),
    ("motor_lead", "shielded"): ("yes", "no", "unknown"),
    ("control", "kind"): ("pressure switch", "transducer", "unknown"),
    ("control", "speed_by"): ("preset", "steps", "pressure", "unknown"),
    ("cooler", "fan"): ("own supply", "drive output", "pump flywheel", "none", "unknown"),
}
"""Choices that shape a circuit and are no facts."""
HELD = ("supply_wire", "motor_lead_wire", "breaker_too_large", "pressure_switch_overloaded", "loaded_start")
BY_PRESSURE = ("pressure reached", "wire broken at the pressure switch", "wire broken at the transducer")


def answers(section, model):
    """Every fact and choice of a section with its answers."""
    for name, info in type(model).model_fields.items():
        if fact_of(info):
            yield name, get_args(info.annotation)
        elif (section, name) in CHOICES:
            yield name, CHOICES[section, name]


@cache
def drawn(text):
    return draw(plant_of(text), rows=8)


@st.composite
def wired_at_random(draw_from):
    """A good plant with every answer about its wiring exchanged for any other, and findings that hold by numbers."""
    there = drawn(draw_from(st.sampled_from(GOOD)))
    sections = {}
    for section in SECTIONS:
        model = getattr(there.plant, section)
        if model is not None and not model.absent:
            told = {name: draw_from(st.sampled_from(several)) for name, several in answers(section, model)}
            sections[section] = model.model_copy(update=told)
    places = {"supply_wire": "supply", "breaker_too_large": "supply", "motor_lead_wire": "motor_lead",
              "pressure_switch_overloaded": "control", "loaded_start": "pump"}  # fmt: skip
    held = {rule: (places[rule],) for rule in HELD if draw_from(st.booleans())}
    return replace(there, plant=there.plant.model_copy(update=sections)), held


def whole(found):
    """What holds of the circuits of any plant."""
    symbols = all_symbols()
    assert found[0].sort == "power"
    for circuit in found:
        check_circuit(circuit)
        for device in circuit.devices:
            assert device.symbol == "box" or len(symbols[device.symbol].terminals) == len(device.terminals), device
        for thing in (*circuit.devices, *circuit.nets, *circuit.remarks):
            assert not thing.finding or thing.finding in RULES
        if circuit.corrected:
            assert all(thing.state == "there" for thing in (*circuit.devices, *circuit.nets))
    leaf = terminals_leaf(found)
    for block in leaf.blocks:
        assert all(len(row) == len(block.columns) for row in getattr(block, "rows", ()))


def right(found):
    """What holds of a plant put right: every stop stops, nothing but pressure starts it, only the motor is fed."""
    for circuit in found:
        if circuit.corrected and circuit.sort == "power":
            on_drive = [net for net in circuit.nets for tag, name in net.pins if tag == "U1" and name in
                        ("U", "V", "W", "T1", "T2", "T3")]  # fmt: skip
            tags = {tag for net in on_drive for tag, _ in net.pins}
            assert not tags & {"M2", "X9", "C1", "K1", "K4", "B1"}
    for each in stops_of(found):
        if not each.corrected:
            continue
        assert each.stops, "put right, it runs"
        for stop in each.stops:
            if stop.kind not in BY_PRESSURE:
                assert stop.restarts == "no", (stop, found)
            if stop.kind != "wire broken at the transducer":
                assert stop.motor_stops == "yes", stop


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_plant_file_has_circuits_that_hang_together(file):
    found = circuits(draw(read_plant(file), rows=8))
    whole(found)
    right(found)


def test_random_plants_have_circuits_that_hang_together():
    for seed in range(200):
        found = circuits(draw(owners_plant(seeded(seed)), rows=8))
        whole(found)
        right(found)


@given(wired_at_random())
@settings(max_examples=150, deadline=None)
def test_any_answers_give_circuits_that_hang_together(case):
    there, held = case
    found = circuits(there, held=held)
    whole(found)
    right(found)


@given(wired_at_random())
@settings(max_examples=30, deadline=None)
def test_the_same_plant_gives_the_same_circuits_and_numbers_of_power_and_control_do_not_meet(case):
    there, held = case
    found = circuits(there, held=held)
    assert found == circuits(there, held=held)
    for now in (False, True):
        power = [
            net for circuit in found if circuit.sort == "power" and circuit.corrected == now for net in circuit.nets
        ]
        control = [c for c in found if c.sort == "control" and c.corrected == now]
        rails = {net.number for c in control for net in c.nets if any(tag.startswith("X1") for tag, _ in net.pins)}
        numbers = {net.number for c in control for net in c.nets}
        assert {net.number for net in power} & numbers <= rails


@given(wired_at_random())
@settings(max_examples=80, deadline=None)
def test_a_solenoid_put_right_empties_the_head_at_every_stop_of_the_motor(case):
    there, held = case
    for each in stops_of(circuits(there, held=held)):
        pump = there.plant.pump
        fed_by_running = pump.unloader == "solenoid valve" and there.plant.control.kind != "transducer"
        if each.corrected and fed_by_running:
            for stop in each.stops:
                assert stop.head_vented == "yes" or stop.motor_stops != "yes", stop
