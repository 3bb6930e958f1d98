"""Statements weigh on the draw: which count, what they leave alone, row 0, and readings that are refused."""

import numpy as np
import pytest
from plant_cases import plant_of

from airfettle.app.load import believed
from airfettle.errors import AirfettleError, EntriesDisagree, MissingEntry, UnknownChoice
from airfettle.plant.whole import walk
from airfettle.studies.draw import draw
from airfettle.studies.evidence.conditioning import FEW, believe, doubts, pool_rows, pooled
from airfettle.studies.evidence.predicted import predictions
from airfettle.studies.evidence.statements import statements

MOTOR = """
plant = { units = "SI" }
motor = { power = "4 kW by plate", voltage = "400 V by plate", frequency = "50 Hz", speed = "1440 rpm by plate"%s }
receiver = { volume = "270 L by plate" }
belt = { motor_sheave = "125 mm by tape", pump_sheave = "350 mm by tape" }
pump = { displacement = "0.8 L by maker", maximum_speed = "800 rpm by plate"%s }
"""
PLAIN = MOTOR % ("", "")
AMPS = MOTOR % (', current = "8.2 A by plate"', "")
READING = '[[reading]]\nwhat = "{what}"\nvalue = "{value}"\nby = "{by}"\n'


def written(tmp_path, text):
    file = tmp_path / "plant.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_plant_without_statements_is_the_plain_draw():
    plant = plant_of(PLAIN)
    belief, plain = believe(plant, rows=64), draw(plant, rows=64)
    assert belief.heard == ()
    assert not belief.poor
    for (_, *_, a), (_, *_, b) in zip(walk(belief.draw.plant), walk(plain.plant), strict=True):
        assert np.array_equal(a, b) if isinstance(a, np.ndarray) else a == b


def test_plate_amps_move_the_motor_and_nothing_else():
    plain, told = draw(plant_of(PLAIN), rows=256), believe(plant_of(AMPS), rows=256).draw
    before = {path: value for path, *_, value in walk(plain.plant)}
    after = {path: value for path, *_, value in walk(told.plant)}
    assert not np.array_equal(before["motor.power_factor"], after["motor.power_factor"])
    for path in ("pump.leakage", "site.room_temperature", "receiver.surface_film", "belt.creep"):
        assert np.array_equal(before[path], after[path]), path


def test_plate_amps_are_agreed_with():
    (heard,) = believe(plant_of(AMPS), rows=256).heard
    assert heard.statement.path == "motor.current"
    assert heard.after[2] - heard.after[0] < heard.before[2] - heard.before[0]
    assert heard.after[1] == pytest.approx(8.2, rel=0.02)
    assert heard.doubt < 0.2


def test_row_0_is_one_plant_that_says_what_was_said():
    plant = plant_of(AMPS)
    belief = believe(plant, rows=256)
    (amps,) = predictions(belief.draw, statements(plant))
    assert amps[0] == pytest.approx(8.2, rel=0.03)
    assert (
        float(belief.draw.plant.site.room_temperature[0, 0, 0])
        == draw(plant, rows=8).spans["site.room_temperature"].likely
    )


def test_the_same_seed_gives_the_same_belief():
    text = AMPS + READING.format(what="pump_speed", value="540 rpm", by="tachometer")
    first, again, other = (believe(plant_of(text), rows=64, seed=s).draw.plant.pump.leakage for s in (3, 3, 4))
    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)


def test_a_delivery_beside_measured_cylinders_is_a_statement_and_alone_is_not():
    beside = MOTOR % ("", ', rated = [{ air = "300 L/min", at = "8 bar", known = "maker" }]')
    assert [s.path for s in statements(plant_of(beside))] == ["pump.rated"]
    alone = beside.replace('displacement = "0.8 L by maker", ', "")
    assert statements(plant_of(alone)) == ()
    two = alone.replace("}]", '}, { air = "310 L/min", at = "7 bar", known = "told" }]')
    assert [s.path for s in statements(plant_of(two))] == ["pump.rated.2"]


