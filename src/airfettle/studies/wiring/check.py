"""Whether a circuit hangs together: what a drawing and a terminal list rely on."""

from __future__ import annotations

from collections import Counter

from airfettle.errors import EntriesDisagree
from airfettle.studies.wiring.circuit import Beside, Circuit, Column, Pin, Step


def check_circuit(circuit: Circuit) -> None:
    """Refuse a circuit that does not hang together.

    Parameters
    ----------
    circuit : Circuit
        Any; those of ``circuits`` pass. [text]

    Raises
    ------
    EntriesDisagree
        A tag or wire number stands twice; a pin is in two nets, or of a device or terminal that is not there; a net
        has fewer than two pins; a device is never used; a column's steps do not follow the nets; a remark is about
        what is not there; or what is wrong or missing names no finding.
    """
    for problem in (_names, _pins, _used, _columns, _said):
        for words in problem(circuit):
            raise EntriesDisagree(
                read=f"{circuit.title} {circuit.train}: {words}", wanted="a circuit that hangs together"
            )


def _twice(items: list[str]) -> list[str]:
    return [item for item, count in Counter(items).items() if count > 1]


def _names(circuit: Circuit) -> list[str]:
    found = [f"two devices {tag}" for tag in _twice([device.tag for device in circuit.devices])]
    found += [f"two wires {number}" for number in _twice([net.number for net in circuit.nets])]
    return found + [
        f"{device.tag} has a terminal twice" for device in circuit.devices if _twice(list(device.terminals))
    ]


def _pins(circuit: Circuit) -> list[str]:
    terminals = {device.tag: device.terminals for device in circuit.devices}
    pins = [pin for net in circuit.nets for pin in net.pins]
    found = [f"{pin} is no terminal of a device" for pin in pins if pin[1] not in terminals.get(pin[0], ())]
    found += [f"{pin} is in two nets" for pin, count in Counter(pins).items() if count > 1]
    return found + [f"wire {net.number} joins nothing" for net in circuit.nets if len(net.pins) < 2]


def _used(circuit: Circuit) -> list[str]:
    used = {tag for net in circuit.nets for tag, _ in net.pins}
    if circuit.panels:
        placed = {tag for panel in circuit.panels for tag in (*panel.above, *panel.below)}
        placed |= {step.tag for panel in circuit.panels for column in panel.columns for step in _steps(column.chain)}
        used &= placed
    return [f"{device.tag} is never used" for device in circuit.devices if device.tag not in used]


def _steps(chain: tuple[Step | Beside, ...]) -> list[Step]:
    found: list[Step] = []
    for item in chain:
        found += [item] if isinstance(item, Step) else [step for way in item.ways for step in _steps(way)]
    return found


def _columns(circuit: Circuit) -> list[str]:
    net_of = {pin: net.number for net in circuit.nets for pin in net.pins}
    found: list[str] = []
    for panel in circuit.panels:
        for column in panel.columns:
            for above, below in _joined(column):
                if above not in net_of or net_of[above] != net_of.get(below):
                    found.append(f"no wire from {above} to {below}")
    return found


def _joined(column: Column) -> list[tuple[Pin, Pin]]:
    """Pairs of pins that a column's order says are joined."""
    found: list[tuple[Pin, Pin]] = []
    last = _follow([column.top], column.chain, found)
    return found + [(pin, column.bottom) for pin in last]


def _follow(above: list[Pin], chain: tuple[Step | Beside, ...], found: list[tuple[Pin, Pin]]) -> list[Pin]:
    for item in chain:
        if isinstance(item, Step):
            found += [(pin, (item.tag, item.top)) for pin in above]
            above = [(item.tag, item.bottom)]
        else:
            above = [pin for way in item.ways for pin in _follow(above, way, found)]
    return above


def _said(circuit: Circuit) -> list[str]:
    known = {device.tag for device in circuit.devices} | {net.number for net in circuit.nets}
    found = [f"a remark about {name}, which is not there" for each in circuit.remarks for name in each.about
             if name not in known]  # fmt: skip
    things = [(device.tag, device.state, device.finding) for device in circuit.devices]
    things += [(net.number, net.state, net.finding) for net in circuit.nets]
    return found + [f"{name} is {state} and names no finding" for name, state, finding in things
                    if state != "there" and not finding]  # fmt: skip
