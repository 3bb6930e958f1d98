"""Why a number or a finding is what it is: words, places and refusals."""

from pathlib import Path

import pytest

from airfettle.app.judge import judge_file
from airfettle.app.load import believed
from airfettle.cli import run
from airfettle.errors import BadRequest, UnknownChoice
from airfettle.findings.why import why
from airfettle.report.why_text import why_lines
from airfettle.studies.meaning import evaluated
from airfettle.studies.rating import rate
from airfettle.studies.reach import reach
from airfettle.studies.reasons import filled_in, reasons

ROOT = Path(__file__).parents[2]
CANOE = ROOT / "examples/canoe_works.toml"


@pytest.fixture(scope="module")
def judged():
    return judge_file(CANOE, rows=256, clear=True)


def words(judged, asked, **more):
    found = why(judged.reach, findings=judged.findings, asked=asked, **more)
    return [line.words for line in why_lines(found, units="US")]


def test_an_answer_goes_down_to_the_owners_entries(judged):
    told = "\n".join(words(judged, "pump_speed", deep=True))
    assert "motor_speed / belt_ratio * (1 - belt_creep)" in told
    assert "belt.motor_sheave = 7.4 in by tape" in told
    assert "measured, by tape" in told
    assert "belt.creep = (0.5..2 %)" in told
    assert "assumed, source practice" in told


def test_where_it_is_looked_at_can_be_chosen(judged):
    low = reasons(judged.reach, asked="pump_speed", frequency=30.0)
    full = reasons(judged.reach, asked="pump_speed")
    assert full.frequency == 60.0
    assert low.steps[0].value == pytest.approx(0.494 * full.steps[0].value, rel=0.01)


def test_few_steps_say_that_there_are_more(judged):
    short, deep = (reasons(judged.reach, asked="running_cost", deep=deep) for deep in (False, True))
    assert len(deep.steps) >= len(short.steps)
    assert not deep.cut
    assert len({step.name for step in deep.steps}) == len(deep.steps)


def test_a_finding_tells_rule_numbers_and_what_decides_it(judged):
    told = "\n".join(words(judged, "pump_below_floor"))
    assert "pump_below_floor:pump: holds" in told
    assert "When it holds" in told
    assert "Why it matters" in told
    assert "pump.minimum_speed = 400..500 rpm" in told
    assert "= pump_speed / lowest_pump_speed - 1" in told


def test_a_matter_of_fact_has_no_number_behind_it(judged):
    found = why(judged.reach, findings=judged.findings, asked="receiver_altered")
    assert found.explanation is None
    assert found.rule.name == "receiver_altered"
    assert found.decided_by[0].path == "receiver.altered"


def test_numbers_stand_in_for_names():
    import numpy as np

    assert filled_in("a / (b - 2) ** 2", {"a": np.array(-3.0), "b": np.array([[[4.5]]])}) == "-3.0 / (4.5 - 2) ** 2"


@pytest.mark.parametrize("asked", ["delivered", "reciever_plate", "nothing of the sort"])
def test_what_is_not_there_is_refused_with_the_nearest(judged, asked):
    with pytest.raises(UnknownChoice, match="finding"):
        why(judged.reach, findings=judged.findings, asked=asked)


def test_what_this_plant_does_not_have_is_refused(judged):
    with pytest.raises(BadRequest, match="this plant has"):
        reasons(judged.reach, asked="dryer_load")
    with pytest.raises(UnknownChoice, match="nothing to look at"):
        why(judged.reach, findings=judged.findings, asked="dryer_overloaded")
    with pytest.raises(UnknownChoice, match="north"):
        reasons(judged.reach, asked="pump_speed", train="north")


def test_the_command_says_the_answer_first(capsys):
    assert run(["explain", str(CANOE), "delivered_air", "--rows", "64", "--hz", "40", "--pressure", "125 psi"]) in (
        0,
        1,
    )
    assert capsys.readouterr().out.startswith("Air delivered (volume at the intake), at 40 Hz against 125 psi:")
    assert run(["explain", str(CANOE), "deliverd_air", "--rows", "64"]) == 2
    assert "delivered_air" in capsys.readouterr().err


# --- what it comes from, and whose it is -----------------------------------------------------------------------------

LOFT = ROOT / "tests/plants/sail_loft.toml"


@pytest.fixture(scope="module")
def loft():
    return reach(believed(LOFT, rows=256).draw)


def test_answers_are_the_ones_a_rating_shows(loft):
    """In a plant of two trains: both together, value, band and place as the last column has them."""
    last = rate(loft.draw).points[-1]
    for name, band in last.answers.items():
        told = reasons(loft, asked=name)
        assert (told.frequency, told.gauge) == (last.frequency, pytest.approx(last.receiver_gauge, abs=1e-2))
        assert told.train == ""
        found = told.steps[0].band
        assert (found.low, found.likely, found.high, found.at_likely) == pytest.approx(
            (band.low, band.likely, band.high, band.at_likely), rel=1e-5
        ), name


