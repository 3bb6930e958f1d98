"""All wiring drawings of a plant: power and control of each train as they are, and as they should be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from airfettle.studies.draw import Draw
from airfettle.studies.wiring.circuit import Circuit, Sort
from airfettle.studies.wiring.control import control_circuit
from airfettle.studies.wiring.corrected import corrected
from airfettle.studies.wiring.power import power_circuit
from airfettle.studies.wiring.wired import Wired, WireWords, trains_of


def circuits(
    draw: Draw, *, held: Mapping[str, tuple[str, ...]] | None = None, wires: Sequence[WireWords] | None = None
) -> tuple[Circuit, ...]:
    """Return the circuits of a plant.

    Parameters
    ----------
    draw : Draw
        The plant as drawn; only what it has and how it is wired counts. [SI]
    held : dict, optional
        Rule of a finding that holds -> paths of the parts it concerns, for findings that rest on numbers: a breaker
        too large, a wire too small. Facts need none of it.
    wires : sequence, optional
        Sizes computed, in words, one of each train.

    Returns
    -------
    tuple of Circuit
        For each supply its power circuit as it is and, where something is wrong, missing or not told, as it should
        be; then the same for each train's control circuit. Trains on one supply share a power circuit.
    """
    trains = trains_of(draw, held=held, wires=wires)
    right = [corrected(wired) for wired in trains]
    found: list[Circuit] = []
    for group in _groups(trains):
        mended = tuple(right[wired.place][0] for wired in group)
        sorts = frozenset[Sort]().union(*(right[wired.place][1] for wired in group))
        was = power_circuit(group, fed=_fed(group))
        found.append(was)
        if sorts:
            now = power_circuit(_alike(mended), fed=_fed(mended))
            found += [replace(now, corrected=True)] if "power" in sorts or _differs(was, now) else []
    for wired in trains:
        changed, sorts = right[wired.place]
        there = [control_circuit(wired), control_circuit(changed) if "control" in sorts else None]
        found += [circuit for circuit in there if circuit is not None]
    return tuple(found)


def _groups(trains: tuple[Wired, ...]) -> list[tuple[Wired, ...]]:
    """Trains by the supply that feeds them, in order."""
    by_supply: dict[str, list[Wired]] = {}
    for wired in trains:
        by_supply.setdefault(wired.path("supply"), []).append(wired)
    return [tuple(group) for group in by_supply.values()]


def _fed(group: tuple[Wired, ...]) -> frozenset[int]:
    """Places of the trains whose control circuit has a part fed from the line."""
    controls = {wired.place: control_circuit(wired) for wired in group}
    return frozenset(
        place for place, circuit in controls.items()
        if circuit is not None and any(device.symbol == "box" and device.terminals == ("1",)
                                       for device in circuit.devices)
    )  # fmt: skip


def _alike(group: tuple[Wired, ...]) -> tuple[Wired, ...]:
    """Give all trains of a group the supply that was put right for any of them."""
    changes = {key: rule for wired in group for key, rule in wired.changes.items() if key.startswith("supply.")}
    if not changes:
        return group
    source = next(wired for wired in group if any(key in wired.changes for key in changes))
    return tuple(replace(wired, parts={**wired.parts, "supply": source.parts["supply"]},
                         changes={**wired.changes, **changes}) for wired in group)  # fmt: skip


def _differs(one: Circuit, other: Circuit) -> bool:
    """Whether the wires differ, whatever is said of them."""
    return [net.pins for net in one.nets] != [net.pins for net in other.nets]
