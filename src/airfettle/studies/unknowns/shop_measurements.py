"""Readings that a workshop can take: with which instrument, how, how long, and what to mind."""

from __future__ import annotations

from dataclasses import dataclass

LOOK = "plate or maker's sheet"
"""Where no instrument reads it."""


@dataclass(frozen=True)
class ShopMeasurement:
    """One way to find something out.

    Attributes
    ----------
    what : str
        An answer id, or an entry below its train.
    is_answer : bool
        Read on the running plant, as a [[reading]]; otherwise an entry of the plant file.
    instrument : str
        An instrument of ``quantity.tolerance``, or a plate.
    minutes : float
        About how long it takes. [min]
    how, mind : str
        What to do, and what to mind.
    """

    what: str
    is_answer: bool
    instrument: str
    minutes: float
    how: str
    mind: str = ""


_SHAFTS = "Stand clear of belt and wheel, guard on, sleeves and hair tied back."
_LIVE = "Inside the panel or drive only by a licensed person; the clamp goes round one insulated wire."
_HOT = "Head and discharge pipe burn: touch nothing, use a probe or a spot thermometer on a matt black dot."
_OPEN = "Lock the supply off and vent all pressure first."
_PRESSURE = "Never past the receiver's plate pressure; ears protected."

ON_THE_RUN = (
    ShopMeasurement("pump_speed", True, "tachometer", 5,
                    "A stripe on the flywheel, an optical tachometer through the guard, plant warm, at full frequency.",
                    _SHAFTS),
    ShopMeasurement("motor_speed", True, "tachometer", 5,
                    "A stripe on the motor's shaft end or sheave, an optical tachometer, at the same frequency.",
                    _SHAFTS),
    ShopMeasurement("pump_up_time", True, "stopwatch", 40,
                    "Empty the receiver, close its outlet, pump up to the cut-out against the watch, stop, leave it "
                    "closed until the gauge stands still, and read the settled pressure.", _PRESSURE),
    ShopMeasurement("motor_current", True, "clamp meter", 15,
                    "Each of the motor's wires in turn near the cut-out pressure; a true-rms clamp behind a drive.",
                    _LIVE),
    ShopMeasurement("supply_current", True, "clamp meter", 15,
                    "Each live wire to the drive or starter near the cut-out pressure, true-rms.", _LIVE),
    ShopMeasurement("electrical_power", True, "power meter", 20,
                    "A power meter ahead of drive or starter, near the cut-out pressure.", _LIVE),
    ShopMeasurement("discharge_temperature", True, "thermometer", 30,
                    "Probe strapped to the bare discharge pipe at the head lagged, after half an hour's running.",
                    _HOT),
    ShopMeasurement("cooler_outlet_temperature", True, "thermometer", 30,
                    "Probe strapped to the pipe behind the cooler, lagged, plant warm, fan on.", _HOT),
    ShopMeasurement("wall_temperature", True, "thermometer", 30,
                    "Spot thermometer on a matt black dot on the cylinder, plant warm.", _HOT),
    ShopMeasurement("receiver_temperature", True, "thermometer", 30,
                    "Probe strapped to the receiver's outlet pipe, lagged, plant warm."),
    ShopMeasurement("interstage_pressure", True, "gauge", 20,
                    "A gauge in the interstage port, plant warm, near the cut-out pressure.",
                    f"{_OPEN} Fit the gauge cold; its range at least twice the interstage relief setting."),
    ShopMeasurement("discharge_pressure", True, "gauge", 20,
                    "A gauge at the pump's outlet, read against the receiver's.", _OPEN),
    ShopMeasurement("sound_level", True, "sound meter", 5,
                    "A sound meter or phone at 1 m, away from walls, nothing else running.", "Ears protected."),
)  # fmt: skip
"""Answers that can be read on a running plant."""

