"""Make pipe_networks.json: networks of pipe and what pandapipes finds in them. See README.md beside this file.

Run by a Python that has pandapipes, from anywhere:  python make_pipe_networks.py
"""

import json
import math
from importlib.metadata import version
from itertools import pairwise
from pathlib import Path

import numpy as np
import pandapipes

FILE = Path(__file__).with_name("pipe_networks.json")
BAR, ATMOSPHERE = 1e5, 1.01325
TEMPERATURE, NORMAL = 293.15, 273.15
OPTIONS = {
    "friction_model": "colebrook", "mode": "hydraulics", "ambient_temperature": TEMPERATURE, "tol_p": 1e-12,
    "tol_m": 1e-12, "tol_res": 1e-10, "max_iter_hyd": 200, "max_iter_colebrook": 100, "tolerance_colebrook": 1e-12,
}  # fmt: skip
STEEL, SMOOTH = 4.5e-5, 1.5e-6
THEIRS, OURS = 3.71, 3.7
"""Divisor of roughness over bore in Colebrook's equation."""


class Net:
    """A network being put together; lengths and flows are drawn and rounded, so that what is stored is exact."""

    def __init__(self, name, seed):
        self.name, self.draw, self.nodes = name, np.random.default_rng(seed), 0
        self.pipes = {key: [] for key in ("from", "to", "length", "bore", "roughness", "loss")}
        self.sources, self.demands = {"node": [], "pressure": []}, {"node": [], "flow": []}

    def node(self):
        self.nodes += 1
        return self.nodes - 1

    def pipe(self, a, b, length, bore, roughness, loss):
        if isinstance(length, tuple):
            length = round(float(self.draw.uniform(*length)), 2)
        if isinstance(loss, tuple):
            loss = round(float(self.draw.uniform(*loss)), 1)
        for key, value in zip(self.pipes, (a, b, length, bore, roughness, loss), strict=True):
            self.pipes[key].append(value)

    def source(self, pressure):
        node = self.node()
        self.sources["node"].append(node)
        self.sources["pressure"].append(pressure)
        return node

    def drop(self, node, bore, roughness, flow, open_share=1.0):
        end = self.node()
        self.pipe(node, end, (2.0, 4.0), bore, roughness, (1.5, 4.0))
        if self.draw.random() < open_share:
            self.demands["node"].append(end)
            self.demands["flow"].append(round(float(self.draw.uniform(*flow)), 6))

    def given(self):
        return {
            "name": self.name, "nodes": self.nodes, "pipes": self.pipes, "sources": self.sources,
            "demands": self.demands,
        }  # fmt: skip


def ring_main(drops, *, seed, bore, roughness, riser, apart, flow, drop_bore, open_share=1.0):
    """A riser from the receiver, a ring, and drops along it."""
    net = Net(f"ring main of {drops} drops", seed)
    receiver = net.source(8e5)
    round_it = [net.node() for _ in range(drops)]
    net.pipe(receiver, round_it[0], riser, bore, roughness, 4.0)
    for i in range(drops):
        net.pipe(round_it[i], round_it[(i + 1) % drops], apart, bore, roughness, (0.0, 1.5))
    for node in round_it:
        net.drop(node, drop_bore, SMOOTH, flow, open_share)
    return net.given()


def ladder():
    """Two mains with six cross pipes, two drops at every joint, a receiver at each of two far corners."""
    net = Net("five loops, two sources, 24 drops", 18)
    first, second = net.source(8e5), net.source(7.97e5)
    left, right = ([net.node() for _ in range(6)] for _ in range(2))
    net.pipe(first, left[0], 20.0, 0.0266, STEEL, 4.0)
    net.pipe(second, right[5], 20.0, 0.0266, STEEL, 4.0)
    for main in (left, right):
        for a, b in pairwise(main):
            net.pipe(a, b, (12.0, 24.0), 0.0199, SMOOTH, (0.5, 2.0))
    for a, b in zip(left, right, strict=True):
        net.pipe(a, b, (8.0, 14.0), 0.0158, STEEL, (0.5, 2.0))
    for node in (*left, *right):
        for _ in range(2):
            net.drop(node, 0.0138, SMOOTH, (0.0009, 0.0038))
    return net.given()


NETS = (
    ring_main(8, seed=2, bore=0.0158, roughness=STEEL, riser=40.0, apart=(16.0, 32.0), flow=(0.0007, 0.0018),
              drop_bore=0.0109),
    ring_main(60, seed=1, bore=0.0414, roughness=SMOOTH, riser=60.0, apart=(8.0, 16.0), flow=(0.0007, 0.003),
              drop_bore=0.0109, open_share=0.75),
    ring_main(1000, seed=3, bore=0.1282, roughness=STEEL, riser=80.0, apart=(2.0, 5.0), flow=(0.0007, 0.0014),
              drop_bore=0.0109, open_share=0.7),
    ladder(),
)  # fmt: skip


