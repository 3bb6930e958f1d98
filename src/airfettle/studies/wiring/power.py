"""The power circuit: from the supply through protection, disconnect and drive to the motor."""

from __future__ import annotations

from airfettle.studies.wiring.circuit import Circuit, Pin, State
from airfettle.studies.wiring.joints import Joints
from airfettle.studies.wiring.output import drive_output
from airfettle.studies.wiring.power_remarks import power_remarks
from airfettle.studies.wiring.remarks import with_remarks
from airfettle.studies.wiring.run import Run, poles
from airfettle.studies.wiring.starter import starter_power
from airfettle.studies.wiring.wired import Wired
from airfettle.studies.wiring.wires import (
    CONTROL,
    earth_wire,
    protection,
    protection_state,
    supply_wire,
    supply_wire_state,
)

DEVICES = {"breaker": "breaker", "time-delay fuses": "fuse", "fast fuses": "fuse"}

UPSTREAM = "N0"
"""Wire number of a neutral ahead of the ground-fault device; behind it, where the loads hang, it is N."""


def power_circuit(group: tuple[Wired, ...], *, fed: frozenset[int]) -> Circuit:
    """Return the power circuit of the trains that share a supply.

    Parameters
    ----------
    group : tuple of Wired
        Trains on one supply.
    fed : frozenset of int
        Places of the trains whose control circuit has a part fed from the line.

    Returns
    -------
    Circuit
        [text]
    """
    first, joints = group[0], Joints()
    corrected = any(wired.corrected for wired in group)
    supply = _head(joints, group, neutral=_neutral_asked(group, fed))
    earths: list[Pin] = [supply.at["PE"]]
    for wired in group:
        run = supply.of(wired.feed)
        _disconnect(run, wired)
        if wired.place in fed:
            _control_feed(run, wired)
        earths += _drive(run, wired) if wired.on_drive else starter_power(run, wired)
    state, rule = first.seen("supply", "protective_earth", {"no": ("missing", "protective_earth")})
    joints.join(*earths, number="PE", wire=earth_wire(first), sort="earth", state=state, finding=rule)
    circuit = Circuit(
        "power", "Power circuit" + (", corrected" if corrected else ", as it is"),
        first.name if len(group) == 1 else "", corrected, tuple(joints.devices.values()),
        joints.nets(first.number(101), sort="line"),
    )  # fmt: skip
    more, louder = power_remarks(group, circuit)
    return with_remarks(circuit, more, louder=louder)


def _neutral_asked(group: tuple[Wired, ...], fed: frozenset[int]) -> bool:
    """Whether any drive, motor or control circuit behind the supply's devices takes the neutral."""
    return any("N" in wired.feed or (wired.place in fed and "N" in wired.shape.control) for wired in group)


def _head(joints: Joints, group: tuple[Wired, ...], *, neutral: bool) -> Run:
    """Supply, protective device, ground-fault device and converter, which all trains of a supply share."""
    first = group[0]
    shape, kind = first.shape, first.fact("supply", "kind")
    names = max((wired.feed for wired in group), key=len)
    state, rule = first.seen("supply", "kind", {})
    tag = joints.put(
        first.tag("X", 0), "box", shape.terminals, "supply", kind or "kind not told", first.told("supply", "voltage"),
        *shape.words, part=first.path("supply"), state=state, finding=rule,
    )  # fmt: skip
    run = Run(joints, {name: (tag, name) for name in shape.terminals}, supply_wire(first), **supply_wire_state(first))
    run.names = tuple(name for name in names if name in run.at)
    for name in run.names:
        run.join(name, number=name)
    _high_leg_load(run, first)
    run.through(_device(joints, first, len(run.names)))
    _residual(run, first, neutral=neutral)
    if shape.converter:
        _converter(run, first, names, locked=any(wired.corrected for wired in group))
    return run


def _device(joints: Joints, wired: Wired, count: int) -> str:
    """Breaker or fuses at the panel."""
    sort = wired.fact("supply", "breaker_kind")
    return joints.put(
        wired.tag("F", 1), f"{DEVICES[sort]}_{count}", poles(count), sort, protection(wired),
        part=wired.path("supply"), **protection_state(wired),
    )  # fmt: skip


def _residual(run: Run, wired: Wired, *, neutral: bool) -> None:
    """Ground-fault device; what a drive upsets or blinds is wrong ahead of one.

    All that anything behind it takes current by goes through it, the neutral too: current that comes back round it
    counts as current to earth, and trips it.
    """
    told = wired.fact("supply", "ground_fault")
    if told in ("none", "unknown"):
        return
    wrong: tuple[State, str] = ("wrong", "ground_fault_device")
    bad = {"4-6 mA": wrong} if wired.on_drive else {}
    if wired.on_drive and len(wired.feed) == 3:
        bad["30 mA type A or AC"] = wrong
    state, rule = wired.seen("supply", "ground_fault", bad)
    beside = neutral and "N" in run.at and "N" not in run.names
    inside = run.of((*run.names, "N") if beside else run.names)
    if beside:
        inside.join("N", number=UPSTREAM)
    count = len(inside.names)
    inside.through(run.joints.put(
        wired.tag("F", 9), f"residual_device_{count}", poles(count), "ground-fault device", told,
        part=wired.path("supply"), state=state, finding=rule,
    ))  # fmt: skip
    run.at = inside.at


