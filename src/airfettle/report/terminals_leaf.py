"""The terminal list: every wire of every circuit, from where to where, and what every kind of stop does."""

from __future__ import annotations

from airfettle.report.blocks import Block, Column, Heading, Leaf, Signed, Table, Words
from airfettle.studies.wiring.circuit import Circuit, Device, Net, Pin
from airfettle.studies.wiring.stops import Stop, TrainStops, stops_of
from airfettle.studies.wiring.wires import EARTH

SOURCES = ("iec-60445", "en-50005", "iec-81346-2", "iec-60204-1", "practice")
COLUMNS = (
    Column("Wire", 0.7), Column("From", 1.6), Column("To", 1.6), Column("Size and kind", 1.5), Column("Note", 1.8),
)  # fmt: skip
STOPS = (
    Column("What happens", 1.8), Column("Motor stops", 0.9), Column("Head emptied", 0.9), Column("Fan", 1.0),
    Column("Starts again by itself", 1.1), Column("What opens", 2.0),
)  # fmt: skip
CHARGED = (
    "Wiring is work for a licensed person. Lock the supply off first; where there is a drive, wait until its "
    "capacitors are discharged, and measure."
)


def terminals_leaf(circuits: tuple[Circuit, ...]) -> Leaf:
    """Return the terminal list of a plant as a part of the build sheet.

    Parameters
    ----------
    circuits : tuple of Circuit
        As ``studies.wiring.circuits`` returns them.

    Returns
    -------
    Leaf
        One table for each circuit, and one for each train of what its stops do.
    """
    blocks = [*terminal_blocks(circuits), *stop_blocks(circuits)]
    return Leaf("terminals", "Terminal list", (Signed("warning", CHARGED), *blocks), SOURCES)


def terminal_blocks(circuits: tuple[Circuit, ...]) -> list[Block]:
    """Return a heading and a table of wires for each circuit."""
    return [block for circuit in circuits for block in _circuit(circuit)]


def stop_blocks(circuits: tuple[Circuit, ...]) -> list[Block]:
    """Return what every kind of stop does, train by train; all circuits of the plant have to be among them."""
    return _stops(stops_of(circuits))


def called(circuit: Circuit) -> str:
    """Return what a circuit is called, its train with it."""
    return f"{circuit.title}: {circuit.train}" if circuit.train else circuit.title


def pin_text(pin: Pin) -> str:
    """Return a terminal as it is marked: the device, a colon, the terminal."""
    return f"{pin[0].partition(':')[0]}:{pin[1]}"


def _circuit(circuit: Circuit) -> list[Block]:
    devices = {device.tag: device for device in circuit.devices}
    rows: list[tuple[str, ...]] = []
    strong: list[int] = []
    for net in circuit.nets:
        for first, second in zip(net.pins, net.pins[1:], strict=False):
            ends = devices[first[0]], devices[second[0]]
            note = _note(net, ends, corrected=circuit.corrected)
            if note.startswith(("wrong", "missing")):
                strong.append(len(rows))
            rows.append((net.number, _end(first, ends[0]), _end(second, ends[1]), _kind(net, circuit.sort), note))
    rows += [_frame(device) for device in circuit.devices if device.symbol == "fan_motor"]
    name = "-".join((circuit.sort, *circuit.train.split(), *(("corrected",) if circuit.corrected else ())))
    table = Table(COLUMNS, tuple(rows), "", tuple(strong), name)
    return [Heading(called(circuit)), table]


def _frame(fan: Device) -> tuple[str, ...]:
    """The earth wire of a fan's frame, which its symbol, of two terminals, cannot carry."""
    end = " ".join((f"{fan.tag}:PE", *fan.words[:1], "frame"))
    return ("PE", "PE earth terminal", end, EARTH, "not told whether it is there: look")


def _end(pin: Pin, device: Device) -> str:
    return f"{pin_text(pin)} {device.words[0]}" if device.words else pin_text(pin)


def _kind(net: Net, sort: str) -> str:
    return net.wire or ("control wire" if sort == "control" else "not told")


def _note(net: Net, ends: tuple[Device, ...], *, corrected: bool) -> str:
    """What is wrong, missing or new about a wire, or about what it is joined to."""
    things = [("this wire", net.state, net.finding)]
    things += [(device.tag.partition(":")[0], device.state, device.finding) for device in ends]
    found = dict.fromkeys(
        f"new: {name}" if corrected else f"{state}: {name}"
        for name, state, finding in things if finding and (corrected or state != "there")
    )  # fmt: skip
    return ", ".join(sorted(found, key=lambda words: not words.startswith("wrong")))


def _stops(trains: tuple[TrainStops, ...]) -> list[Block]:
    if not any(each.stops for each in trains):
        return [Heading("What every stop does"), Words("As it is wired this motor does not run.", strong=True)]
    blocks: list[Block] = [Heading("What every stop does")]
    for each in trains:
        title = " ".join(part for part in (each.train, "corrected" if each.corrected else "as it is") if part)
        name = "-".join(("stops", *title.split()))
        if each.stops:
            strong = tuple(place for place, stop in enumerate(each.stops) if _bad(stop))
            blocks.append(Table(STOPS, tuple(map(_row, each.stops)), title, strong, name))
        else:
            blocks.append(Words(f"{title}: as it is wired this motor does not run.", strong=True))
        blocks += _past_the_drive(each, title, name)
    return blocks


def _past_the_drive(each: TrainStops, title: str, name: str) -> list[Block]:
    """What a bypass adds: for which way of running the stops above hold, and those of the other way."""
    if not each.bypass:
        return []
    found: list[Block] = [Words(f"{title}: {each.bypass}", strong=True)]
    if each.past_drive:
        strong = tuple(place for place, stop in enumerate(each.past_drive) if _bad(stop))
        rows = tuple(map(_row, each.past_drive))
        found.append(Table(STOPS, rows, f"{title}, running past the drive", strong, f"{name}-past-the-drive"))
    return found


def _row(stop: Stop) -> tuple[str, ...]:
    opens = dict.fromkeys(tag.partition(":")[0] for tag in stop.opens)
    return (stop.kind, stop.motor_stops, stop.head_vented, stop.fan, stop.restarts, ", ".join(opens))


def _bad(stop: Stop) -> bool:
    """Whether a stop leaves something that can hurt: it does not stop, or starts again without being asked."""
    by_pressure = stop.kind in ("pressure reached", "wire broken at the pressure switch")
    return stop.motor_stops == "no" or (stop.restarts == "yes" and not by_pressure)