def built(given, *, roughness_by=1.0):
    """A net of pandapipes: its own air, but an ideal gas; no heights."""
    net = pandapipes.create_empty_network(fluid="air")
    air = pandapipes.get_fluid(net)
    one, none = pandapipes.FluidPropertyConstant(1.0), pandapipes.FluidPropertyConstant(0.0)
    air.add_property("compressibility", one, warn_on_duplicates=False)
    air.add_property("der_compressibility", none, warn_on_duplicates=False)
    first = given["sources"]["pressure"][0] / BAR - ATMOSPHERE
    pandapipes.create_junctions(net, given["nodes"], pn_bar=first, tfluid_k=TEMPERATURE)
    for node, pressure in zip(given["sources"]["node"], given["sources"]["pressure"], strict=True):
        pandapipes.create_ext_grid(net, node, p_bar=pressure / BAR - ATMOSPHERE, t_k=TEMPERATURE)
    pipes = given["pipes"]
    pandapipes.create_pipes_from_parameters(
        net, pipes["from"], pipes["to"], length_km=np.array(pipes["length"]) / 1e3,
        inner_diameter_mm=np.array(pipes["bore"]) * 1e3, k_mm=np.array(pipes["roughness"]) * roughness_by * 1e3,
        loss_coefficient=np.array(pipes["loss"]),
    )  # fmt: skip
    pandapipes.create_sinks(net, given["demands"]["node"], mdot_kg_per_s=np.array(given["demands"]["flow"]))
    return net


def solved(net):
    """Absolute pressure at every node and flow in every pipe. [Pa] [kg/s]"""
    pandapipes.pipeflow(net, **OPTIONS)
    assert net.converged
    pressure = (net.res_junction["p_bar"].to_numpy() + ATMOSPHERE) * BAR
    return pressure, net.res_pipe["mdot_from_kg_per_s"].to_numpy()


def solved_with_speeding_up(given):
    """The same with 2 ln(p1/p2) put into each pipe's loss until it stays, and 3.7 in Colebrook's equation."""
    net = built(given, roughness_by=THEIRS / OURS)
    loss, start, end = (np.array(given["pipes"][key]) for key in ("loss", "from", "to"))
    pressure, flow = solved(net)
    for _ in range(30):
        net.pipe["loss_coefficient"] = loss + 2.0 * np.abs(np.log(pressure[start] / pressure[end]))
        before = pressure
        pressure, flow = solved(net)
        if np.max(np.abs(pressure - before)) < 1e-6:
            return pressure, flow
    raise AssertionError("speeding up did not settle")


def digits(values, places):
    return [float(f"{v:.{places}g}") for v in values]


def stored(given):
    """A net with what was found in it."""
    pressure, flow = solved(built(given))
    same = solved_with_speeding_up(given)
    return given | {
        "found": {"pressure": digits(pressure, 12), "flow": digits(flow, 12)},
        "found_with_our_laws": {"pressure": digits(same[0], 12), "flow": digits(same[1], 12)},
    }  # fmt: skip


def said(net, air):
    """One line about a net: how much is lost, how fast the air is, what the two laws differ by."""
    pipes, found, same = net["pipes"], net["found"], net["found_with_our_laws"]
    pressure, flow, bore = np.array(found["pressure"]), np.array(found["flow"]), np.array(pipes["bore"])
    lower = np.minimum(pressure[pipes["from"]], pressure[pipes["to"]])
    speed = np.abs(flow) * air["gas_constant"] * TEMPERATURE / lower / (math.pi / 4.0 * bore**2)
    head, drop = pressure.max(), pressure.max() - pressure.min()
    off = np.max(np.abs(np.array(same["pressure"]) - pressure)) / drop
    return (
        f"{net['name']}: largest drop {drop / head:.2%}, fastest {speed.max():.1f} m/s, laws differ by {off:.4%} of it"
    )


def main():
    air = pandapipes.get_fluid(built(NETS[0]))
    normal = float(air.get_density(NORMAL))
    gas = {
        "temperature": TEMPERATURE, "viscosity": float(air.get_viscosity(TEMPERATURE)), "density_normal": normal,
        "temperature_normal": NORMAL, "pressure_normal": ATMOSPHERE * BAR,
        "gas_constant": ATMOSPHERE * BAR / (NORMAL * normal), "compressibility": 1.0,
    }  # fmt: skip
    nets = [stored(given) for given in NETS]
    for net in nets:
        print(said(net, gas))
    whole = {
        "made_by": f"pandapipes {version('pandapipes')}",
        "units": "SI, absolute pressure",
        "gas": gas,
        "nets": nets,
    }
    FILE.write_text(json.dumps(whole, separators=(",", ":")).replace('{"name"', '\n{"name"') + "\n", encoding="utf-8")
    print(f"{FILE.name}: {FILE.stat().st_size / 1e3:.0f} kB")


if __name__ == "__main__":
    main()