def _converter(run: Run, wired: Wired, names: tuple[str, ...], *, locked: bool) -> None:
    """A converter, which makes the third wire of two; put right, behind a disconnect of its own.

    The protection ahead of it is the supply's; the disconnect by the motor stands behind it and leaves it live.
    """
    word = wired.shape.converter
    bad = wired.on_drive and word == "static converter"
    rule = wired.changes.get("supply.kind", "static_converter" if bad else "")
    if locked:
        run.through(run.joints.put(
            wired.tag("Q", 2), "disconnect_2", poles(2), "disconnect, lockable", "ahead of the converter",
            part=wired.path("supply"), finding=rule,
        ))  # fmt: skip
    tag = run.joints.put(
        wired.tag("G", 1), "box", ("L1", "L2", "PE", "A", "B", "C"), word, "C: the wire it makes",
        part=wired.path("supply"), state="wrong" if bad else "there", finding=rule,
    )  # fmt: skip
    run.to(tag, ("L1", "L2"))
    run.joints.join(run.at["PE"], (tag, "PE"))
    run.names = names
    run.at |= {name: (tag, letter) for name, letter in zip(names, "ABC", strict=False)}


def _high_leg_load(run: Run, wired: Wired) -> None:
    """A load for 120 V between high leg and neutral."""
    if wired.fact("supply", "kind") != "240 high-leg delta" or wired.fact("supply", "high_leg_load") != "yes":
        return
    load = run.joints.put(
        wired.tag("X", 7), "box", ("1", "2"), "load for 120 V", part=wired.path("supply"), state="wrong",
        finding="high_leg_load",
    )  # fmt: skip
    run.join("L2", (load, "1"), number="L2")
    run.join("N", (load, "2"), number="N")


def _disconnect(run: Run, wired: Wired) -> None:
    """The switch that is locked off; one nobody told of is not drawn."""
    if wired.fact("motor", "disconnect") == "unknown":
        return
    state, rule = wired.seen("motor", "disconnect", {"no": ("missing", "no_disconnect_in_sight")})
    count = len(run.names)
    run.through(run.joints.put(
        wired.tag("Q", 1), f"disconnect_{count}", poles(count), "disconnect, lockable", "in sight of the motor",
        part=wired.path("motor"), state=state, finding=rule,
    ))  # fmt: skip


def _control_feed(run: Run, wired: Wired) -> None:
    """Fuses, and a transformer where the volts are too high, to the control circuit; behind the disconnect."""
    joints, shape = run.joints, wired.shape
    feed, below = shape.control
    fused = tuple(name for name in (feed, below) if name != "N")
    tap = run.of(fused)
    symbol = f"fuse_{len(fused)}"
    tap.through(joints.put(wired.tag("F", 2), symbol, poles(len(fused)), "control fuse" + "s" * (len(fused) - 1)))
    box = joints.put(wired.tag("X", 1), "box", ("1", "2"), "to the control circuit")
    ends = [tap.at[feed], tap.at[below] if below in fused else run.at[below]]
    if shape.transformer:
        changer = joints.put(wired.tag("T", 1), "box", ("H1", "H2", "X1", "X2"), "control transformer",
                             "X2 to earth where the code asks for it")  # fmt: skip
        for end, terminal in zip(ends, ("H1", "H2"), strict=True):
            joints.join(end, (changer, terminal))
        ends = [(changer, "X1"), (changer, "X2")]
    for place, end in enumerate(ends):
        own = str(wired.number(place + 1))
        if end == run.at.get("N"):
            # No fuse stands in the neutral: it is a wire of the supply, and has its size, as far as the control's box.
            # One that only the control takes comes to it switched by nothing, and keeps its name.
            run.join("N", (box, str(place + 1)), number=own if "N" in run.names else "N")
        else:
            joints.join(end, (box, str(place + 1)), number=own, wire=CONTROL, sort="line")


def _drive(run: Run, wired: Wired) -> list[Pin]:
    """Contactor ahead, reactor, drive, and what hangs on its output; return the terminals to earth."""
    joints, count = run.joints, len(run.names)
    state, rule = wired.seen("drive", "started_by", {"switching its supply": ("wrong", "drive_input_switched")})
    if state == "wrong":
        run.through(joints.put(
            wired.tag("K", 1), f"contactor_{count}", poles(count), "contactor", "starts and stops the drive",
            part=wired.path("drive"), state=state, finding=rule,
        ))  # fmt: skip
    before = run.of(run.names)
    if wired.fact("drive", "reactor") == "yes":
        run.through(joints.put(
            wired.tag("R", 1), f"reactor_{count}", poles(count), "line reactor", "or a choke inside the drive",
            part=wired.path("drive"),
        ))  # fmt: skip
    us, one = wired.units == "US", wired.fact("drive", "input_phases") == 1
    into = (("L1", "L2") if us else ("L", "N")) if one else ("L1", "L2", "L3")
    out = ("T1", "T2", "T3") if us else ("U", "V", "W")
    drive = joints.put(
        wired.tag("U", 1), "box", (*into, "PE", *out), "variable-frequency drive", wired.name,
        wired.told("drive", "rated_output_current"), part=wired.path("drive"),
    )  # fmt: skip
    run.to(drive, into)
    return [(drive, "PE"), *drive_output(run, wired, drive=drive, out=out, before=before)]
