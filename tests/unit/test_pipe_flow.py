"""Pipe flow: edges, signs, limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airfettle.air import pipe_flow
from airfettle.parts import coupler
from airfettle.plant.pipework import CouplerKind

PIPE = {"length": 20.0, "bore": 0.02, "roughness": 4.5e-5, "temperature": 293.15}


def test_nothing_is_lost_where_nothing_flows():
    assert pipe_flow.square_drop(0.0, **PIPE) == 0.0
    assert pipe_flow.outlet_pressure(0.0, pressure=8e5, **PIPE) == 8e5


@given(st.floats(1e-6, 0.2))
def test_the_fall_turns_round_with_the_flow_and_grows_with_it(flow):
    there, back = (float(pipe_flow.square_drop(sign * flow, **PIPE)) for sign in (1.0, -1.0))
    assert there == -back > 0.0
    assert float(pipe_flow.square_drop(1.01 * flow, **PIPE)) > there


@given(st.floats(0.1, 1e7), st.floats(0.0, 0.04))
def test_friction_falls_with_speed_but_where_turbulence_sets_in(reynolds, rough):
    a, b = pipe_flow.friction_factor([reynolds, 1.05 * reynolds], relative_roughness=rough)
    assert a > 0.0
    assert b <= a * (1.0 + 1e-12) or 1900.0 < reynolds < 4000.0


def test_friction_is_joined_without_a_step():
    for edge in (pipe_flow.LAMINAR, pipe_flow.TURBULENT):
        below, above = pipe_flow.friction_factor([edge * (1 - 1e-9), edge * (1 + 1e-9)], relative_roughness=1e-3)
        assert above == pytest.approx(below, rel=1e-6)


def test_a_pipe_passes_only_so_much():
    most = float(pipe_flow.pipe_mass_flow(8e5, downstream_pressure=1.0, **PIPE))
    assert pipe_flow.outlet_pressure(1.001 * most, pressure=8e5, **PIPE) == 0.0
    assert pipe_flow.outlet_pressure(0.999 * most, pressure=8e5, **PIPE) > 0.0
    assert float(pipe_flow.pipe_mass_flow(8e5, downstream_pressure=1e5, **PIPE)) == pytest.approx(most, rel=1e-3)
    assert pipe_flow.pipe_mass_flow(8e5, downstream_pressure=8e5, **PIPE) == 0.0


@pytest.mark.parametrize("first", [2e5, 8e5, 14e5])
def test_the_most_a_pipe_passes_leaves_it_at_the_speed_of_isothermal_sound(first):
    bore, warm = PIPE["bore"], PIPE["temperature"]
    most = pipe_flow.pipe_mass_flow(first, downstream_pressure=1.0, **PIPE)
    behind = pipe_flow.outlet_pressure(most * (1.0 - 1e-12), pressure=first, **PIPE)
    speed = pipe_flow.line_velocity(most, pressure=behind, bore=bore, temperature=warm)
    assert speed == pytest.approx(np.sqrt(pipe_flow.R_DRY_AIR * warm), rel=1e-4)


def _many_pipes(seed, many=500):
    stream = np.random.default_rng(seed)
    pipes = {
        "length": stream.uniform(1.0, 300.0, many), "bore": stream.uniform(0.006, 0.06, many), "roughness": 4.5e-5,
        "temperature": stream.uniform(263.0, 323.0, many), "loss": stream.uniform(0.0, 20.0, many),
    }  # fmt: skip
    first = stream.uniform(2e5, 14e5, many)
    most = pipe_flow.pipe_mass_flow(first, downstream_pressure=1.0, **pipes)
    return pipes, first, most * stream.uniform(0.001, 0.999, many)


def test_two_halves_of_a_pipe_lose_what_the_whole_loses():
    pipes, first, flow = _many_pipes(11)
    half = {**pipes, "length": 0.5 * pipes["length"], "loss": 0.5 * pipes["loss"]}
    middle = pipe_flow.outlet_pressure(flow, pressure=first, **half)
    behind = pipe_flow.outlet_pressure(flow, pressure=middle, **half)
    whole = pipe_flow.outlet_pressure(flow, pressure=first, **pipes)
    assert np.all((whole > 0.0) & (whole < middle) & (middle < first))
    np.testing.assert_allclose(behind, whole, rtol=1e-9)


def test_a_flow_is_found_again_from_its_pressures():
    pipes, first, flow = _many_pipes(12)
    behind = pipe_flow.outlet_pressure(flow, pressure=first, **pipes)
    again = pipe_flow.pipe_mass_flow(first, downstream_pressure=behind, **pipes)
    np.testing.assert_allclose(again, flow, rtol=1e-8)


def test_a_loss_counts_as_the_pipe_that_loses_as_much():
    flow, extra = 0.02, 7.0
    reynolds = 4.0 * flow / (np.pi * PIPE["bore"] * pipe_flow.viscosity(PIPE["temperature"]))
    factor = pipe_flow.friction_factor(reynolds, relative_roughness=PIPE["roughness"] / PIPE["bore"])
    longer = {**PIPE, "length": PIPE["length"] + extra * PIPE["bore"] / float(factor)}
    with_loss = pipe_flow.square_drop(flow, loss=extra, **PIPE)
    assert float(with_loss) == pytest.approx(float(pipe_flow.square_drop(flow, **longer)), rel=1e-12)


def test_slow_air_loses_what_poiseuille_says():
    flow, bore, warm = 1e-6, PIPE["bore"], PIPE["temperature"]
    density = 8e5 / (pipe_flow.R_DRY_AIR * warm)
    poiseuille = 128.0 * float(pipe_flow.viscosity(warm)) * PIPE["length"] * flow / (density * np.pi * bore**4)
    lost = 8e5 - float(pipe_flow.outlet_pressure(flow, pressure=8e5, **PIPE))
    assert lost == pytest.approx(poiseuille, rel=1e-6)


def test_everything_broadcasts():
    flows, bores = np.array([[0.001], [0.01], [0.02]]), np.array([0.015, 0.02, 0.03, 0.05])
    pipe = {**PIPE, "bore": bores}
    behind = pipe_flow.outlet_pressure(flows, pressure=8e5, **pipe)
    assert behind.shape == pipe_flow.square_drop(flows, **pipe).shape == (3, 4)
    one = pipe_flow.outlet_pressure(0.01, pressure=8e5, **{**PIPE, "bore": 0.03})
    assert behind[1, 2] == pytest.approx(float(one), rel=1e-14)
    assert pipe_flow.pipe_mass_flow(8e5, downstream_pressure=[7e5, 7.9e5, 1e5, 7e5], **pipe).shape == (4,)


def test_the_plant_file_knows_every_coupler():
    assert coupler.coupler_kinds() == CouplerKind.__args__


def test_air_thickens_with_warmth():
    cold, warm = pipe_flow.viscosity([253.15, 333.15])
    assert cold < 1.72e-5 < warm
    assert np.isclose(pipe_flow.viscosity(273.15), 1.716e-5)
