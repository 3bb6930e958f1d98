"""What every kind of stop does, worked out by following the wires of a train's circuits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from airfettle.studies.wiring.circuit import Circuit
from airfettle.studies.wiring.live import settled
from airfettle.studies.wiring.netlist import Cause, Running, Wires, wires_of

Answer = str
"""yes, no, not told, or a few words."""


@dataclass(frozen=True)
class Stop:
    """What one kind of stop does.

    Attributes
    ----------
    kind : str
        What happens.
    opens : tuple of str
        Tags of contacts that open and coils that fall out, in the circuits' order.
    motor_stops, head_vented, restarts : str
        Whether the motor stops; whether the head is emptied; whether it runs again by itself once the cause is gone
        and air is asked for: yes, no or not told.
    fan : str
        What the cooler's fan does: stops, runs on, keeps running, no fan, or not told.
    """

    kind: str
    opens: tuple[str, ...]
    motor_stops: Answer
    head_vented: Answer
    fan: Answer
    restarts: Answer


@dataclass(frozen=True)
class _Kind:
    """A kind of stop: its words and cause, whether a train can have it, and which setting lets it start again."""

    words: str
    cause: Cause
    possible: Callable[[Wires], bool]
    allowed: tuple[str, ...] = ()


POWER, FAULT, RELEASE = "power coming back", "a fault that resets itself", "release of the emergency stop"
KINDS = (
    _Kind("pressure reached", Cause(pressure_reached=True), lambda wires: True),
    _Kind("emergency stop", Cause(opened=("S0",)), lambda wires: wires.has("S", 0), (RELEASE,)),
    _Kind("stop button", Cause(opened=("S1",)), lambda wires: wires.has("S", 1), (RELEASE,)),
    _Kind("high-pressure switch", Cause(opened=("B2",)), lambda wires: wires.has("B", 2), (FAULT, RELEASE)),
    _Kind("fault of the drive", Cause(fault=True), lambda wires: wires.on_drive, (FAULT,)),
    _Kind("overload relay trips", Cause(opened=("F3",)), lambda wires: wires.has("F", 3), (FAULT,)),
    _Kind("power failure", Cause(dead=True), lambda wires: True, (POWER,)),
    _Kind("disconnect opened", Cause(opened=("Q1",)), lambda wires: wires.has("Q", 1), (POWER,)),
    _Kind("isolator behind the drive opened", Cause(opened=("Q3",)), lambda wires: wires.has("Q", 3), (RELEASE,)),
    _Kind("wire broken at the pressure switch", Cause(opened=("B1",)),
          lambda wires: bool(wires.terminals(wires.tag("B", 1)))),
    _Kind("wire broken at the transducer", Cause(signal_lost=True), lambda wires: wires.has("B", 6), (FAULT,)),
)  # fmt: skip
"""A lost signal stops a drive as a fault does, and starts again as one."""
PAST_OVERLOAD = _Kind("overload relay past the drive trips", Cause(opened=("F5",)), lambda wires: wires.has("F", 5),
                      (FAULT,))  # fmt: skip
OF_THE_DRIVE = tuple(kind for kind in KINDS if kind.cause.fault or kind.cause.signal_lost)
"""Kinds that stop nothing past the drive because only the drive knows of them."""


def stops(*circuits: Circuit) -> tuple[Stop, ...]:
    """Return what every kind of stop does to one train.

    Parameters
    ----------
    circuits : Circuit
        Its power and control circuit, both as they are or both corrected; of a power circuit that shows several
        trains, the train that the control circuit belongs to. [text]

    Returns
    -------
    tuple of Stop
        One for each kind that this train can have. [text]

    Notes
    -----
    The train runs with all speeds asked for; then one thing opens, fails or trips, and contacts, coils and the
    drive's relays are followed until nothing changes.  A relay that holds itself stays out.  Missing devices are
    taken as a plain wire.  What the drive does by its settings (restart, lost signal) is as told.

    Valid: of one thing at a time.  A welded contact or a wire that touches another is not looked at.
    """
    return _stops(wires_of(circuits), past_drive=False)


def _stops(wires: Wires, *, past_drive: bool) -> tuple[Stop, ...]:
    """What every kind of stop does where it can run at all; past the drive, the kinds that are not the drive's."""
    whole = Cause(past_drive=past_drive)
    running = settled(wires, whole, pressed=True)
    kinds = [kind for kind in (*KINDS, PAST_OVERLOAD) if kind.possible(wires)
             and (kind not in OF_THE_DRIVE if past_drive else kind is not PAST_OVERLOAD)]  # fmt: skip
    return tuple(_stop(wires, running, kind, whole) for kind in kinds) if running.motor else ()


def _stop(wires: Wires, running: Running, kind: _Kind, whole: Cause) -> Stop:
    cause = replace(kind.cause, past_drive=whole.past_drive)
    after = settled(wires, cause, before=running)
    late = settled(wires, replace(cause, late=True), before=after)
    mended = settled(wires, whole, before=late)
    stopped = not late.motor
    lost = cause.signal_lost
    opens = tuple(tag for tag in running.closed if tag not in after.closed)
    return Stop(
        kind.words, opens, _yes(stopped) if not lost else _lost(wires, stopped),
        _vented(wires, after, stopped, cause), _fan(wires, running, after, late),
        _restarts(wires, mended, kind, past_drive=whole.past_drive) if stopped else "it never stopped",
    )  # fmt: skip


