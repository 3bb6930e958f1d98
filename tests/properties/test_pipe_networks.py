"""Networks of pipe: mass, falls, symmetry, scaling, more pipe never hurting the lower place, order."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pipe_nets import OUTSIDE, STOCK, all_on, net, ring, tool

from airfettle.air.nozzle import conductance_mass_flow
from airfettle.air.pipe_flow import outlet_pressure, square_drop, viscosity
from airfettle.errors import UnsuitableNumbers
from airfettle.studies.pipework import laws, nodal
from airfettle.studies.pipework.layout import layout_of
from airfettle.studies.pipework.needs import receiver_needs
from airfettle.studies.pipework.network import Line, laws_of
from airfettle.studies.pipework.running import worst_first
from airfettle.studies.pipework.solve import solve

RECEIVER = np.array([9e5])
EXAMPLES = settings(max_examples=60, deadline=None)


def random_net(seed, *, loops=True, choked=True):
    """A tree with some pipes more, tools at some nodes."""
    stream = np.random.default_rng(seed)
    many = int(stream.integers(4, 14))

    def pipe(a, b):
        return (a, b, float(stream.uniform(1.0, 30.0)), float(stream.choice([0.013, 0.016, 0.021, 0.027])),
                float(stream.uniform(0.0, 5.0)))  # fmt: skip

    pipes = [pipe(int(stream.integers(0, n)), n) for n in range(1, many)]
    pairs = {tuple(sorted(p[:2])) for p in pipes}
    for _ in range(int(stream.integers(1, 5)) if loops else 0):
        a, b = (int(n) for n in stream.choice(many, 2, replace=False))
        if tuple(sorted((a, b))) not in pairs:
            pairs.add(tuple(sorted((a, b))))
            pipes.append(pipe(a, b))
    tools = []
    for node in stream.choice(np.arange(1, many), size=int(stream.integers(1, many)), replace=False):
        law = "choked" if choked and stream.random() < 0.4 else "regulated"
        tools.append((int(node), tool(float(stream.uniform(0.0005, 0.008)), law=law, name=f"t{node}")))
    return net(pipes, tools, leak=float(stream.uniform(0.0, 1e-9)))


def balance(network, solved):
    """Most that mass is off at a node other than the sources, over all flow. [-]"""
    given = laws_of(network)
    at = network.solved_node
    off = np.zeros(network.layout.nodes)
    for k, line in enumerate(network.lines):
        off[at[line.start]] -= solved.flow[0, 0, k]
        off[at[line.end]] += solved.flow[0, 0, k]
    np.add.at(off, given["at_node"], -solved.draw[0, 0])
    off -= given["leaks"][0] * RECEIVER[0]
    off[network.layout.sources] = 0.0
    return np.max(np.abs(off)) / max(float(solved.draw.sum()), 1e-12)


@EXAMPLES
@given(st.integers(0, 10**6))
def test_mass_is_kept_and_pressure_falls_along_the_flow(seed):
    network = random_net(seed)
    solved = solve(network, on=all_on(network), receiver_pressure=RECEIVER)
    assert solved.settled
    assert balance(network, solved) < 1e-9
    for k, line in enumerate(network.lines):
        fall = solved.pressure[0, 0, line.start] - solved.pressure[0, 0, line.end]
        flow = solved.flow[0, 0, k]
        if abs(flow) > 1e-9:
            assert fall * flow > 0.0
    ends = solved.pressure[0, 0][[o.node for o in network.outlets]]
    assert np.all(solved.inlet[0, 0] < ends)


@EXAMPLES
@given(st.integers(0, 10**6))
def test_every_law_holds_at_the_solution(seed):
    """Each pipe by the array functions of ``air``, each tool by its own law, each coupler by ISO 6358."""
    network = random_net(seed)
    solved = solve(network, on=all_on(network), receiver_pressure=RECEIVER)
    for k, line in enumerate(network.lines):
        flow = float(solved.flow[0, 0, k])
        ends = [float(solved.pressure[0, 0, n]) for n in (line.start, line.end)]
        first, last = ends if flow >= 0.0 else ends[::-1]
        wanted = outlet_pressure(
            abs(flow), pressure=first, length=network.length[0, k], bore=network.bore[k], roughness=4.5e-5,
            temperature=293.15, loss=network.loss[k],
        )  # fmt: skip
        assert last == pytest.approx(float(wanted), abs=1e-5 * (first - last) + 0.02)
    for j, outlet in enumerate(network.outlets):
        use, draw, inlet = network.uses[outlet.use], solved.draw[0, 0, j], solved.inlet[0, 0, j]
        full = use.flow[0] * inlet / use.full_pressure[0]
        assert draw == pytest.approx(min(full, use.flow[0]) if use.law == "regulated" else full, rel=1e-8)
        before = float(solved.pressure[0, 0, outlet.node])
        behind = float(laws.hose_before(draw, inlet, laws_of(network)["hoses"][0], j, fits(network)))
        passes = conductance_mass_flow(
            5e-8, pressure=before, downstream_pressure=behind, temperature=293.15, critical_ratio=0.3
        )
        assert draw == pytest.approx(float(passes), rel=1e-5)


def fits(network):
    return laws.friction_fits(np.asarray(laws_of(network)["roughs"]))


def test_symmetry():
    """Both ways round an even ring are alike."""
    pipes = [(0, 1, 5.0, 0.027, 2.0)] + [(1 + i, 1 + (i + 1) % 6, 6.0, 0.021, 1.0) for i in range(6)]
    use = tool(0.004)
    solved = solve(net(pipes, [(1 + i, use) for i in range(6)]), on=np.ones((1, 6)), receiver_pressure=RECEIVER)
    inlet = solved.inlet[0, 0]
    assert inlet[1] == pytest.approx(inlet[5], rel=1e-9)
    assert inlet[2] == pytest.approx(inlet[4], rel=1e-9)
    assert inlet[3] == min(inlet)


def test_scaling():
    """At twice the pressure and twice the flow, pressures double where friction does not change with the flow."""

    def at(scale):
        pipes = [(0, 1, 20.0, 0.02, 400.0), (1, 2, 10.0, 0.016, 300.0), (0, 2, 15.0, 0.016, 500.0)]
        use = tool(0.008 * scale, full=2e5 * scale, needed=1e5 * scale)
        network = replace(net(pipes, [(2, use)], coupler=0.0, hose=(0.0, 0.01)), length=np.full((1, 3), 1e-9))
        return solve(network, on=np.ones((1, 1)), receiver_pressure=RECEIVER * scale)

    one, two = at(1.0), at(2.0)
    np.testing.assert_allclose(two.pressure, 2.0 * one.pressure, rtol=1e-9)
    np.testing.assert_allclose(two.flow, 2.0 * one.flow, rtol=1e-9)


@EXAMPLES
@given(st.integers(0, 10**6))
def test_joining_two_places_never_lowers_the_lower_of_the_two(seed):
    network = random_net(seed, choked=False)
    before = solve(network, on=all_on(network), receiver_pressure=RECEIVER).pressure[0, 0]
    stream = np.random.default_rng(seed + 1)
    a, b = (int(n) for n in stream.choice(len(network.nodes), 2, replace=False))
    joined = replace(
        network, lines=(*network.lines, Line("new", "new", a, b, STOCK)),
        length=np.column_stack([network.length, [10.0]]), extra=np.column_stack([network.extra, [0.0]]),
        loss=np.append(network.loss, 1.0), bore=np.append(network.bore, 0.016),
        roughness=np.append(network.roughness, 4.5e-5),
    )  # fmt: skip
    after = solve(joined, on=all_on(joined), receiver_pressure=RECEIVER).pressure[0, 0]
    assert after[[a, b]].min() >= before[[a, b]].min() - 1e-3


@EXAMPLES
@given(st.integers(0, 10**6))
def test_more_tools_lower_every_pressure_of_a_tree(seed):
    network = random_net(seed, loops=False)
    many = len(network.outlets)
    on = np.vstack([np.ones(many), *(1.0 - np.eye(many))])
    inlet = solve(network, on=on, receiver_pressure=RECEIVER).pressure[0]
    assert np.all(inlet[1:] >= inlet[0] - 1e-3)


@EXAMPLES
@given(st.integers(0, 10**6))
def test_order_does_not_matter(seed):
    network = random_net(seed)
    stream = np.random.default_rng(seed)
    pipes, tools = stream.permutation(len(network.lines)), stream.permutation(len(network.outlets))
    other = replace(
        network, lines=tuple(network.lines[k] for k in pipes), length=network.length[:, pipes],
        extra=network.extra[:, pipes], loss=network.loss[pipes], bore=network.bore[pipes],
        roughness=network.roughness[pipes], outlets=tuple(network.outlets[j] for j in tools),
    )  # fmt: skip
    first = solve(network, on=all_on(network), receiver_pressure=RECEIVER)
    second = solve(other, on=all_on(other), receiver_pressure=RECEIVER)
    np.testing.assert_allclose(second.inlet[0, 0], first.inlet[0, 0][tools], rtol=1e-8)
    np.testing.assert_allclose(second.flow[0, 0], first.flow[0, 0][pipes], atol=1e-9)


@EXAMPLES
@given(st.integers(0, 10**6))
def test_both_forms_give_the_same(seed):
    network = random_net(seed)
    solved = solve(network, on=all_on(network), receiver_pressure=RECEIVER)
    square, flow, inlet, draw, _ = nodal.solve_nodes(
        network.layout, fit=fits(network), given=laws_of(network), row=0, sources=RECEIVER, on=all_on(network)[0]
    )
    np.testing.assert_allclose(np.sqrt(square)[network.solved_node], solved.pressure[0, 0], rtol=1e-8)
    np.testing.assert_allclose(flow, solved.flow[0, 0], atol=1e-8 * float(draw.sum()))
    np.testing.assert_allclose(inlet, solved.inlet[0, 0], rtol=1e-8)


def test_more_loops_than_the_loop_form_is_for_are_solved_by_nodes(monkeypatch):
    side = 7
    pipes = [
        (i * side + j, a * side + b, 4.0, 0.021, 1.0)
        for i in range(side) for j in range(side) for a, b in ((i + 1, j), (i, j + 1)) if a < side and b < side
    ]  # fmt: skip
    use = tool(0.004)
    network = net(pipes, [(n, use) for n in (10, 24, 48)])
    assert network.layout.loops == 36 > nodal.MOST_LOOPS
    by_nodes = solve(network, on=all_on(network), receiver_pressure=RECEIVER)
    monkeypatch.setattr("airfettle.studies.pipework.solve.MOST_LOOPS", 100)
    by_loops = solve(network, on=all_on(network), receiver_pressure=RECEIVER)
    np.testing.assert_allclose(by_nodes.pressure, by_loops.pressure, rtol=1e-9)
    np.testing.assert_allclose(by_nodes.inlet, by_loops.inlet, rtol=1e-9)


def test_several_sources_stand_at_one_pressure():
    pipes = [(0, 1, 10.0, 0.021, 1.0), (1, 2, 10.0, 0.021, 1.0), (2, 3, 10.0, 0.021, 1.0)]
    one, two = (
        solve(net(pipes, [(2, tool(0.01))], sources=s), on=np.ones((1, 1)), receiver_pressure=RECEIVER)
        for s in ((0,), (0, 3))
    )
    assert two.pressure[0, 0, 3] == two.pressure[0, 0, 0] == RECEIVER[0]
    assert two.inlet[0, 0, 0] > one.inlet[0, 0, 0]
    assert two.flow[0, 0, 2] < 0.0 < two.flow[0, 0, 0]


def test_a_tool_that_stands_sees_the_end_of_its_drop():
    network = ring(4)
    solved = solve(network, on=np.array([[1.0, 0.0, 0.0, 0.0]]), receiver_pressure=RECEIVER)
    ends = solved.pressure[0, 0][[o.node for o in network.outlets]]
    np.testing.assert_allclose(solved.inlet[0, 0, 1:], ends[1:], rtol=1e-12)
    assert np.all(solved.draw[0, 0, 1:] == 0.0)


def test_starved_tools_take_less():
    network = ring(8, bore=0.012, use=tool(0.02, count=8))
    solved = solve(network, on=all_on(network), receiver_pressure=RECEIVER)
    assert solved.settled
    assert np.all(solved.draw < 0.02)
    assert np.all(solved.inlet > OUTSIDE * 0.5)
    assert balance(network, solved) < 1e-9


def test_a_regulator_holds_what_it_is_set_to():
    network = ring(3)
    network = replace(network, set_pressure=np.full((1, 3), 6e5))
    solved = solve(network, on=all_on(network), receiver_pressure=RECEIVER)
    assert np.all(solved.inlet < 6e5)
    still = solve(network, on=np.zeros((1, 3)), receiver_pressure=RECEIVER)
    np.testing.assert_allclose(still.inlet, 6e5)


def test_filters_before_the_pipe_take_their_drop_of_all_the_flow():
    network = ring(3, line=2e12)
    solved = solve(network, on=all_on(network), receiver_pressure=RECEIVER)
    total = float(solved.draw.sum())
    assert RECEIVER[0] - solved.pressure[0, 0, 0] == pytest.approx(2e12 * total**2 / RECEIVER[0], rel=1e-9)


@EXAMPLES
@given(st.integers(0, 10**6), st.floats(0.0, 3e12))
def test_the_network_backwards_gives_the_receiver_pressure_that_just_does(seed, line):
    """With a tool's need at the receiver, its inlet stands at what it needs, by the forward form."""
    network = replace(random_net(seed, choked=False), line=np.array([line]), leak=np.zeros(1))
    uses = tuple(replace(use, full_pressure=use.needed_pressure) for use in network.uses)
    network = replace(network, uses=uses)
    counts = np.ones((1, len(uses)), dtype=np.int64)
    needs = receiver_needs(network, order=worst_first(network), counts=counts)
    most = int(np.argmax(needs.needed[0]))
    if needs.needed[0, most] > 5e6:
        return
    solved = solve(network, on=all_on(network), receiver_pressure=needs.needed[0, most : most + 1] * (1 + 1e-9))
    place = next(j for j, o in enumerate(network.outlets) if o.use == most)
    lost = needs.needed[0, most] - uses[most].needed_pressure[0]
    off = solved.inlet[0, 0, place] - uses[most].needed_pressure[0]
    assert abs(off) < 5e-3 * lost + 1.0  # speeding up is that of another pressure


