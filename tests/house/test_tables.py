"""Published tables have sources, units and the shape they claim."""

import numpy as np
import pytest

from airfettle import tables
from airfettle.plant.whole import OwnersPlant, walk
from airfettle.sources import all_sources
from airfettle.studies.draw import draw
from airfettle.studies.instant.state import PathState, TrainState
from airfettle.studies.meaning import meanings


@pytest.mark.parametrize("name", tables.names())
def test_table(name):
    table = tables.load(name)
    assert table.source in all_sources()
    assert table.title
    assert table.edition
    assert table.where
    assert table.sure in {"A", "A*", "B", "C", "M", "CP"}
    assert len({len(c.values) for c in table.columns.values()}) == 1, "columns of unequal length"
    for column in table.columns.values():
        assert column.unit, f"{column.name} has no unit"
        if column.rising:
            assert np.all(np.diff(column.values) > 0), f"{column.name} does not rise"


def test_sources_of_defaults_and_answers_are_in_the_bibliography():
    named = {entry.source for _, _, _, entry, _ in walk(draw(OwnersPlant(), rows=8).plant)}
    named |= {key for state in (TrainState, PathState) for m in meanings(state).values() for key in m.sources}
    assert named <= set(all_sources())