def test_all_trains_together_are_told_train_by_train(loft):
    steps = reasons(loft, asked="delivered_air").steps
    assert steps[0].meaning.equation == "delivered_air_winter + delivered_air_old_one"
    assert [(s.name, s.train) for s in steps if s.depth == 1] == [
        ("delivered_air_winter", "winter"), ("delivered_air_old_one", "old one"),
    ]  # fmt: skip
    assert float(evaluated(steps[0].filled, {})) == pytest.approx(steps[0].value, rel=1e-6)
    assert sum(s.name == "barometer" for s in steps) == 1
    assert reasons(loft, asked="delivered_air", train="old one").steps[0].value < 0.5 * steps[0].value


def test_a_limit_is_told_of_the_train_that_is_nearest_to_it(loft):
    told = reasons(loft, asked="flywheel")
    assert told.train == "winter"
    assert told.frequency == min(loft.frequencies)


def entries_of(judged, asked, name, **more):
    steps = reasons(judged.reach, asked=asked, deep=True, **more).steps
    return {e.path: e for step in steps if step.name == name for e in step.entries}


def test_only_what_moves_a_number_is_named_for_it(judged):
    """The canoe works tells its motor's speed, its drive's amps and its pump's rated speed."""
    assert set(entries_of(judged, "motor_torque_share", "rated_motor_torque")) == {"motor.speed", "motor.power"}
    limit = entries_of(judged, "drive_output_share", "drive_output_limit")
    assert set(limit) == {"drive.single_phase_share", "drive.rated_output_current"}
    assert set(entries_of(judged, "sound_level", "rated_pump_speed")) == {"pump.rated_speed"}
    assert set(entries_of(judged, "relief_capacity", "relief_capacity")) == {"relief_valve.receiver.capacity"}


def test_a_number_that_is_known_exactly_is_named_too(judged):
    power = entries_of(judged, "motor_torque_share", "rated_motor_torque")["motor.power"]
    assert power.share is None
    assert "moves with: motor.power = 7.5 hp" in "\n".join(words(judged, "motor_torque_share"))


def test_choices_are_told_where_a_number_hangs_on_them(judged):
    told = "\n".join(words(judged, "drive_output_share"))
    assert "drive.input_phases = 3" in told
    assert "supply.kind = single-phase 120/240" in told
    assert "belt = none" in "\n".join(
        line.words for line in why_lines(why(reach(believed(LOFT, rows=64).draw), findings=(), asked="pump_speed",
                                             train="old one"), units="SI")
    )  # fmt: skip


def test_the_setting_that_chose_the_pressure_is_named(judged):
    assert set(entries_of(judged, "receiver_dew_point", "receiver_pressure")) == {"control.cut_out"}
    assert not entries_of(judged, "receiver_dew_point", "receiver_pressure", gauge=5e5)


def test_a_default_says_for_which_choice_it_was_taken(judged):
    leakage = entries_of(judged, "delivered_air", "delivered_dry_air")["pump.leakage"]
    assert leakage.assumed_for == "condition used"
    assert entries_of(judged, "pump_speed", "belt_ratio")["belt.motor_sheave"].assumed_for == ""


def test_constants_are_put_in_as_numbers(judged):
    filled = reasons(judged.reach, asked="delivered_air").steps[0].filled
    assert "287.055" in filled
    assert "R_DRY_AIR" not in filled


def test_a_limit_is_its_margin_where_a_number_has_the_same_name(judged):
    steps = reasons(judged.reach, asked="motor_torque").steps
    assert steps[0].meaning.label == "margin to the motor's torque"
    assert [s.meaning.label for s in steps if s.name == "motor_torque"][1:] == ["torque at the motor"]


def test_a_limit_that_is_kept_is_told_where_it_is_nearest(judged):
    told = reasons(judged.reach, asked="pump_overspeed")
    assert told.frequency == 60.0
    assert told.steps[0].value < 0.2


def test_where_the_motor_stalls_it_is_said(tmp_path):
    file = tmp_path / "small.toml"
    file.write_text('motor.power = "1 kW"\ncontrol.cut_out = "12 bar"\npump.displacement = "0.42..0.6 L"\n')
    found = reach(believed(file, rows=256).draw)
    told = reasons(found, asked="shaft_power")
    assert 0.0 < told.runs_share < 1.0
    assert told.steps[0].band == rate(found.draw).points[-1].answers["shaft_power"]
    said = why_lines(why(found, findings=(), asked="shaft_power"), units="SI")
    assert any("stalls here in" in line.words for line in said)
