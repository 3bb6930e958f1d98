"""Supply kinds and what is left of their voltage."""

import numpy as np
import pytest

from airfettle.errors import UnknownChoice
from airfettle.parts import supply


@pytest.mark.parametrize("kind", supply.supply_kinds())
def test_each_kind_is_complete_and_coherent(kind):
    found = supply.supply_kind(kind)
    assert found.phases in (1, 3)
    assert found.frequency in (50.0, 60.0)
    assert 0 < found.below <= 0.1
    assert found.voltage / 2 <= found.voltage_to_earth <= found.voltage
    assert found.label
    assert found.caveat.endswith(".")


@pytest.mark.parametrize("kind", ["wye-208", "wye-400", "wye-480", "generator"])
def test_a_wye_stands_root_three_below_to_earth(kind):
    found = supply.supply_kind(kind)
    assert found.voltage / found.voltage_to_earth == pytest.approx(np.sqrt(3), rel=0.005)


def test_the_high_leg():
    found = supply.supply_kind("high-leg-240")
    assert supply.high_leg_voltage(found.voltage) == pytest.approx(found.voltage_to_earth, abs=0.5)


def test_corner_and_split():
    assert supply.supply_kind("corner-240").voltage_to_earth == 240.0
    assert supply.supply_kind("split-phase").voltage_to_earth == 120.0
    assert supply.supply_kind("static-converter").motor_power_share < 1.0


def test_unknown_kind():
    with pytest.raises(UnknownChoice, match="split-phase"):
        supply.supply_kind("steam")


def test_unbalance():
    assert supply.unbalance(230.0, second=232.0, third=225.0) == pytest.approx(4.0 / 229.0)


def test_generator_dip():
    assert supply.generator_voltage_share(30e3, generator_power=15e3) == pytest.approx(1 / 1.5)
    assert supply.generator_voltage_share(0.0, generator_power=15e3) == 1.0
