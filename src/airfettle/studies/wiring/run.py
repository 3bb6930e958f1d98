"""A run of wires side by side, led through one device after the other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from airfettle.studies.wiring.circuit import Pin, State
from airfettle.studies.wiring.joints import Joints, NetSort


@dataclass
class Run:
    """Wires of one size and sort, each by its name, and the terminal it has come to.

    Attributes
    ----------
    joints : Joints
        The circuit they belong to.
    at : dict
        Name -> pin.
    wire, sort, state, finding : str
        What all of them are: see Net.
    """

    joints: Joints
    at: dict[str, Pin]
    wire: str = ""
    sort: NetSort = "line"
    state: State = "there"
    finding: str = ""
    names: tuple[str, ...] = field(default=())

    def join(self, name: str, *pins: Pin, number: str = "") -> None:
        """Join a wire to terminals."""
        self.joints.join(self.at[name], *pins, number=number, wire=self.wire, sort=self.sort, state=self.state,
                         finding=self.finding)  # fmt: skip

    def through(self, tag: str) -> None:
        """Lead the wires through a device, pole by pole."""
        for place, name in enumerate(self.names):
            self.join(name, (tag, str(2 * place + 1)))
            self.at[name] = (tag, str(2 * place + 2))

    def to(self, tag: str, terminals: Iterable[str]) -> None:
        """Lead the wires to terminals of a device, in order; terminals beyond the wires stay free."""
        for name, terminal in zip(self.names, terminals, strict=False):
            self.join(name, (tag, terminal))

    def of(self, names: tuple[str, ...]) -> Run:
        """Return a run of some of the wires, from where they are; both go their own ways from here."""
        return replace(self, at=dict(self.at), names=names)


def poles(count: int) -> tuple[str, ...]:
    """Return the terminals of a device of so many poles, pole by pole."""
    return tuple(str(number + 1) for number in range(2 * count))
