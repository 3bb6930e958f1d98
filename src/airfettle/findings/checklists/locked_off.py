"""Steps of a first start before power: locked off and without pressure."""

from __future__ import annotations

from collections.abc import Iterator

from airfettle.findings.checklists.fault_readings import (
    current_text,
    fault_readings,
    insulation_text,
)
from airfettle.findings.checklists.step import (
    ALONE,
    LICENSED,
    LOCK,
    Step,
)
from airfettle.findings.checklists.this_plant import ThisPlant, TrainSeen
from airfettle.findings.checklists.used_receiver import used_receivers
from airfettle.findings.checklists.words import bare
from airfettle.studies.commissioning.trials import TEST_VOLTS


def locked_off(this: ThisPlant) -> Iterator[Step]:
    """Yield the six steps of 1910.147(d) in their order, then what all pumps have in common."""
    drive = "drive" in this.has
    yield Step(LOCK, "Prepare: say who works on it, list what feeds it: mains, receiver, pipe"
               + (", the drive's capacitors" if drive else ""), "everything that feeds it has a name on the list",
               "Find the rest before you go on.")  # fmt: skip
    yield Step(LOCK, "Shut it down by its own stop", "it stands", "Find what it runs on.")
    yield Step(LOCK, "Isolate: disconnect open, outlet cock to the shop shut", "open, in sight of the motor",
               "No disconnect in sight: have one fitted first.")  # fmt: skip
    yield Step(LOCK, "Lock: a padlock of your own on the disconnect, the key with you", "locked",
               "Do not work on what cannot be locked.")  # fmt: skip
    yield Step(LOCK, "Let stored energy out: drain and vents open"
               + ("; wait as long as the drive's manual says" if drive else ""), "gauge at zero, no hiss",
               "A gauge that does not go to zero lies, or a drain is plugged: stop.", "no_drain" if this.receivers
               else "")  # fmt: skip
    yield Step(LOCK, f"Verify: try to start it; {LICENSED} measures", "nothing moves, no volts",
               "Another feed: find it.")  # fmt: skip
    for seen in used_receivers(this):
        name = f" of {seen.name}" if len(this.receivers) > 1 else ""
        yield Step(LOCK, f"Go through the receiver's list{name}, a list of its own", f"GO; as told now: {seen.verdict}",
                   "NO GO or NOT YET: stop here.")  # fmt: skip
    for valve in this.case.parts("relief_valve"):
        yield Step(LOCK, f"Relief valve, {valve.fact('protects')}: read its tag",
                   f"set {bare(valve.shown('set_pressure'))}, capacity {bare(valve.shown('capacity'))}, nothing "
                   "before it",
                   "Stop: no start without the valve that was judged.")  # fmt: skip
    if not list(this.case.parts("relief_valve")) and this.receivers:
        yield Step(
            LOCK,
            "Look for a relief valve on the receiver and read its tag",
            "stamped, set at or below the plate, straight on the tank",
            "Stop: never start without one.",
        )
    yield Step(LOCK, "Bolts: pump, motor, feet, hot line, with a spanner", "none turns", "Tighten; lock washers.")
    yield Step(LOCK, f"Protective earth: {LICENSED} measures from panel to motor frame",
               "no more than the wire itself, some 0.1 ohm, and a wire you can see; the loop low enough to trip the "
               "breaker",
               "No earth: no power.")  # fmt: skip


def each_locked_off(this: ThisPlant, train: TrainSeen) -> Iterator[Step]:
    """Yield what one train needs before power."""
    of, pump, motor = train.of, train.pump, train.motor
    if pump.fact("lubrication") != "oil-free":
        yield Step(LOCK, f"{of}Oil: look at the glass, pump standing", "between the marks, clear, the sort its "
                   "maker names", "Milky or black: change it before it turns.", "oil_milky")  # fmt: skip
    yield Step(LOCK, f"{of}Turn the pump by hand two turns", "smooth: it only pushes against air",
               "Scrape or hard stop: open it before any power.", "hums")  # fmt: skip
    if train.belt is not None:
        yield from _belt(this, train)
    colder = "18 °F" if this.units == "US" else "10 K"
    if motor.fact("condition") != "new":
        yield Step(LOCK, f"{of}Stored motor: insulation tester, {TEST_VOLTS:.0f} V direct current, leads off the "
                   f"{'starter' if train.direct else 'drive'}, leads to frame, one minute, then "
                   "discharge the winding; by whoever is licensed",
                   f"{insulation_text(this)} or more; each {colder} colder doubles it",
                   "Dry it warm (never by flame) and test again; less: no power.", "breaker_trips")  # fmt: skip
    if train.direct:
        yield Step(LOCK, f"{of}Overload relay: read its dial", current_text(this, train),
                   "Set it to the plate's amps; hand reset.", "overload_trips")  # fmt: skip


def _belt(this: ThisPlant, train: TrainSeen) -> Iterator[Step]:
    found = fault_readings(this, trains=(train,))
    yield Step(LOCK, f"{train.of}Belt tension: spring scale on one belt at mid-span",
               f"{found['deflection']} down with {found['force']}", "Move the motor; lock it; press again.",
               "belt_squeals")  # fmt: skip
    yield Step(LOCK, f"{train.of}Straightedge along both sheaves; key and set screws tight", "touches all four rims",
               "Line them up.", "belt_squeals")  # fmt: skip
    yield Step(LOCK, f"{train.of}Guard on: try to reach belt and flywheel from every side, with a stick",
               "no finger reaches", "No guard: no power.")  # fmt: skip


def released(group: str) -> Iterator[Step]:
    """Yield how a lock comes off, before the first power of any sort."""
    yield Step(group, "Release: tools out, guards on, everybody clear and told; each lock is taken off by its owner",
               "nobody within reach", "Someone missing: the lock stays on.")  # fmt: skip


def drives_alone(this: ThisPlant) -> Iterator[Step]:
    """Yield what is done with power on the drives and none on the motors."""
    drives = [train for train in this.trains if train.drive is not None and not train.direct]
    if not drives:
        return
    yield from released(ALONE)
    for train in drives:
        yield from _drive(this, train)
    yield Step(ALONE, f"Lock it off again, wait for the capacitors, {LICENSED} measures: then the motor leads go back "
               "on",
               "no volts", "Wait, measure again.")  # fmt: skip


def _drive(this: ThisPlant, train: TrainSeen) -> Iterator[Step]:
    drive = train.drive
    assert drive is not None
    stored, of = drive.fact("stored"), train.of
    if stored in ("over a year", "unknown"):
        age = "" if stored == "over a year" else "Not known how long it lay: "
        yield Step(ALONE, f"{of}{age}re-form the drive's capacitors as its manual says, before full volts",
                   "one to two years: an hour on its volts without load; longer: a slow rise in steps",
                   "It hums, warms or trips: stop, stand back, have it looked at.")  # fmt: skip
    speeds = f"top {this.full:g} Hz, lowest {this.low:g} Hz"
    yield Step(ALONE, f"{of}Settings in the drive, off the settings sheet: motor volts, hertz, amps, rpm; coast to "
               "stop; no restart by itself; reverse off", f"amps {current_text(this, train)}; {speeds}",
               "Set them before the motor is on its terminals.", "drive_trips")  # fmt: skip
