"""Every equation shown beside an answer gives that answer from the other fields of its row."""

import dataclasses

import numpy as np
import pytest

from airfettle.plant.whole import OwnersPlant
from airfettle.quantity import KINDS
from airfettle.report.rating_table import GROUPS
from airfettle.sources import all_sources
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.instant.state import PathState, TrainState
from airfettle.studies.instant.whole import instant
from airfettle.studies.meaning import evaluated, meanings
from airfettle.studies.rating import answer_meanings

WET = {"room_temperature": "28..34 degC", "humidity": "80..95 %", "energy_price": "0.25 /kWh"}
PLANTS = {
    "nothing told": {},
    "single stage, direct, single phase": {
        "plant": {"units": "US"}, "drive": "none", "supply": {"kind": "single-phase 120/240", "wire": "10 AWG"},
        "motor": {"phases": 1, "power": "3 hp"},
    },
    "two stage with cooler and dryer": {
        "site": WET, "pump": {"stages": 2}, "cooler": {"kind": "vehicle oil cooler", "fan": "pump flywheel"},
        "separator": {}, "check_valve": {}, "dryer": {"rated_flow": "900 L/min ANR"},
        "filter": [{"name": "a", "purpose": "particles"}, {"name": "b", "purpose": "coalescing"}],
        "drive": {"rated_output_current": "16 A"}, "supply": {"kind": "400/230 wye", "wire": "4 mm2"},
    },
    "heatless dryer before the receiver": {
        "site": WET, "cooler": {"kind": "vehicle condenser"}, "separator": {}, "receiver": {},
        "dryer": {"kind": "desiccant, heatless", "rated_flow": "300 L/min ANR"},
        "plant": {"air_path": ["separator", "dryer", "receiver"]},
    },
    "cartridge of beads": {"site": WET, "receiver": {}, "dryer": {"kind": "bead cartridge"}},
    "on the motor's shaft, no intake filter": {
        "belt": "none", "intake": "none", "pump": {"size_class": "direct", "maximum_speed": "1500 rpm"},
    },
    "two trains, two receivers": {
        "site": WET, "train": [
            {"name": "main", "drive": {}, "cooler": {"kind": "vehicle condenser"}, "pump": {"stages": 2}},
            {"name": "spare", "drive": "none", "pump": {"condition": "worn"}},
        ],
        "receiver": [{"name": "wet"}, {"name": "dry"}], "separator": {},
    },
}  # fmt: skip
REQUIRED = (
    "pump_speed", "motor_speed", "delivered_air", "volumetric_efficiency", "shaft_power", "motor_torque_share",
    "motor_current", "drive_output_share", "supply_current", "electrical_power", "specific_power",
    "discharge_temperature", "cooler_outlet_temperature", "water_caught", "receiver_dew_point", "sound_level",
    "speed_fluctuation",
)  # fmt: skip
EVERY = meanings(TrainState) | meanings(PathState)
WITH_EQUATION = [
    (state, name) for state in (TrainState, PathState) for name, m in meanings(state).items() if m.equation
]


def row_0(part):
    """Row 0 of every field that is there."""
    fields = {field.name: getattr(part, field.name) for field in dataclasses.fields(part)}
    return {name: value[:1] if np.ndim(value) else value for name, value in fields.items() if value is not None}


def states(name):
    """The trains and the air path of a plant, at three frequencies and two pressures, all of which it can hold."""
    numbers = complete(draw(OwnersPlant.model_validate(PLANTS[name]), rows=8))
    pressure = numbers.barometer + np.array([4e5, 8.5e5])[None, None, :]
    state = instant(numbers, frequency=np.array([28.0, 41.0, 55.0])[None, :, None], receiver_pressure=pressure)
    assert all(np.all(train.pull_out_share[0] < 1.0) for train in state.trains)
    return (*state.trains, state.path)


@pytest.fixture(scope="module", params=PLANTS)
def parts(request):
    return states(request.param)


def test_each_equation_gives_its_field(parts):
    """To 1e-9; a dew point, found by steps until all rows are near enough, to the 0.05 mK its function promises."""
    checked = 0
    for part in parts:
        numbers = row_0(part)
        for name, meaning in meanings(part).items():
            if meaning.equation and name in numbers:
                found = evaluated(meaning.equation, numbers)
                near = {"abs": 5e-5} if meaning.equation.startswith("dew_point(") else {"rel": 1e-9}
                assert found == pytest.approx(np.broadcast_to(numbers[name], found.shape), **near), name
                checked += 1
    assert checked > 20


def test_each_field_in_an_equation_matters(parts):
    """A little more of it changes the value, but for the divisor of a share that is 0 at every point."""
    for part in parts:
        numbers = row_0(part)
        for name, meaning in meanings(part).items():
            if not meaning.equation or name not in numbers:
                continue
            before = evaluated(meaning.equation, numbers)
            for used in meaning.uses:
                if name == "caught_share" and used == "intake_water" and not np.any(before):
                    continue
                nudged = numbers | {used: np.where(numbers[used] == 0.0, 1e-3, numbers[used] * 1.001)}
                assert np.any(evaluated(meaning.equation, nudged) != before), f"{name} does not hang on {used}"


BESIDE = {"tool_pressure"}
"""Answers that no instant has: the rating puts them in from the shop's pipe."""


def test_every_equation_is_met_by_some_plant():
    there = {name for plant in PLANTS for part in states(plant) for name in row_0(part)}
    missing = [name for name in EVERY if name not in there | BESIDE]
    assert not missing, f"no plant here has {missing}"


@pytest.mark.parametrize(("state", "name"), WITH_EQUATION, ids=[name for _, name in WITH_EQUATION])
def test_an_equation_uses_fields_of_its_own_result(state, name):
    fields = meanings(state)
    assert fields[name].uses, name
    assert set(fields[name].uses) <= set(fields) - {name}


@pytest.mark.parametrize("name", EVERY)
def test_a_field_says_what_it_is(name):
    meaning = EVERY[name]
    assert meaning.label
    assert meaning.kind in KINDS
    assert not (meaning.equation and meaning.solved), f"{name} is both given by an equation and solved"
    if meaning.is_answer:
        assert meaning.equation or meaning.solved, f"{name} has no equation and does not say what is solved for it"
    assert meaning.sources
    assert set(meaning.sources) <= set(all_sources()), name


def test_labels_tell_answers_apart():
    labels = [meaning.label for meaning in answer_meanings().values()]
    assert len(labels) == len(set(labels))


def test_every_answer_stands_in_one_group():
    grouped = [name for names in GROUPS.values() for name in names]
    assert len(grouped) == len(set(grouped))
    assert set(grouped) == set(answer_meanings())


@pytest.mark.parametrize("name", REQUIRED)
def test_the_answers_a_rating_owes(name):
    assert name in answer_meanings()
