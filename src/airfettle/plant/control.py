"""How the plant is controlled, and the speeds it is run at."""

from __future__ import annotations

from typing import Generic, Literal

from pydantic import model_validator

from airfettle.errors import AirfettleError
from airfettle.plant.part import Model, Part, Q, YesNo, choice, fact, for_loader, quantity
from airfettle.quantity.clock import read_hours


class Control(Part[Q], Generic[Q]):
    """Pressure switch or transducer, and preset speeds."""

    title = "the pressure switch (or transducer) and the speeds"
    kind: Literal["pressure switch", "transducer", "unknown"] = choice("what tells the plant to run", default="unknown")
    cut_in: Q = quantity(
        "pressure",
        "receiver pressure at which it starts",
        default="6.2..8.6 bar",
        low=0.0,
        high=4e6,
        example_us="120 psi",
        example_si="7.5 bar",
        measure="the receiver's gauge as the pump starts",
    )
    cut_out: Q = quantity(
        "pressure",
        "receiver pressure at which it stops",
        default="8.3..10.3 bar",
        low=0.0,
        high=4e6,
        example_us="150 psi",
        example_si="9.5 bar",
        measure="the receiver's gauge as the pump stops",
    )
    low: Q | None = quantity(
        "frequency", "lowest frequency used", low=1.0, high=400.0, example_us="30 Hz", example_si="25 Hz"
    )
    quiet: Q | None = quantity(
        "frequency", "frequency for quiet running", low=1.0, high=400.0, example_us="40 Hz", example_si="35 Hz"
    )
    full: Q | None = quantity(
        "frequency", "frequency for full delivery", low=1.0, high=400.0, example_us="60 Hz", example_si="50 Hz"
    )
    hours: str = choice(
        "when the plant is switched on", default="always", say="shop hours, such as 'Mon-Fri 07:30-17:00', or 'always'"
    )
    quiet_hours: str = choice(
        "when it must run quiet",
        default="never",
        say="shop hours, such as 'daily 20:00-08:00, Sun 00:00-24:00', or 'never'",
    )
    speed_by: Literal["preset", "steps", "pressure", "unknown"] = choice(
        "what sets the speed",
        default="unknown",
        say="preset: full, and quiet in the quiet hours; steps: quiet first, full when the pressure falls on; "
        "pressure: the drive follows the pressure between its lowest and highest frequency",
    )
    full_below: Q | None = quantity(
        "pressure",
        "steps: receiver pressure below which it goes to full speed",
        low=0.0,
        high=4e6,
        example_us="115 psi",
        example_si="7.2 bar",
        in_time=True,
    )
    held_pressure: Q | None = quantity(
        "pressure",
        "pressure: the receiver pressure it holds",
        low=0.0,
        high=4e6,
        example_us="130 psi",
        example_si="8.5 bar",
        in_time=True,
    )
    pressure_band: Q = quantity(
        "pressure_difference",
        "pressure: fall of pressure that takes the frequency from lowest to highest",
        default="0.3..1.0 bar",
        low=1e3,
        high=1e6,
        example_us="8 psi",
        example_si="0.5 bar",
        measure="the drive's settings: frequency range over its gain",
        in_time=True,
    )
    reset_time: Q = quantity(
        "time",
        "pressure: time in which a lasting error moves the frequency as far as at first",
        default="10..60 s",
        low=1.0,
        high=3600.0,
        example_us="30 s",
        example_si="30 s",
        in_time=True,
    )
    follow_cut_in: Q | None = quantity(
        "pressure",
        "several pumps: receiver pressure at which those after the first start",
        low=0.0,
        high=4e6,
        example_us="110 psi",
        example_si="7 bar",
        in_time=True,
    )
    follow_cut_out: Q | None = quantity(
        "pressure",
        "several pumps: receiver pressure at which those after the first stop",
        low=0.0,
        high=4e6,
        example_us="140 psi",
        example_si="9 bar",
        in_time=True,
    )
    idle_time: Q | None = quantity(
        "time",
        "how long it runs on with its unloader open before it stops",
        low=0.0,
        high=86_400.0,
        example_us="3 min",
        example_si="3 min",
        in_time=True,
    )
    minimum_off: Q | None = quantity(
        "time",
        "least time between a stop and the next start",
        low=0.0,
        high=86_400.0,
        example_us="60 s",
        example_si="60 s",
        in_time=True,
    )
    most_starts: Q | None = quantity(
        "number",
        "starts an hour beyond which it runs on unloaded instead of stopping",
        low=1.0,
        high=1e3,
        example_us="10",
        example_si="10",
        in_time=True,
    )
    independent_pressure_stop: YesNo = fact(
        "Is there a second, independent switch that stops the plant at too high a pressure?",
        look="on the receiver or the pump's head, besides the switch or transducer that starts and stops the plant",
        grave=True,
    )
    starts_sign: YesNo = fact(
        "Is there a sign by the pump that it may start without warning?",
        look="on the guard or the receiver, where whoever reaches in would see it",
    )
    contacts: Literal[
        "motor", "contactor coil", "drive input by power contacts", "drive input by signal contacts", "unknown"
    ] = fact(
        "What do the pressure switch's contacts switch?",
        look="supply locked off: follow the wires from its terminals; power contacts are the plain ones made for a "
        "motor, signal contacts are gold-plated, or a relay for small signals stands between",
        grave=True,
    )  # fmt: skip
    switch_poles: Literal["one", "two", "unknown"] = fact(
        "How many contacts does the pressure switch have?",
        look="supply locked off, under its cover: pairs of screws that open and close together; one pair is enough for "
        "a drive's input or a coil",
    )
    head_thermostat: YesNo = fact(
        "Is there a thermostat on the pump's head that stops the plant when it gets too hot?",
        look="a small round switch with two wires, screwed or clamped to the head or the first of the hot line",
    )
    oil_switch: YesNo = fact(
        "Is there a switch that stops the plant when its oil is low, or its oil pressure?",
        look="two wires at the crankcase, by the sight glass or on the oil line of a pump oiled by pressure",
    )
    switch_power: Q | None = quantity(
        "power",
        "largest motor on the pressure switch's plate",
        role="limit",
        example_us="5 hp by plate",
        example_si="4 kW by plate",
        measure="under its cover: motor power at your volts and phases",
    )
    switch_current: Q | None = quantity(
        "current",
        "motor amps on the pressure switch's plate",
        role="limit",
        example_us="22 A by plate",
        example_si="12 A by plate",
        measure="under its cover: amps for motors, at your volts",
    )
    restarts_by_itself: Literal[
        "nothing", "power coming back", "a fault that resets itself", "release of the emergency stop",
        "several of these", "unknown",
    ] = fact(
        "What makes it start again by itself, besides falling pressure?",
        look="the drive's settings for restart and fault reset; ask what happened after the last outage",
    )  # fmt: skip
    emergency_stop: YesNo = fact(
        "Is there an emergency stop in reach of the pump that stays in until it is released by hand?",
        look="a red mushroom button on yellow; the shop's main switch round the corner does not count",
    )

    def assumed_text(self, name: str) -> str | None:
        """Return what is assumed for an entry; the settings of a speed control only where there is one."""
        if name in ("pressure_band", "reset_time") and self.speed_by != "pressure":
            return None
        return super().assumed_text(name)

    @model_validator(mode="after")
    def _hours(self) -> Control[Q]:
        for name, never in (("hours", "always"), ("quiet_hours", "never")):
            text = getattr(self, name)
            if text != never:
                try:
                    read_hours(text, where=name)
                except AirfettleError as error:
                    raise for_loader(error, name) from error
        return self


