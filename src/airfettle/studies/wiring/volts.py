"""Which voltage stands on every wire of a train, given which devices join their terminals."""

from __future__ import annotations

from collections.abc import Mapping

from airfettle.studies.wiring.circuit import Device
from airfettle.studies.wiring.netlist import Wires


class Volts:
    """Wires joined by closed contacts, and the sources that each group of them stands on."""

    def __init__(self, wires: Wires, conducting: Mapping[tuple[int, str], bool]) -> None:
        self.wires = wires
        self._up: dict[str, str] = {net: net for net in wires.net_of.values()}
        self._on: dict[str, set[str]] = {}
        for (at, tag), device in wires.devices.items():
            if conducting[at, tag]:
                for top, bottom in zip(device.terminals[::2], device.terminals[1::2], strict=False):
                    self._join(at, (tag, top), (tag, bottom))

    def _root(self, net: str) -> str:
        while self._up[net] != net:
            net = self._up[net]
        return net

    def _join(self, at: int, one: tuple[str, str], other: tuple[str, str]) -> None:
        nets = self.wires.net_of.get((at, one)), self.wires.net_of.get((at, other))
        if nets[0] is not None and nets[1] is not None:
            self._up[self._root(nets[0])] = self._root(nets[1])

    def _put(self, net: str | None, source: str) -> None:
        if net is not None:
            self._on.setdefault(self._root(net), set()).add(source)

    def at(self, net: str) -> frozenset[str]:
        """Return the sources that a wire stands on; none where it is dead."""
        return frozenset(self._on.get(self._root(net), ()))

    def feed(self) -> None:
        """Put the supply's voltages on its wires, and those of converters and transformers that it reaches."""
        for (at, tag), device in self.wires.devices.items():
            if device.symbol == "box" and device.words[:1] == ("supply",):
                for name in device.terminals:
                    self._put(self.wires.net_of.get((at, (tag, name))), f"{tag} {name}")
        for (at, tag), device in self.wires.devices.items():
            for into, out in (("L1", "A"), ("L2", "B"), ("H1", "X1"), ("H2", "X2")):
                if {into, out} <= set(device.terminals) and self.apart(tag, into=True) > 1:
                    self._put(self.wires.net_of.get((at, (tag, out))), f"{tag} {out}")
            if {"A", "B", "C"} <= set(device.terminals) and self.apart(tag, into=True) > 1:
                self._put(self.wires.net_of.get((at, (tag, "C"))), f"{tag} C")

    def feed_inputs(self, running: bool) -> None:
        """Put the drive's own 24 V on its control wires, and its output on the motor's while it runs."""
        drive = self.wires.tag("U", 1)
        for tag, name, source in ((f"{drive}:24", "24V", "24V"), (f"{drive}:in", "0V", "0V")):
            self._put(self.wires.nets(tag).get(name), source)
        for name in ("U", "V", "W", "T1", "T2", "T3"):
            if running:
                self._put(self.wires.nets(drive).get(name), f"{drive} {name}")

    def apart(self, tag: str, *, into: bool = False, at: int | None = None) -> int:
        """Return at how many different voltages a device's terminals stand; ``into`` counts its feeding ones only."""
        nets = self.wires.nets(tag, at=at)
        found = {self.at(net) for name, net in nets.items() if not into or name[0] in "LNH"}
        return len(found - {frozenset()})

    def across(self, device: Device, *, at: int) -> bool:
        """Return whether a load of two terminals stands between two voltages."""
        return self.apart(device.tag, at=at) > 1