IN_THE_FILE = (
    ShopMeasurement("site.room_temperature", False, "thermometer", 5,
                    "Beside the pump, plant warm, out of its draught."),
    ShopMeasurement("site.humidity", False, "hygrometer", 10, "Beside the intake."),
    ShopMeasurement("site.altitude", False, "barometer", 2, "From a map, or a phone's pressure sensor."),
    ShopMeasurement("site.weather", False, "barometer", 2, "A phone's pressure sensor, as site.barometer."),
    ShopMeasurement("control.cut_in", False, "gauge", 10, "The receiver's gauge at the moment the pump starts."),
    ShopMeasurement("control.cut_out", False, "gauge", 10,
                    "The receiver's gauge at the moment the pump stops.", _PRESSURE),
    ShopMeasurement("supply.voltage", False, "multimeter", 10, "Between the live wires, plant running.", _LIVE),
    ShopMeasurement("supply.tolerance", False, "multimeter", 10,
                    "As supply.voltage, at breakfast and at night.", _LIVE),
    ShopMeasurement("supply.wire_length", False, "tape", 10, "Along the run, panel to drive."),
    ShopMeasurement("belt.motor_sheave", False, "tape", 10, "Over the outside of the rims, or a caliper.", _OPEN),
    ShopMeasurement("belt.pump_sheave", False, "tape", 10, "Across the outside of the rim.", _OPEN),
    ShopMeasurement("pump.first_stage.bore", False, "caliper", 90, "Head off, across the cylinder.", _OPEN),
    ShopMeasurement("pump.first_stage.stroke", False, "caliper", 90, "Head off, turned by hand, top to bottom.", _OPEN),
    ShopMeasurement("pump.second_stage.bore", False, "caliper", 90, "Head off, across the cylinder.", _OPEN),
    ShopMeasurement("pump.displacement_share", False, "caliper", 90,
                    "Bore and stroke with the head off: they give the pump's size.", _OPEN),
    ShopMeasurement("pump.first_stage.clearance", False, "caliper", 60,
                    "A lead wire squeezed between piston and head, turned by hand.", _OPEN),
    ShopMeasurement("pump.stage_ratio", False, "caliper", 90, "Bores of both stages, head off.", _OPEN),
    ShopMeasurement("pump.maximum_speed", False, LOOK, 30, "Plate, casting number, the maker's sheet for it."),
    ShopMeasurement("pump.minimum_speed", False, LOOK, 30, "The maker's sheet: least speed for its oiling."),
    ShopMeasurement("pump.lowest_share", False, LOOK, 30, "The maker's sheet: least speed for its oiling."),
    ShopMeasurement("pump.lowest_anyhow", False, LOOK, 30, "The maker's sheet: least speed for its oiling."),
    ShopMeasurement("pump.rated_speed", False, LOOK, 30, "Plate, or the maker's sheet."),
    ShopMeasurement("pump.flywheel_inertia", False, "scale", 60,
                    "Weigh the wheel, tape rim and spokes; a rim alone has mass times its radius squared.", _OPEN),
    ShopMeasurement("pump.flywheel_factor", False, "scale", 60,
                    "Weigh the wheel, tape rim and spokes, and write down pump.flywheel_inertia.", _OPEN),
    ShopMeasurement("pump.reciprocating_mass", False, "scale", 120, "Piston, pin, rings and the small end.", _OPEN),
    ShopMeasurement("motor.power", False, LOOK, 10, "Clean the plate, light it from the side, take a picture.", _OPEN),
    ShopMeasurement("motor.speed", False, LOOK, 10, "Clean the plate, light it from the side, take a picture.", _OPEN),
    ShopMeasurement("motor.slip", False, LOOK, 10, "The full-load speed on the plate.", _OPEN),
    ShopMeasurement("motor.efficiency_doubt", False, LOOK, 10,
                    "Full-load efficiency on the plate or the maker's sheet."),
    ShopMeasurement("motor.efficiency", False, LOOK, 10, "The plate or the maker's sheet."),
    ShopMeasurement("motor.power_factor", False, LOOK, 10, "The plate or the maker's sheet."),
    ShopMeasurement("motor.breakdown_doubt", False, LOOK, 20, "The maker's sheet: breakdown torque."),
    ShopMeasurement("motor.cooling_floor", False, LOOK, 20, "The maker's sheet: torque against speed on a drive."),
    ShopMeasurement("drive.rated_output_current", False, LOOK, 5, "The output line of its plate.", _OPEN),
    ShopMeasurement("drive.single_phase_share", False, LOOK, 20, "The manual: output amps on a single-phase supply."),
    ShopMeasurement("drive.power_factor_place", False, "power meter", 20,
                    "A power meter ahead of the drive shows the true power factor.", _LIVE),
    ShopMeasurement("cooler.conductance", False, LOOK, 20,
                    "The maker's sheet; else read both its ends by thermometer."),
    ShopMeasurement("receiver.volume", False, "scale", 30,
                    "The plate; else fill it with water through a meter.", _OPEN),
    ShopMeasurement("dryer.rated_flow", False, LOOK, 5, "Its plate."),
    ShopMeasurement("separator.efficiency", False, "scale", 120, "Weigh what its drain gives in an hour of running."),
)  # fmt: skip
"""Entries that can be found out."""