def test_several_good_readings_move_rows_where_the_pool_is_too_thin():
    text = PLAIN + "".join(
        READING.format(what=what, value=value, by=by)
        for what, value, by in (
            ("pump_speed", "517 rpm", "tachometer"), ("motor_current", "6.9 A", "clamp meter"),
            ("discharge_temperature", "190 degC", "thermometer"), ("electrical_power", "2.6 kW", "power meter"),
        )
    )  # fmt: skip
    belief = believe(plant_of(text), rows=512)
    assert belief.moved
    assert belief.effective > 300
    for heard in belief.heard:
        width = heard.after[2] - heard.after[0]
        assert heard.doubt > 0.5 or width < 6.0 * heard.statement.deviation


def test_cheap_statements_get_the_larger_pool():
    assert pool_rows(statements(plant_of(AMPS)), rows=1024) > pool_rows(
        statements(plant_of(PLAIN + READING.format(what="pump_speed", value="540 rpm", by="tachometer"))), rows=1024
    )
    assert pool_rows((), rows=1 << 16) == 1 << 16


def test_a_statement_far_off_is_doubted_and_little_else_moves():
    wrong = MOTOR % (', current = "16 A by plate"', "")
    (heard,) = believe(plant_of(wrong), rows=256).heard
    assert heard.doubt > 0.95
    assert heard.after[1] == pytest.approx(heard.before[1], rel=0.03)


def test_doubt_is_the_share_of_the_flat_belief():
    plant = plant_of(AMPS)
    pool = pooled(plant, statements(plant), rows=64, seed=1)
    (s,) = pool.said
    certain = np.full((1, 4), np.log(s.chance_wrong * s.flat_density))
    assert doubts(certain, pool.said, weights=np.full(4, 0.25)) == pytest.approx([1.0])
    assert FEW < 1024


def test_a_pump_up_says_what_the_pump_delivers(tmp_path):
    text = (
        PLAIN
        + READING.format(what="pump_up_time", value="600 s", by="stopwatch")
        + ('from_pressure = "0 bar by gauge"\nto_pressure = "8 bar by gauge"\nsettled_pressure = "7.2 bar by gauge"\n')
    )
    loaded = believed(written(tmp_path, text), rows=256)
    (heard,) = loaded.belief.heard
    stored, swept = 270.0 * 7.2 / 1.013, 0.8 * 515.0 / 60.0
    assert heard.before[1] == pytest.approx(stored / (0.66 * swept), rel=0.15)


REFUSED = [
    ('what = "pump_up_time"\nvalue = "300 s"\n', MissingEntry, "from_pressure"),
    ('what = "pump_up_time"\nvalue = "300 s"\nfrom_pressure = "0 bar"\n', MissingEntry, "to_pressure"),
    (
        'what = "pump_up_time"\nvalue = "300 s"\nfrom_pressure = "8 bar"\nto_pressure = "6 bar"\n',
        EntriesDisagree,
        "below",
    ),
    (
        'what = "pump_up_time"\nvalue = "60 s"\nfrom_pressure = "6 bar"\nto_pressure = "8 bar"\n',
        MissingEntry,
        "settled",
    ),
    ('what = "pump_speed"\nvalue = "unknown"\n', MissingEntry, "what was read"),
    ('what = "pump_speed"\nvalue = "500 rpm"\npart = "north"\n', UnknownChoice, "north"),
]


@pytest.mark.parametrize(("reading", "error", "words"), REFUSED)
def test_readings_that_say_too_little_are_refused(tmp_path, reading, error, words):
    with pytest.raises(error, match=words):
        believed(written(tmp_path, f"{PLAIN}[[reading]]\n{reading}"), rows=8)


def test_a_reading_of_one_of_two_trains_says_which(tmp_path):
    text = '[[train]]\nname = "a"\n[[train]]\nname = "b"\n' + READING.format(
        what="pump_speed", value="500 rpm", by="tape"
    )
    with pytest.raises(AirfettleError, match="trains"):
        believed(written(tmp_path, text.replace("tape", "tachometer")), rows=8)
    loaded = believed(written(tmp_path, text.replace("tape", "tachometer") + 'part = "b"\n'), rows=64)
    assert loaded.belief.heard[0].statement.train == 1
