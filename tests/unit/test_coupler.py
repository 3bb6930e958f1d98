"""Quick couplers: kinds, spans that read back, and the way up."""

import math
from typing import get_args

import pytest

from airfettle.errors import UnknownChoice
from airfettle.parts.coupler import coupler_kinds, coupler_of
from airfettle.plant.pipework import CouplerKind
from airfettle.quantity import read_span

REAL = [kind for kind in coupler_kinds() if kind != "none"]


def test_the_kinds_that_can_be_written_are_those_of_the_table():
    assert get_args(CouplerKind) == coupler_kinds()
    assert coupler_kinds()[-1] == "none"


@pytest.mark.parametrize("kind", REAL)
def test_spans_read_back(kind):
    found = coupler_of(kind)
    conductance = read_span(found.conductance_text, kind="flow_coefficient")
    assert (conductance.low, conductance.high) == pytest.approx(found.conductance)
    ratio = read_span(found.critical_ratio_text, kind="fraction")
    assert (ratio.low, ratio.high) == pytest.approx(found.critical_ratio)
    assert 0.0 < found.conductance[0] < found.conductance[1] < 1e-6
    assert 0.0 < found.critical_ratio[0] < found.critical_ratio[1] < 0.6


def test_each_better_kind_lets_more_through_and_the_way_up_ends():
    kind, seen = REAL[0], []
    while kind:
        seen.append(kind)
        better = coupler_of(kind).better
        if better:
            assert all(up > now for now, up in zip(coupler_of(kind).conductance, coupler_of(better).conductance,
                                                   strict=True))  # fmt: skip
        kind = better
    assert seen == REAL


def test_no_coupler_stands_in_the_way():
    none = coupler_of("none")
    assert (none.conductance_text, none.critical_ratio_text, none.better) == ("", "", "")
    assert math.isinf(none.conductance[0])


def test_a_kind_that_is_not_there():
    with pytest.raises(UnknownChoice, match="1/4 in common"):
        coupler_of("bayonet")
