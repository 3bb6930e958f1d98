"""Networks put together from numbers, for tests of their flows."""

from __future__ import annotations

import numpy as np

from airfettle.parts.pipe_stock import read_pipe
from airfettle.quantity.clock import read_hours
from airfettle.studies.day.demand import UseNumbers
from airfettle.studies.pipework.network import Line, Network, Outlet

BAR = 1e5
ROOM, OUTSIDE = 293.15, 101_325.0
STOCK = read_pipe("steel 40 3/4 in")


def tool(flow=0.005, *, full=7.2e5, needed=6.5e5, law="regulated", name="tool", count=1, on=None, off=None, people=()):
    """One use, a row of it."""
    return UseNumbers(
        name=name, path=f"use.{name}", flow=np.array([flow]), law=law, conductance=np.array([flow / full]),
        full_pressure=np.array([full]), needed_pressure=np.array([needed]), lost_on_the_way=np.zeros(1), count=count,
        hours=read_hours("Mon-Fri 08:00-16:00"), on=None if on is None else np.array([on]),
        off=None if off is None else np.array([off]), spread="fixed", variation=np.zeros(1), people=people,
        attended=bool(people),
    )  # fmt: skip


def net(pipes, tools, *, nodes=None, sources=(0,), coupler=5e-8, hose=(8.0, 0.010), line=0.0, leak=0.0, warm=ROOM):
    """A network.

    ``pipes``: (start, end, length, bore, loss); ``tools``: (node, use) pairs.
    """
    many = 1 + max(max(a, b) for a, b, *_ in pipes) if nodes is None else nodes
    uses = tuple({id(use): use for _, use in tools}.values())
    outlets = tuple(Outlet(f"{use.name} {j}", uses.index(use), j, node) for j, (node, use) in enumerate(tools))
    row = np.ones((1, len(tools)))
    return Network(
        nodes=tuple(f"n{i}" for i in range(many)), positions=np.full((many, 3), np.nan),
        lines=tuple(Line(f"p{k}", "main", a, b, STOCK) for k, (a, b, *_) in enumerate(pipes)), outlets=outlets,
        drops=tuple(f"d{j}" for j in range(len(tools))), uses=uses, sources=tuple(sources),
        length=np.array([[p[2] for p in pipes]]), extra=np.zeros((1, len(pipes))), loss=np.array([p[4] for p in pipes]),
        bore=np.array([p[3] for p in pipes]), roughness=np.full(len(pipes), 4.5e-5), conductance=coupler * row,
        critical_ratio=0.3 * row, hose_length=hose[0] * row, hose_bore=hose[1] * row, set_pressure=np.inf * row,
        temperature=np.array([warm]), line=np.array([line]), barometer=np.array([OUTSIDE]), cut_in=np.array([8.5e5]),
        cut_out=np.array([10e5]), leak=np.array([leak]),
    )  # fmt: skip


def ring(drops, *, bore=0.027, apart=6.0, use=None, **more):
    """A ring main: the receiver, a riser, a ring with so many drops, one tool on each."""
    pipes = [(0, 1, 5.0, bore, 2.0)]
    pipes += [(1 + i, 1 + (i + 1) % drops, apart + 0.3 * i, bore, 1.0) for i in range(drops)]
    pipes += [(1 + i, 1 + drops + i, 2.0, 0.016, 3.0) for i in range(drops)]
    use = tool(name="tool", count=drops) if use is None else use
    return net(pipes, [(1 + drops + i, use) for i in range(drops)], **more)


def all_on(network, cases=1):
    """Every tool running."""
    return np.ones((cases, len(network.outlets)))
