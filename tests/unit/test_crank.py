"""The crank: shapes, layouts, breaking away, edges."""

import numpy as np
import pytest

from airfettle.parts import crank

ONE = np.pi / 4 * 0.080**2 * 0.0597


def twin(phases=(0.0, np.pi), *, discharge=1.0e6, swept=ONE):
    cylinders = [crank.Cylinder(swept, 0.05, 1.0e5, discharge, phase) for phase in phases]
    return crank.torque_shape(
        cylinders,
        stroke=0.0597,
        rod_length=0.125,
        reciprocating_mass=0.45,
        compression_exponent=1.3,
        expansion_exponent=1.2,
        crankcase_pressure=1.0e5,
    )


def test_a_v_twin_is_rougher_than_a_parallel_twin():
    v, parallel = (
        crank.fluctuation(twin(crank.LAYOUTS[name]), speed=15.0, inertia=0.6) for name in ("V-twin", "parallel twin")
    )
    assert v.excess_energy > 1.5 * parallel.excess_energy


def test_layouts_from_banks_and_pins():
    assert crank.LAYOUTS["parallel twin"] == pytest.approx((0.0, np.pi))
    assert crank.LAYOUTS["V-twin"] == pytest.approx((0.0, np.pi / 2))
    assert crank.LAYOUTS["W-three"] == pytest.approx((0.0, np.pi / 3, 2 * np.pi / 3))
    assert crank.LAYOUTS["V-four"] == pytest.approx((0.0, np.pi / 2, np.pi, 3 * np.pi / 2))
    with pytest.raises(ValueError, match="shorter"):
        crank.phases((0.0, 1.0), pin_angles=(0.0,))


def test_break_away_loaded_and_unloaded():
    loaded = crank.break_away_torque(twin(), friction_torque=8.0)
    unloaded = crank.break_away_torque(twin(discharge=1.0e5), friction_torque=8.0)
    assert unloaded == pytest.approx(8.0, abs=1e-6)
    assert loaded > 8.0 + 3.0 * twin().mean_torque


def test_axes_of_draw_speed_and_pressure():
    pressures = np.linspace(6e5, 1.2e6, 4)
    shape = twin(discharge=pressures[None, None, :], swept=ONE * np.array([0.9, 1.0, 1.1])[:, None, None])
    assert shape.gas_torque.shape == (3, 1, 4, 92)
    assert shape.inertia_torque.shape[-1] == 92
    f = crank.fluctuation(shape, speed=np.array([7.5, 15.0])[None, :, None], inertia=0.6)
    assert f.excess_energy.shape == (3, 2, 4)
    one = crank.fluctuation(twin(discharge=pressures[2]), speed=15.0, inertia=0.6)
    assert f.excess_energy[1, 1, 2] == pytest.approx(one.excess_energy, rel=1e-12)
    assert f.peak_over_mean[1, 1, 2] == pytest.approx(one.peak_over_mean, rel=1e-12)


def test_many_rows_go_through_in_blocks():
    scale = np.linspace(0.5, 1.5, 300)[:, None]
    f = crank.fluctuation(twin(swept=ONE * scale), speed=np.linspace(6.0, 18.0, 7), inertia=0.6)
    row = crank.fluctuation(twin(swept=ONE * scale[211]), speed=np.linspace(6.0, 18.0, 7), inertia=0.6)
    np.testing.assert_allclose(f.excess_energy[211], row.excess_energy, rtol=1e-12)


def test_two_stages_with_their_own_pressures():
    cylinders = [crank.Cylinder(6.5e-4, 0.05, 0.98e5, 4.0e5, 0.0), crank.Cylinder(1.95e-4, 0.06, 3.6e5, 1.36e6, np.pi)]
    shape = crank.torque_shape(
        cylinders,
        stroke=0.06,
        rod_length=0.13,
        reciprocating_mass=0.6,
        compression_exponent=1.3,
        expansion_exponent=1.2,
        crankcase_pressure=1.0e5,
    )
    work = sum(
        1.3 / 0.3 * c.suction_pressure * c.swept_volume * (1 + c.clearance)
        * ((c.discharge_pressure / c.suction_pressure) ** (0.3 / 1.3) - 1)
        - 1.2 / 0.2 * c.discharge_pressure * c.swept_volume * c.clearance
        * (1 - (c.discharge_pressure / c.suction_pressure) ** (-0.2 / 1.2))
        for c in cylinders
    )  # fmt: skip
    assert shape.mean_torque == pytest.approx(work / (2 * np.pi), rel=1e-12)


def test_friction_smooths_the_ratio():
    bare, rubbing = (crank.fluctuation(twin(), speed=15.0, inertia=0.6, friction_torque=t) for t in (0.0, 5.0))
    assert rubbing.excess_energy == bare.excess_energy
    assert 1.0 < rubbing.peak_over_mean < bare.peak_over_mean


@pytest.mark.parametrize("discharge", [0.5e5, 1.0e5, 9.0e7])
def test_finite_at_the_edges(discharge):
    """A receiver under intake pressure, as empty as the room, and beyond what the clearance can reach; standing."""
    f = crank.fluctuation(twin(discharge=discharge), speed=0.0, inertia=0.6)
    assert all(np.isfinite(value) for value in vars(f).values())
