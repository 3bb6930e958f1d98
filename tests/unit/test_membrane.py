"""Membrane dryers at their edges."""

import numpy as np
import pytest

from airfettle.air.moist import saturation_humidity_ratio
from airfettle.parts import membrane

LINE, INLET = 8e5, 308.15
WET = float(saturation_humidity_ratio(INLET, pressure=LINE))
RATING = {
    "rated_flow": 0.01, "dew_point_depression": INLET - 276.15, "rated_inlet_temperature": INLET,
    "rated_pressure": LINE,
}  # fmt: skip


def fibres(flow=0.01, **changes):
    given = {"inlet_temperature": INLET, "inlet_humidity_ratio": WET, "pressure": LINE, "full_purge": 0.0016}
    return membrane.pass_membrane(flow, **(given | RATING | changes))


def test_at_its_rating_it_holds_its_dew_point():
    state = fibres()
    assert state.load_share == pytest.approx(1.0)
    assert state.dew_point == pytest.approx(276.15, abs=1e-3)
    assert state.water_taken == pytest.approx(0.01 * (WET - state.outlet_humidity_ratio))


def test_half_the_flow_passes_the_fibres_twice_as_long():
    """The vapour left goes by the square of the share left at the rating."""
    share = fibres().outlet_humidity_ratio / WET
    assert fibres(0.005).outlet_humidity_ratio / WET == pytest.approx(share**2)
    assert fibres(0.005, pressure=0.5 * LINE, inlet_humidity_ratio=2.0 * WET).load_share == pytest.approx(1.0)


def test_no_more_leaves_than_its_purge_can_carry():
    state = fibres(full_purge=0.0005)
    assert state.water_taken == pytest.approx(0.05 * LINE / 101_325.0 * 0.01 * WET)
    assert fibres(full_purge=0.0).outlet_humidity_ratio == pytest.approx(WET)


def test_liquid_goes_through_and_evaporates_as_far_as_it_can():
    little, much = fibres(liquid=0.001 * 0.01), fibres(liquid=0.02 * 0.01)
    assert little.outlet_liquid == pytest.approx(0.0, abs=1e-18)
    assert little.outlet_humidity_ratio == pytest.approx(fibres().outlet_humidity_ratio + 0.001)
    assert much.outlet_humidity_ratio == pytest.approx(WET)
    assert much.outlet_liquid > 0.0


def test_at_rest_and_at_a_trickle():
    for flow in (0.0, 1e-9):
        state = fibres(flow)
        assert np.isfinite(state.dew_point)
        assert state.outlet_liquid == 0.0
        assert state.outlet_humidity_ratio < 1e-9


def test_purge_grows_with_the_dew_point_it_is_bought_for():
    shares = membrane.membrane_purge_share([10.0, 20.0, 37.5, 75.0, 90.0], place=0.0)
    assert shares[0] == shares[1] == pytest.approx(0.09)
    assert shares[2] == pytest.approx(0.125)
    assert shares[3] == shares[4] == pytest.approx(0.20)
    assert np.all(membrane.membrane_purge_share([20.0, 75.0], place=1.0) > shares[[1, 3]])