class Reading(Model[Q], Generic[Q]):
    """Something read off the running plant: an answer, its value and its conditions."""

    title = "a reading taken on the running plant"
    what: str = choice("which answer was read", default=..., say="an answer id, such as pump_speed")
    value: str = choice("what was read, with its unit", default=...)
    part: str = choice("the train, where there are several", default="")
    frequency: Q | None = quantity("frequency", "frequency at the time", example_us="60 Hz", example_si="50 Hz")
    receiver_pressure: Q | None = quantity(
        "pressure", "receiver pressure at the time", example_us="125 psi", example_si="8 bar"
    )
    from_pressure: Q | None = quantity(
        "pressure", "where a timed pump-up began", example_us="0 psi by gauge", example_si="0 bar by gauge"
    )
    to_pressure: Q | None = quantity(
        "pressure", "where a timed pump-up ended", example_us="125 psi by gauge", example_si="8 bar by gauge"
    )
    settled_pressure: Q | None = quantity(
        "pressure",
        "receiver pressure after a timed pump-up, closed and left until the gauge stood still",
        example_us="112 psi by gauge",
        example_si="7.2 bar by gauge",
    )
    by: str = choice("the instrument", default="")
    on: str = choice("the date", default="")
    note: str = choice("anything worth keeping", default="")
