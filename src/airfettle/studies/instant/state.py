"""What a running plant is doing at one instant, field by field with meaning and equation.

All arrays have axes (draw, speed, pressure), length 1 where independent. [SI]
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.meaning import answer, value

Array = NDArray[np.float64]
_PUMP = ("airfettle-equations",)


@dataclass(frozen=True)
class TrainState:
    """One train: supply, drive, motor, belt, pump and its own cooler."""

    frequency: Array = value("frequency at the motor", "frequency", "f")
    receiver_pressure: Array = value("receiver pressure", "absolute_pressure", "p_r")
    barometer: Array = value("air pressure at the site", "absolute_pressure", "p_a")
    room_temperature: Array = value("room temperature", "temperature", "T_a")
    intake_temperature: Array = value("air at the filter", "temperature", "T_i")
    intake_humidity_ratio: Array = value("water in the air drawn in", "humidity_ratio", "W_0")
    intake_vapour_pressure: Array = value(
        "its vapour pressure", "absolute_pressure", "p_v",
        equation="vapour_pressure(intake_humidity_ratio, barometer)",
    )  # fmt: skip
    intake_pressure: Array = value("pressure at the pump's inlet", "absolute_pressure", "p_s",
                                   equation="barometer - intake_drop")  # fmt: skip
    intake_drop: Array = value("lost in the intake filter", "pressure_difference", "dp_f")
    displacement: Array = value("swept by the first stage in one turn", "swept_volume", "V_d")
    belt_ratio: Array = value("motor turns for one pump turn", "number", "i")
    belt_creep: Array = value("belt creep", "number", "s_b")
    belt_efficiency: Array = value("belt efficiency", "number", "eta_b")
    maximum_pump_speed: Array = value("the pump's highest speed, as told or assumed", "rotational_speed", "N_max")
    rated_pump_speed: Array = value("the pump's rated speed", "rotational_speed", "N_0")

    pump_speed: Array = answer("pump speed", "rotational_speed", "N",
                               equation="motor_speed / belt_ratio * (1 - belt_creep)")  # fmt: skip
    motor_speed: Array = answer(
        "motor speed", "rotational_speed", "n", sources=_PUMP,
        solved="slip on torque: synchronous speed less the fall that the torque asks for, equations (b)")  # fmt: skip
    delivered_dry_air: Array = value("dry air delivered", "mass_flow", "m", total=True, sources=_PUMP,
                                     solved="clearance, valve losses, heating and leakage, equations (a)")  # fmt: skip
    intake_dry_air: Array = value("dry air drawn in", "mass_flow", "m_i", total=True,
                                  equation="delivered_dry_air + blow_by_dry_air")  # fmt: skip
    blow_by_dry_air: Array = value("dry air lost past the rings", "mass_flow", "m_b", total=True)
    delivered_air: Array = answer(
        "air delivered (volume at the intake)", "intake_flow", "Q", total=True, sources=("iso-1217",),
        equation="delivered_dry_air * R_DRY_AIR * intake_temperature"
                 " / (barometer - intake_vapour_pressure)")  # fmt: skip
    volumetric_efficiency: Array = answer("volumetric efficiency", "fraction", "eta_v",
                                          equation="delivered_air / (displacement * pump_speed)")  # fmt: skip
    discharge_pressure: Array = answer("pressure at the pump's outlet", "pressure", "p_d",
                                       equation="receiver_pressure + cooler_drop + path_drop - barometer")  # fmt: skip
    cooler_drop: Array = value("lost in the cooler", "pressure_difference", "dp_c")
    path_drop: Array = value("lost between cooler and receiver", "pressure_difference", "dp_p")
    interstage_pressure: Array | None = answer(
        "pressure between the stages", "pressure", "p_m",
        equation="interstage_absolute_pressure - barometer")  # fmt: skip
    interstage_absolute_pressure: Array | None = value(
        "pressure between the stages, absolute", "absolute_pressure", "p_m", sources=_PUMP,
        solved="the pressure at which both stages pass the same dry air, equations (a)")  # fmt: skip
    last_stage_temperature: Array = value("air drawn in by the last stage", "temperature", "T_s")
    last_stage_power: Array = value("indicated power of the last stage", "power", "P_s", sources=_PUMP,
                                    solved="polytropic compression less re-expansion, equations (a)")  # fmt: skip
    last_stage_stray: Array = value("heat its blow-by carries off", "power", "H_s", sources=_PUMP)
    last_stage_capacity: Array = value(
        "heat capacity of the air it passes, by its dry mass", "number", "c",
        equation="CP_DRY_AIR + last_stage_humidity_ratio * CP_VAPOUR")  # fmt: skip
    last_stage_humidity_ratio: Array = value("water in that air", "humidity_ratio", "W_s")
    wall_heat_share: Array = value("share of the work that leaves through the walls", "number", "q_h")
    discharge_temperature: Array = answer(
        "air at the pump's outlet", "temperature", "T_d", sources=_PUMP,
        equation="last_stage_temperature + ((1 - wall_heat_share) * last_stage_power - last_stage_stray)"
                 " / (delivered_dry_air * last_stage_capacity)")  # fmt: skip
    indicated_power: Array = value("indicated power", "power", "P_i", total=True, sources=_PUMP,
                                   solved="work of all stages in one turn times speed, equations (a)")  # fmt: skip
    friction_power: Array = value("friction of the pump", "power", "P_f", total=True, sources=_PUMP)
    shaft_power: Array = answer("power at the pump's shaft", "power", "P", total=True,
                                equation="indicated_power + friction_power")  # fmt: skip
    pump_torque: Array = answer("mean torque at the pump", "torque", "T_p",
                                equation="shaft_power / (2 * pi * pump_speed)")  # fmt: skip
    motor_torque: Array = value("torque at the motor", "torque", "T_m",
                                equation="shaft_power / (belt_efficiency * 2 * pi * motor_speed)")  # fmt: skip
    rated_motor_torque: Array = value("the motor's rated torque", "torque", "T_n")
    available_torque_share: Array = value(
        "torque it may give for long over rated torque", "number", "a", sources=_PUMP,
        note="1 at base frequency; less with the flux above it, with its own fan below, in thin air")  # fmt: skip
    cooling_torque_share: Array = value(
        "what its own fan's cooling leaves of that torque", "number", "a_f", sources=("practice",),
        note="part of the torque it may give; 1 for a motor made for a drive")  # fmt: skip
    motor_torque_share: Array = answer(
        "motor torque, of what it may give", "fraction", "T_m/T_a",
        equation="motor_torque / (rated_motor_torque * available_torque_share)",
        note="slowing the pump does not lower it: the pump asks for the same torque at any speed")  # fmt: skip
    pull_out_share: Array = value("motor torque over the most it can give at this point", "number", "t", sources=_PUMP)
    motor_current: Array = answer("motor current", "current", "I_m", sources=_PUMP,
                                  solved="magnetising and load current of the loss model, equations (b)")  # fmt: skip
    motor_input_power: Array = value("power into the motor", "power", "P_m", total=True, sources=_PUMP,
                                     solved="air-gap power, core and winding loss, equations (b)")  # fmt: skip
    drive_output_limit: Array | None = value("amps the drive may put out, fed as it is", "current", "I_d")
    drive_output_share: Array | None = answer("drive output, of the amps it may give", "fraction", "I_m/I_d",
                                              equation="motor_current / drive_output_limit")  # fmt: skip
    drive_efficiency: Array = value("efficiency of the drive", "number", "eta_d")
    electrical_power: Array = answer("power taken from the supply", "power", "P_e", total=True,
                                     equation="motor_input_power / drive_efficiency",
                                     note="without fan, dryer and lights")  # fmt: skip
    line_root: Array = value("sqrt(3) on three phases, 1 on a single phase", "number", "k")
    terminal_voltage: Array = value("volts at the drive or starter, wire loss taken off", "voltage", "U")
    supply_power_factor: Array = value("true power factor towards the supply", "number", "lambda")
    supply_current: Array = answer(
        "current from the supply", "current", "I_s", total=True,
        equation="electrical_power / (line_root * terminal_voltage * supply_power_factor)")  # fmt: skip
    voltage_drop_share: Array = answer("volts lost in the supply wires", "fraction", "dU/U", sources=("nec",),
                                       solved="amps through both ways of the wire, over the supply volts",
                                       note="only where wire size and length are told")  # fmt: skip
    specific_power: Array = answer("power for the air it delivers", "specific_power", "P_e/Q",
                                   equation="electrical_power / delivered_air")  # fmt: skip
    wall_temperature: Array = answer(
        "head and cylinder walls, mean", "temperature", "T_w", sources=_PUMP,
        equation="room_temperature + (wall_heat + friction_power) / wall_conductance")  # fmt: skip
    wall_heat: Array = value("heat the air gives to the walls", "power", "Q_w", total=True, sources=_PUMP,
                             solved="its share of the work, less what blow-by carries off")  # fmt: skip
    wall_conductance: Array = value(
        "conductance from walls to room at this speed", "conductance", "UA_w", sources=_PUMP
    )
    winding_temperature: Array = answer("motor windings, mean", "temperature", "T_c", sources=("practice",),
                                        solved="rated rise, losses over rated losses, cooling")  # fmt: skip
    intercooler_heat: Array = value("heat given up between the stages", "power", "Q_ic", total=True)
    intercooler_water: Array = value("water that falls out between the stages", "water_flow", "w_ic", total=True)
    interstage_dry_air: Array = value("dry air through the intercooler", "mass_flow", "m_1", total=True)
    pump_outlet_humidity_ratio: Array = value("water in the air the pump delivers", "humidity_ratio", "W_d")
    stray_enthalpy: Array = value("enthalpy gained by blow-by and interstage water", "power", "H_b", total=True)
    outlet_enthalpy: Array = value("enthalpy gained by the air up to the pump's outlet", "power", "H_d", total=True)
    cooler_outlet_temperature: Array = answer(
        "air going on to the receiver", "temperature", "T_c2", sources=("airfettle-equations", "practice"),
        solved="crossflow, fan air unmixed, with the heat of condensing water, equations (c)",
        note="without a cooler, as it left the pump")  # fmt: skip
    cooler_approach: Array | None = answer(
        "cooler approach: that over the room", "temperature_difference", "dT_c",
        equation="cooler_outlet_temperature - room_temperature")  # fmt: skip
    cooler_outlet_humidity_ratio: Array = value("vapour at the cooler's outlet", "humidity_ratio", "W_c")
    cooler_liquid: Array = value("water made liquid in the cooler", "water_flow", "w_c", total=True)
    cooler_heat: Array = value("heat given up in the cooler", "power", "Q_c", total=True)
    cooler_still_temperature: Array | None = answer(
        "air to the receiver with the fan stopped", "temperature", "T_c3", sources=("practice",),
        solved="the same with the conductance left by a still fan")  # fmt: skip
    sound_rated: Array = value("sound at 1 m at rated speed", "sound_level", "L_0")
    sound_exponent: Array = value("how sound falls with speed", "number", "k_s")
    sound_level: Array = answer("sound at 1 m, free field", "sound_level", "L", sources=("practice",),
                                equation="sound_rated + sound_exponent * log10(pump_speed / rated_pump_speed)",
                                note="a room adds its own")  # fmt: skip
    turning_inertia: Array = value("flywheel and rotor, as felt at the pump", "inertia", "J")
    excess_energy: Array = value("energy the flywheel takes up and gives back in a turn", "work", "dE", sources=_PUMP,
                                 solved="crank torque over one turn, equations (e)")  # fmt: skip
    speed_fluctuation: Array = answer("speed fluctuation within a turn", "fraction", "C_s", sources=_PUMP,
                                      equation="excess_energy / (turning_inertia * (2 * pi * pump_speed) ** 2)",
                                      note="of the pump's shaft, belt taken as stiff")  # fmt: skip
    running_cost: Array | None = answer("cost while running", "cost_rate", "c", total=True, sources=("physics",),
                                        equation="electrical_power * energy_price")  # fmt: skip
    energy_price: Array | None = value("price of electricity", "energy_price", "c_e")


@dataclass(frozen=True)
class PathState:
    """What the air meets after the coolers, all trains together."""

    receiver_pressure: Array = value("receiver pressure", "absolute_pressure", "p_r")
    intake_water: Array = value("water drawn in", "water_flow", "w_0")
    blow_by_water: Array = value("water lost past the rings", "water_flow", "w_b")
    intercooler_water: Array = value("water that falls out between the stages", "water_flow", "w_ic")
    separator_water: Array = value("water drained between cooler and receiver", "water_flow", "w_s")
    water_caught: Array = answer("water caught before the receiver", "water_flow", "w",
                                 equation="intercooler_water + separator_water")  # fmt: skip
    caught_share: Array = answer("share of all water caught before the receiver", "fraction", "w/w_0",
                                 equation="water_caught / intake_water",
                                 note="of all the water drawn in; what air at this pressure can still carry as vapour "
                                      "is not to be caught here")  # fmt: skip
    receiver_water: Array = answer("water that gathers in the receiver", "water_flow", "w_r",
                                   solved="liquid carried over, and what condenses at the receiver's temperature",
                                   sources=("physics",))  # fmt: skip
    receiver_temperature: Array = answer("air leaving the receiver", "temperature", "T_r", sources=("physics",),
                                         solved="cooling towards the room over the receiver's conductance")  # fmt: skip
    receiver_humidity_ratio: Array = value("vapour leaving the receiver", "humidity_ratio", "W_r")
    receiver_dew_point: Array = answer("dew point in the receiver", "temperature", "T_dp",
                                       sources=("ashrae-f-2017",),
                                       equation="dew_point(receiver_humidity_ratio, receiver_pressure)")  # fmt: skip
    receiver_heat: Array = value("heat the receiver gives to the room", "power", "Q_r")
    treatment_water: Array = value("water caught after the receiver", "water_flow", "w_t")
    treatment_heat: Array = value("heat taken out after the receiver", "power", "Q_t")
    drained_enthalpy: Array = value("enthalpy of the water drained or held, from liquid at 0 degC", "power", "H_w")
    dryer_load: Array | None = answer(
        "dryer load, share of its corrected capacity",
        "fraction",
        "m/m_d",
        solved="air through it over its rating at these temperatures and pressure",
        sources=("dryer-manual",),
    )
    line_dew_point: Array = answer("dew point of the air sent out", "temperature", "T_dl",
                                   sources=("ashrae-f-2017",),
                                   equation="dew_point(line_humidity_ratio, line_absolute_pressure)")  # fmt: skip
    line_humidity_ratio: Array = value("vapour in the air sent out", "humidity_ratio", "W_l")
    line_pressure: Array = answer("pressure after filters and dryer", "pressure", "p_l",
                                  equation="line_absolute_pressure - barometer",
                                  note="with all the air it delivers drawn off")  # fmt: skip
    tool_pressure: Array | None = answer("pressure at the tool worst off", "pressure", "p_t",
                                         sources=("airfettle-pipes",), solved="the flows in the shop's pipe",
                                         note="all that can at once running; airfettle pipes names it")  # fmt: skip
    line_absolute_pressure: Array = value("pressure after filters and dryer, absolute", "absolute_pressure", "p_l",
                                          solved="receiver pressure less the drop of each part",
                                          sources=("practice",))  # fmt: skip
    barometer: Array = value("air pressure at the site", "absolute_pressure", "p_a")
    line_temperature: Array = value("air sent out", "temperature", "T_l")
    carried_vapour: Array = value("vapour sent out", "water_flow", "w_v")
    carried_liquid: Array = value("liquid sent out", "water_flow", "w_l")
    sent_enthalpy: Array = value("enthalpy the air gained from intake to line", "power", "dH")
    line_dry_air: Array = value("dry air sent out, what the dryer spends taken off", "mass_flow", "m_l")
    purge_dry_air: Array = value(
        "dry air that the dryer spends", "mass_flow", "m_p", sources=("practice",),
        solved="share of the dryer's rated flow, through a hole: in proportion to its absolute pressure")  # fmt: skip
    purge_water: Array = value("water that leaves with it", "water_flow", "w_p")
    purge_enthalpy: Array = value("enthalpy that leaves with it, but for a heater's heat", "power", "H_p")
    held_water: Array = value("water that beads take up and keep", "water_flow", "w_k")
    dryer_liquid: Array | None = value("liquid water that reaches the dryer", "water_flow", "w_d")
    purge_air: Array | None = answer("air the dryer spends", "reference_flow", "m_p", equation="purge_dry_air",
                                     note="of the air delivered; the tools get the rest")  # fmt: skip
    bead_life: Array | None = value(
        "running time until the beads are spent, dry at the start", "time", "t_k", sources=("bead-isotherms",),
        solved="what the beads hold in balance with the air that enters, over the water they take")  # fmt: skip
    beads_spent: Array | None = answer("beads spent in 8 hours of running", "fraction", "x_k",
                                       equation="28800 / bead_life")  # fmt: skip


@dataclass(frozen=True)
class Slow:
    """Temperatures that change over minutes, one entry for each train; None settles them. [K]"""

    wall: tuple[Array, ...]


@dataclass(frozen=True)
class Instant:
    """The whole plant at one instant: its trains, and the path the air takes after them."""

    trains: tuple[TrainState, ...]
    path: PathState
    passes: int