def _yes(holds: bool) -> Answer:
    return "yes" if holds else "no"


def _lost(wires: Wires, stopped: bool) -> Answer:
    told = wires.outside.get("lost signal", "unknown")
    return {"stops": "yes", "runs on": "no"}.get(told, "not told") if wires.on_drive else "not told"


def _vented(wires: Wires, after: Running, stopped: bool, cause: Cause) -> Answer:
    """Whether the head is emptied: by the valve if its coil is dead, else as the kind of unloader works."""
    if wires.has("Y", 1):
        return _yes(not after.live(wires.tag("Y", 1)))
    kind = wires.outside.get("unloader", "unknown")
    if kind == "valve on the pressure switch":
        return _yes(cause.pressure_reached)
    if kind == "opens by speed (centrifugal)":
        return _yes(stopped)
    return "no" if kind == "none" else "not told"


def _fan(wires: Wires, running: Running, after: Running, late: Running) -> Answer:
    fan = wires.tag("M", 2)
    if not wires.has("M", 2):
        return "no fan here"
    if not running.live(fan):
        return "not told"
    if late.live(fan):
        return "keeps running"
    return "runs on" if after.live(fan) else "stops"


def _restarts(wires: Wires, mended: Running, kind: _Kind, *, past_drive: bool) -> Answer:
    """Whether it runs again once the cause is gone: as the wires have it, and as far as the settings let it."""
    if not mended.motor:
        return "no"
    if not kind.allowed:
        return "yes"
    told = wires.outside.get("restarts", "unknown")
    if kind.cause.signal_lost and not wires.on_drive:
        return "not told"  # a controller's own doing
    if not wires.on_drive or past_drive:
        return "yes"  # no setting stands between: the wires alone decide
    if told == "unknown":
        return "not told"
    return _yes(told in kind.allowed or told == "several of these")


@dataclass(frozen=True)
class TrainStops:
    """What every kind of stop does to one train, as it is or corrected.

    Attributes
    ----------
    train, corrected : str, bool
        Which.
    stops : tuple of Stop
        On its drive where it has one; empty where it does not run as wired.
    past_drive : tuple of Stop
        The same past the drive; empty without a bypass or where nothing drawn pulls its contactor in.
    bypass : str
        What to know of a bypass in reading either; empty without one.
    """

    train: str
    corrected: bool
    stops: tuple[Stop, ...]
    past_drive: tuple[Stop, ...] = ()
    bypass: str = ""


def stops_of(circuits: tuple[Circuit, ...]) -> tuple[TrainStops, ...]:
    """Return what every kind of stop does to each train that has a control circuit, or to a plant that has none.

    Parameters
    ----------
    circuits : tuple of Circuit
        As ``circuits`` returns them. [text]

    Returns
    -------
    tuple of TrainStops
        Each train as it is and, where a circuit of it was put right, corrected. [text]
    """
    names = dict.fromkeys(circuit.train for circuit in circuits if circuit.sort == "control")
    found = []
    for name in names or {circuits[0].train: None}:
        for right in (False, True):
            own = _own(circuits, name, right=right)
            if not right or any(circuit.corrected for circuit in own):
                found.append(_of_train(name, own, right=right))
    return tuple(found)


def _of_train(name: str, own: tuple[Circuit, ...], *, right: bool) -> TrainStops:
    wires, usual = wires_of(own), stops(*own)
    contactor = wires.tag("K", 2)
    if not wires.has("K", 2):
        return TrainStops(name, right, usual)
    if not wires.has_coil(contactor):
        return TrainStops(name, right, usual, bypass=NOTHING_PULLS.format(contactor))
    past = _stops(wires, past_drive=True)
    return TrainStops(name, right, usual, past, "On the drive only." if past else NEVER_PAST)


NOTHING_PULLS = (
    "On the drive only. Past the drive: not drawn what pulls {0} in, nobody told. Take it that none of these stops the "
    "motor there but the disconnect and the supply."
)
"""Said of a bypass whose contactor has no coil in the drawing."""
NEVER_PAST = (
    "On the drive only. Past the drive, as it is wired, this motor does not run: leave the selector at the drive."
)
"""Said of a bypass that brings the motor too few wires, or none."""


def _own(circuits: tuple[Circuit, ...], name: str, *, right: bool) -> tuple[Circuit, ...]:
    """Power and control circuit of a train; corrected ones where there are any and they are asked for."""
    found = []
    for sort, trains in (("power", (name, "")), ("control", (name,))):
        fitting = [circuit for circuit in circuits if circuit.sort == sort and circuit.train in trains
                   and (right or not circuit.corrected)]  # fmt: skip
        exact = [circuit for circuit in fitting if circuit.train == name] or fitting
        found += exact[-1:]
    return tuple(found)
