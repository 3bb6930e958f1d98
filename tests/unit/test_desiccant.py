"""Desiccant dryers and bead cartridges at their edges."""

import numpy as np
import pytest

from airfettle.air.moist import dew_point, saturation_humidity_ratio
from airfettle.errors import UnknownTableEntry
from airfettle.parts import desiccant

LINE, INLET = 8e5, 308.15
WET = float(saturation_humidity_ratio(INLET, pressure=LINE))
DRY = float(saturation_humidity_ratio(233.15, pressure=LINE))
RATING = {
    "rated_flow": 0.01, "rated_dew_point": 233.15, "rated_inlet_temperature": INLET, "rated_pressure": LINE,
}  # fmt: skip


def bed(flow=0.01, kind="heatless", **changes):
    given = {
        "inlet_temperature": INLET, "inlet_humidity_ratio": WET, "pressure": LINE, "full_purge": 0.0015,
    }  # fmt: skip
    return desiccant.regenerate(flow, regeneration=kind, **(given | RATING | changes))


def cartridge(flow=0.01, **changes):
    given = {"inlet_temperature": 293.15, "inlet_humidity_ratio": 0.002, "pressure": LINE}
    rating = {name: value for name, value in RATING.items() if name != "rated_inlet_temperature"}
    return desiccant.fresh_beads(flow, **(given | rating | changes))


def test_purge_goes_by_the_rating_and_by_absolute_pressure():
    conductance = desiccant.purge_conductance(0.01, purge_share=0.15, rated_pressure=8e5)
    assert conductance * 8e5 == pytest.approx(0.0015)
    assert conductance * 4e5 == pytest.approx(0.00075)


def test_at_its_rating_it_holds_its_dew_point():
    state = bed()
    assert state.load_share == pytest.approx(1.0)
    assert state.capacity == pytest.approx(0.01)
    assert state.dew_point == pytest.approx(233.15, abs=1e-3)
    assert state.water_taken == pytest.approx(0.01 * (WET - DRY))


def test_overloaded_twice_half_of_the_water_passes():
    state = bed(0.02, full_purge=0.01)
    assert state.load_share == pytest.approx(2.0)
    assert state.outlet_humidity_ratio == pytest.approx(0.5 * (WET + DRY))
    assert state.dew_point == pytest.approx(float(dew_point(0.5 * (WET + DRY), pressure=LINE)), abs=1e-3)


def test_dry_air_is_limited_by_its_volume_and_not_by_its_water():
    state = bed(0.01, inlet_humidity_ratio=0.1 * WET)
    assert state.load_share == pytest.approx(1.0)
    assert bed(0.01, inlet_humidity_ratio=0.1 * WET, pressure=4e5).load_share == pytest.approx(2.0)


def test_liquid_counts_as_water():
    assert bed(0.01, liquid=0.01 * WET, full_purge=0.01).load_share == pytest.approx(2.0)


def test_too_little_purge_overloads_a_heatless_dryer_and_no_other():
    assert bed(full_purge=0.0005).load_share > 2.0
    assert bed(kind="externally heated", full_purge=0.0005).load_share == pytest.approx(1.0)
    assert bed(kind="blower purge", full_purge=0.0).load_share == pytest.approx(1.0)
    assert np.isfinite(bed(full_purge=0.0).load_share)
    assert bed(full_purge=0.0).outlet_humidity_ratio == pytest.approx(WET)


def test_air_drier_than_its_dew_point_passes_unchanged():
    state = bed(0.005, inlet_humidity_ratio=1e-6)
    assert state.outlet_humidity_ratio == 1e-6
    assert state.outlet_temperature == INLET
    assert state.water_taken == 0.0


@pytest.mark.parametrize(("kind", "low", "high"), [("heatless", 1.0, 8.0), ("externally heated", 5.0, 15.0)])
def test_the_air_leaves_a_little_warmer(kind, low, high):
    assert low < bed(kind=kind).outlet_temperature - INLET < high


def test_at_rest():
    for state in (bed(0.0), cartridge(0.0)):
        assert state.load_share == 0.0
        assert state.capacity == 0.01
        assert state.water_taken == 0.0


def test_kinds_of_the_warming_table():
    assert desiccant.warming_share("heatless") < desiccant.warming_share("cartridge") < 1.0


@pytest.mark.parametrize("beads", ["silica gel", "molecular sieve"])
def test_what_beads_hold_between_its_ends(beads):
    humidity = np.array([-0.1, 0.0, 0.3, 1.0, 1.2])
    least, most = (desiccant.bead_uptake(humidity, beads=beads, grade=grade) for grade in (0.0, 1.0))
    assert least[0] == least[1] == most[0] == 0.0
    assert least[3] == least[4]
    assert np.all(most[2:] > least[2:])
    assert desiccant.bead_uptake(0.25, beads=beads, grade=0.0) == pytest.approx(
        np.mean(desiccant.bead_uptake([0.2, 0.3], beads=beads, grade=0.0))
    )


def test_beads_of_no_known_sort():
    with pytest.raises(UnknownTableEntry):
        desiccant.bead_uptake(0.5, beads="rice")


def test_fresh_beads_hold_their_dew_point_up_to_the_rated_volume():
    assert cartridge().load_share == pytest.approx(1.0)
    assert cartridge().dew_point == pytest.approx(233.15, abs=1e-3)
    assert cartridge(0.02).outlet_humidity_ratio > 0.4 * 0.002


def test_liquid_is_held_with_the_vapour():
    assert cartridge(liquid=1e-6).water_taken - cartridge().water_taken == pytest.approx(1e-6)


def test_life_of_beads():
    """1 kg of beads that hold 30 %, half of it usable: 150 g, at 50 g an hour 3 hours."""
    life = desiccant.bead_life(0.05 / 3600.0, bead_mass=1.0, uptake=0.3, usable_share=0.5)
    assert life == pytest.approx(3.0 * 3600.0)
    assert np.isfinite(desiccant.bead_life(0.0, bead_mass=1.0, uptake=0.3, usable_share=0.5))