@given(st.floats(1e-5, 0.1), st.floats(1e5, 1.2e6), st.floats(1e-9, 3e-7), st.floats(0.05, 0.49))
def test_a_coupler_backwards(flow, behind, conductance, ratio):
    capacity = conductance * 1.185
    before = laws.coupler_before(flow, behind, capacity, ratio)
    if before * ratio > behind * (1 + 1e-9) or flow >= capacity * before * (1 - 1e-12):
        assert before == pytest.approx(max(flow / capacity, behind), rel=1e-6)  # choked: any lower pressure will do
    else:
        assert laws.coupler(flow, before, capacity, ratio) == pytest.approx(behind, rel=1e-7)


@given(st.floats(1e-6, 0.05), st.floats(3e5, 1.2e6))
def test_laws_for_the_loops_are_those_of_the_arrays(flow, pressure):
    bore, rough, length, warm = 0.013, 2e-5, 12.0, 288.15
    fit = laws.friction_fits(np.array([rough / bore]))
    sticky = float(viscosity(warm))
    law = np.array([[16 * 287.055 * warm / (np.pi**2 * bore**4), length / bore, 0.0, 2.5, 0.0,
                     4 / (np.pi * bore * sticky)]])  # fmt: skip
    pipe = {"length": length, "bore": bore, "roughness": rough, "temperature": warm, "loss": 2.5}
    assert laws.pipe(flow, law, 0, 0.0, fit)[0] == pytest.approx(float(square_drop(flow, **pipe)), rel=2e-6)
    behind = laws.hose_behind(flow, pressure, law, 0, fit)
    wanted = float(outlet_pressure(flow, pressure=pressure, **pipe))
    if wanted > 0.1 * pressure:
        assert behind == pytest.approx(wanted, rel=1e-5)
        assert laws.hose_before(flow, behind, law, 0, fit) == pytest.approx(pressure, rel=1e-6)


def test_slopes_are_those_of_the_fall():
    law = np.array([[5e9, 300.0, 0.0, 3.0, 1e9, 4e6]])
    fit = laws.friction_fits(np.array([1e-3]))
    for flow in (1e-4, 4e-4, 7e-4, 2e-3, 0.01, -0.01):
        near = [laws.pipe(flow * (1 + e), law, 0, 0.01, fit)[0] for e in (-1e-5, 1e-5)]
        slope = (near[1] - near[0]) / (2e-5 * flow)
        assert laws.pipe(flow, law, 0, 0.01, fit)[1] == pytest.approx(slope, rel=1e-3)


def test_a_layout_that_does_not_hang_together():
    ends = np.array([0, 2]), np.array([1, 3])
    with pytest.raises(UnsuitableNumbers, match="no pipe joins"):
        layout_of(4, start=ends[0], end=ends[1], sources=np.array([0]), weight=np.ones(2))
    with pytest.raises(UnsuitableNumbers, match="ends where it begins"):
        layout_of(2, start=np.array([0, 1]), end=np.array([1, 1]), sources=np.array([0]), weight=np.ones(2))
