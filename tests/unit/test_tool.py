"""Kinds of tool, nozzles and cylinders: edges and agreements."""

from typing import get_args

import numpy as np
import pytest

from airfettle import tables
from airfettle.errors import UnknownTableEntry
from airfettle.parts import air_quality, tool
from airfettle.quantity import read_span
from airfettle.sources import all_sources

PSI = 6894.757293168361
ATM = 101_325.0


def test_the_kinds_that_can_be_written_are_those_of_the_table():
    assert get_args(tool.ToolKind) == tool.kinds()
    assert len(set(tool.kinds())) == len(tool.kinds())
    assert tool.kinds()[-1] == "unknown"


@pytest.mark.parametrize("kind", tool.kinds())
def test_a_row_says_what_can_be(kind):
    found = tool.tool_of(kind)
    assert 0 < found.air[0] < found.air[1]
    assert 0 < found.runs[0] < found.runs[1] <= 1
    assert found.air_quality in (*air_quality.uses(), "unknown")
    assert found.source in all_sources()
    assert found.sure in {"A", "B", "M"}
    assert tables.load("tool_air").words("open nozzle")[tool.kinds().index(kind)] in ("yes", "no")
    span = read_span(found.air_text, kind="reference_flow")
    assert (span.low, span.high) == pytest.approx(found.air, rel=1e-9)
    assert read_span(found.pressure_text, kind="pressure", known="assumed").likely == pytest.approx(found.pressure)


def test_a_kind_that_is_not_there():
    with pytest.raises(UnknownTableEntry, match="sander"):
        tool.tool_of("steam hammer")


def test_unknown_is_as_wide_as_hand_tools_are_and_asks_for_no_purity():
    assert tool.tool_of("unknown").air_quality == "unknown"
    assert tool.tool_of("blow gun").open_nozzle
    assert not tool.tool_of("sander").open_nozzle


def test_air_of_a_blast_nozzle_between_and_beyond_what_is_printed():
    bore, gauge = 0.25 * 0.0254, 85 * PSI
    between = tool.printed_blast_air(bore, gauge_pressure=gauge) / tool.CFM_OF_TABLES
    assert between == pytest.approx((68 + 74) / 2, rel=1e-9)
    smaller = tool.printed_blast_air([bore / 2, bore / 4], gauge_pressure=gauge)
    assert smaller[0] / smaller[1] == pytest.approx(4.0)  # below 1/8 in by area
    low, edge = tool.printed_blast_air(bore, gauge_pressure=[25 * PSI, 50 * PSI])
    assert low / edge == pytest.approx((25 * PSI + ATM) / (50 * PSI + ATM))
    assert tool.printed_blast_air(np.full((3, 1), bore), gauge_pressure=np.full(2, gauge)).shape == (3, 2)


def test_air_of_a_cylinder_worked_by_hand():
    """A 50 mm piston with 100 mm of stroke, 7 bar absolute, 20 degC: rho = 700000/(287.055 293.15) = 8.3185 kg/m3."""
    volume = np.pi / 4 * 0.05**2 * 0.1
    both = tool.cylinder_air(0.05, stroke=0.1, pressure=7e5)
    assert both == pytest.approx(2 * volume * 8.3185, rel=1e-4)
    by_spring = tool.cylinder_air(0.05, stroke=0.1, pressure=7e5, return_pressure=ATM)
    assert by_spring == pytest.approx(both / 2, rel=1e-12)
    with_rod = tool.cylinder_air(0.05, stroke=0.1, pressure=7e5, rod=0.02)
    assert with_rod == pytest.approx(both * (1 + 1 - 0.16) / 2, rel=1e-12)
    hose = tool.cylinder_air(0.05, stroke=0.1, pressure=7e5, dead_volume=1e-4) - both
    assert hose == pytest.approx(2 * 1e-4 * (7e5 - ATM) / (287.055 * 293.15), rel=1e-9)
