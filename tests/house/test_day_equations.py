"""Every equation shown beside an answer of a day gives that answer from the other fields of its run."""

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from airfettle.quantity import KINDS
from airfettle.sources import all_sources
from airfettle.store.plant_file import read_plant
from airfettle.studies.day.answers import DayAnswers, ToolAnswers, day_answers, tool_answers
from airfettle.studies.day.many import run_many
from airfettle.studies.day.prepared import WEEK, prepare_plant
from airfettle.studies.draw import draw
from airfettle.studies.meaning import evaluated, meanings

CANOE = Path(__file__).parents[2] / "examples/canoe_works.toml"
MEANT = [(result, name) for result in (DayAnswers, ToolAnswers) for name in meanings(result)]
WITH_EQUATION = [(result, name) for result, name in MEANT if meanings(result)[name].equation]


@pytest.fixture(scope="module")
def week(tmp_path_factory):
    text = CANOE.read_text(encoding="utf-8")
    file = tmp_path_factory.mktemp("week") / "canoe_works.toml"
    file.write_text(text.replace("[control]\n", '[control]\nidle_time = "2 min"\n'))  # so that it idles too
    plant = prepare_plant(draw(read_plant(file), rows=8))
    tally = run_many(plant, paths=range(3), seed=1, start=0.0, length=WEEK)
    return {DayAnswers: day_answers(plant, tally), ToolAnswers: tool_answers(plant, tally)[0]}


@pytest.mark.parametrize(("result", "name"), WITH_EQUATION)
def test_an_equation_gives_its_answer(result, name, week):
    numbers = {f.name: getattr(week[result], f.name) for f in dataclasses.fields(result) if f.name != "name"}
    assert numbers[name] is not None
    found = evaluated(meanings(result)[name].equation, numbers)
    np.testing.assert_allclose(found, numbers[name], rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize(("result", "name"), MEANT)
def test_a_meaning_is_whole(result, name):
    meaning = meanings(result)[name]
    assert meaning.kind in KINDS
    assert meaning.symbol
    assert set(meaning.sources) <= set(all_sources())
    assert not meaning.is_answer or meaning.equation or meaning.solved
