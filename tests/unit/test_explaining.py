"""Why a number or a finding is what it is: words, places and refusals."""

from pathlib import Path

import pytest

from airfettle.app.judge import judge_file
from airfettle.cli import run
from airfettle.errors import BadRequest, UnknownChoice
from airfettle.findings.why import why
from airfettle.report.why_text import why_lines
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
