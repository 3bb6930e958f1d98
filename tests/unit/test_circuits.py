"""Circuits made from a plant's own choices: what is drawn, as it is and as it should be, and what every stop does."""

from dataclasses import replace

import pytest
from electric_plants import ON_THE_LINE, ONE_PHASE, THREE_PHASE
from plant_cases import plant_of
from told_plants import changed

from airfettle.errors import EntriesDisagree
from airfettle.findings.register import RULES
from airfettle.report.terminals_leaf import terminals_leaf
from airfettle.studies.draw import draw
from airfettle.studies.wiring.check import check_circuit
from airfettle.studies.wiring.circuit import Circuit, Column, Device, Net, Panel, Remark, Step
from airfettle.studies.wiring.circuits import circuits
from airfettle.studies.wiring.remarks import LOUDNESS, SAID
from airfettle.studies.wiring.stops import stops_of
from airfettle.studies.wiring.supplies import supply_shape
from airfettle.studies.wiring.wired import WireWords


def of(plant, *, held=None, wires=None, **lines):
    return circuits(draw(plant_of(changed(plant, **lines)), rows=8), held=held, wires=wires)


def one(found, sort, *, right=False):
    """The circuit of a sort, as it is or corrected; None where there is none."""
    fitting = [circuit for circuit in found if circuit.sort == sort and circuit.corrected == right]
    return fitting[0] if fitting else None


def joined(circuit, pin):
    """All pins on the wire of a pin."""
    return set(next((net.pins for net in circuit.nets if pin in net.pins), ()))


def state(circuit, tag):
    device = circuit.device(tag)
    return device.state, device.finding


def tags(circuit):
    return {device.tag for device in circuit.devices}


def what(found, kind, *, right=False):
    """One kind of stop of a plant with one train."""
    each = next(each for each in stops_of(found) if each.corrected == right)
    return next(stop for stop in each.stops if stop.kind == kind)


def test_a_well_wired_plant_needs_no_corrected_drawing():
    assert not [c for c in of(ONE_PHASE, motor__disconnect="yes") if c.corrected]


def test_a_single_phase_feeds_two_terminals_of_a_three_phase_drive():
    power = one(of(ONE_PHASE), "power")
    ends = [pin for net in power.nets for pin in net.pins if pin[0] == "U1"]
    assert ("U1", "L1") in ends
    assert ("U1", "L2") in ends
    assert ("U1", "L3") not in ends
    assert any("two of its three" in remark.says for remark in power.remarks)


def test_three_phases_go_through_every_device_in_order():
    power = one(of(THREE_PHASE), "power")
    net = joined(power, ("X0", "L1"))
    assert net == {("X0", "L1"), ("F1", "1")}
    assert joined(power, ("M1", "PE")) >= {("X0", "PE"), ("U1", "PE")}
    assert all(joined(power, ("U1", out)) for out in ("U", "V", "W"))


@pytest.mark.parametrize(
    ("lines", "sort", "tag", "rule"),
    [
        ({"drive__started_by": "switching its supply"}, "power", "K1", "drive_input_switched"),
        ({"drive__output_switch": "opens in normal stopping"}, "power", "K4", "motor_wires_opened"),
        ({"drive__output_switch": "isolator alone"}, "power", "Q3", "motor_wires_opened"),
        ({"drive__bypass": "not interlocked"}, "power", "K2", "mains_on_the_output"),
        ({"drive__on_output": "capacitors"}, "power", "C1", "only_the_motor_on_the_drive"),
        ({"drive__on_output": "several motors"}, "power", "M3", "only_the_motor_on_the_drive"),
        ({"drive__on_output": "also a fan, relay or supply"}, "power", "X9", "only_the_motor_on_the_drive"),
        ({"drive__on_output": "neutral or earth on the star point"}, "power", "M1", "only_the_motor_on_the_drive"),
        ({"control__contacts": "motor"}, "power", "B1", "motor_wires_opened"),
        ({"control__contacts": "drive input by power contacts"}, "control", "B1", "power_contacts_on_a_signal"),
        ({"supply__ground_fault": "4-6 mA"}, "power", "F9", "ground_fault_device"),
    ],
)
def test_what_is_wrong_is_drawn_as_it_is_and_put_right_beside_it(lines, sort, tag, rule):
    found = of(ONE_PHASE, **lines)
    was, now = one(found, sort), one(found, sort, right=True)
    assert state(was, tag) == ("wrong", rule)
    assert any(remark.finding == rule and tag in remark.about for remark in was.remarks)
    assert not [device for device in now.devices if device.state != "there"]
    assert rule in RULES


@pytest.mark.parametrize(
    ("lines", "sort", "tag", "rule"),
    [
        ({"motor__disconnect": "no"}, "power", "Q1", "no_disconnect_in_sight"),
        ({"motor_lead__shielded": "no"}, "power", "W1", "unshielded_motor_lead"),
        ({"control__emergency_stop": "no"}, "control", "S0", "no_emergency_stop"),
    ],
)
def test_what_is_missing_stands_in_its_place(lines, sort, tag, rule):
    found = of(ONE_PHASE, **lines)
    assert state(one(found, sort), tag) == ("missing", rule)
    assert state(one(found, sort, right=True), tag) == ("there", rule)


def test_a_missing_earth_is_a_missing_wire():
    found = of(ONE_PHASE, supply__protective_earth="no")
    (net,) = [net for net in one(found, "power").nets if net.number == "PE"]
    assert (net.state, net.finding) == ("missing", "protective_earth")
    assert one(found, "power").remarks[0].signal == "danger"


def test_a_fan_on_the_drive_moves_to_the_line_side():
    found = of(ONE_PHASE, cooler__fan="drive output")
    was, now = one(found, "power"), one(found, "power", right=True)
    assert state(was, "M2") == ("wrong", "cooler_fan_on_the_drive")
    assert "M2" not in tags(now)
    control = one(found, "control", right=True)
    assert joined(control, ("M2", "1")) == {("K7:17", "18"), ("M2", "1")}
    assert ("X1:1", "1") in joined(control, ("F4", "1"))
    assert what(found, "fault of the drive").fan == "stops"
    assert what(found, "fault of the drive", right=True).fan == "runs on"
    assert what(found, "power failure", right=True).fan == "stops"


def test_the_pressure_switch_of_a_drive_carries_no_motor_current_and_one_contact_is_enough():
    """Common practice: a dry contact on the run input, its second contact left free."""
    found = of(ONE_PHASE, control__switch_poles="two")
    power, control = one(found, "power"), one(found, "control")
    assert "B1" not in tags(power)
    assert {pin for net in control.nets for pin in net.pins if pin[0].startswith("B1")} == {("B1", "11"), ("B1", "12")}
    assert ("U1:24", "24V") in joined(control, ("B1", "11"))
    assert joined(control, ("B1", "12")) == {("B1", "12"), ("U1:in", "RUN")}
    assert "its second contact stays free" in control.device("B1").words


def test_power_contacts_pull_a_small_relay_whose_contact_closes_the_input():
    control = one(of(ONE_PHASE, control__contacts="drive input by power contacts"), "control", right=True)
    assert ("K5", "A1") in joined(control, ("B1", "12"))
    assert ("X1:1", "1") in joined(control, ("B1", "11"))
    assert joined(control, ("K5:13", "14")) == {("K5:13", "14"), ("U1:in", "RUN")}


def test_a_solenoid_on_the_running_relay_vents_at_every_stop():
    found = of(ONE_PHASE, pump__unloader="solenoid valve", pump__vents_after_fault="yes")
    (each,) = stops_of(found)
    assert len(each.stops) >= 5
    assert {stop.head_vented for stop in each.stops} == {"yes"}


def test_a_solenoid_on_the_pressure_switch_stays_shut_after_a_fault_until_it_is_moved():
    found = of(ONE_PHASE, pump__unloader="solenoid valve", pump__vents_after_fault="no")
    assert state(one(found, "control"), "Y1") == ("wrong", "unloader_shut_after_fault")
    assert what(found, "pressure reached").head_vented == "yes"
    assert what(found, "fault of the drive").head_vented == "no"
    assert what(found, "fault of the drive", right=True).head_vented == "yes"


def test_a_valve_on_the_pressure_switch_opens_at_cut_out_only():
    found = of(ONE_PHASE, pump__unloader="valve on the pressure switch", pump__vents_after_fault="no")
    assert what(found, "pressure reached").head_vented == "yes"
    assert what(found, "power failure").head_vented == "no"
    assert any(remark.finding == "unloader_shut_after_fault" for remark in one(found, "control").remarks)


@pytest.mark.parametrize(
    ("answer", "release", "power"),
    [
        ("nothing", "no", "no"),
        ("release of the emergency stop", "yes", "no"),
        ("power coming back", "no", "yes"),
        ("several of these", "yes", "yes"),
        ("unknown", "not told", "not told"),
    ],
)
def test_a_drive_starts_again_as_far_as_its_settings_let_it(answer, release, power):
    found = of(ONE_PHASE, control__restarts_by_itself=answer)
    assert (what(found, "emergency stop").restarts, what(found, "power failure").restarts) == (release, power)
    if answer != "nothing":
        assert {what(found, kind, right=True).restarts for kind in ("emergency stop", "power failure")} == {"no"}
        assert state(one(found, "control", right=True), "K0") == ("there", "restarts_by_itself")


def test_a_starter_without_a_start_relay_starts_as_the_power_returns():
    line = of(ON_THE_LINE, control__restarts_by_itself="power coming back", control__contacts="contactor coil")
    assert what(line, "power failure").restarts == "yes"
    assert what(line, "power failure", right=True).restarts == "no"
    latched = of(ON_THE_LINE, control__restarts_by_itself="nothing", control__contacts="contactor coil")
    assert what(latched, "power failure").restarts == "no"
    assert what(latched, "pressure reached").restarts == "yes"


def test_a_starter_has_stop_overload_and_pressure_switch_ahead_of_its_coil():
    found = of(ON_THE_LINE, control__contacts="contactor coil")
    control, power = one(found, "control"), one(found, "power")
    assert {"S0", "F3:95", "B1", "K1"} <= tags(control)
    assert {"K1", "F3", "M1"} <= tags(power)
    for kind in ("emergency stop", "overload relay trips", "pressure reached", "wire broken at the pressure switch"):
        assert what(found, kind).motor_stops == "yes"


def test_a_pressure_switch_in_the_motors_wires_has_no_coil_of_its_own():
    found = of(ON_THE_LINE, control__contacts="motor", control__restarts_by_itself="power coming back")
    power = one(found, "power")
    assert power.device("B1").symbol.startswith("pressure_contacts")
    assert "K1" not in tags(power)
    held = of(ON_THE_LINE, held={"pressure_switch_overloaded": ("control",)}, control__contacts="motor")
    assert state(one(held, "power"), "B1") == ("wrong", "pressure_switch_overloaded")
    assert "K1" in tags(one(held, "power", right=True))


def test_a_contactor_behind_the_drive_leaves_the_head_full():
    found = of(ONE_PHASE, drive__output_switch="opens in normal stopping", pump__unloader="solenoid valve")
    assert what(found, "pressure reached").head_vented == "no"
    assert what(found, "pressure reached", right=True).head_vented == "yes"


def test_the_isolators_early_break_contact_stops_the_drive():
    found = of(ONE_PHASE, drive__output_switch="isolator with early-break contact")
    assert ("U1:in", "EN") in joined(one(found, "control"), ("Q3:13", "14"))
    assert "U1:RUN" in what(of(ONE_PHASE, drive__output_switch="isolator with early-break contact",
                               pump__unloader="solenoid valve"), "isolator behind the drive opened").opens  # fmt: skip


def test_a_transducer_has_an_independent_switch_in_the_enable_chain():
    lines = {"control__kind": "transducer", "control__independent_pressure_stop": "no", "drive__lost_speed": "stops"}
    found = of(ONE_PHASE, **lines)
    assert state(one(found, "control"), "B2") == ("missing", "transducer_alone")
    assert what(found, "high-pressure switch", right=True).motor_stops == "yes"
    assert what(found, "wire broken at the transducer").motor_stops == "yes"
    assert what(of(ONE_PHASE, **lines | {"drive__lost_speed": "runs on"}),
                "wire broken at the transducer").motor_stops == "no"  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "wires", "control"),
    [
        ("single-phase 120/240", ("L1", "L2"), ("L1", "L2")),
        ("240 high-leg delta", ("L1", "L2", "L3"), ("L1", "L3")),
        ("240 corner-grounded delta", ("L1", "L2", "L3"), ("L1", "L3")),
        ("400/230 wye", ("L1", "L2", "L3"), ("L1", "N")),
        ("480/277 wye", ("L1", "L2", "L3"), ("L1", "L2")),
        ("rotary converter", ("L1", "L2"), ("L1", "L2")),
    ],
)
def test_supplies_bring_their_wires_and_the_control_keeps_off_the_odd_one(kind, wires, control):
    found = of(ONE_PHASE, supply__kind=kind, pump__unloader="solenoid valve")
    power = one(found, "power")
    assert tuple(net.number for net in power.nets if ("F1", "1") in net.pins or ("F1", "3") in net.pins
                 or ("F1", "5") in net.pins) == wires  # fmt: skip
    assert supply_shape(kind, phases=3, us=True).control == control
    assert ("T1" in tags(power)) == (kind == "480/277 wye")
    assert ("G1" in tags(power)) == (kind == "rotary converter")
    assert what(found, "power failure").head_vented == "yes"


def test_a_load_from_high_leg_to_neutral_is_drawn_there():
    found = of(ONE_PHASE, supply__kind="240 high-leg delta", supply__high_leg_load="yes")
    power = one(found, "power")
    assert ("X0", "L2") in joined(power, ("X7", "1"))
    assert ("X0", "N") in joined(power, ("X7", "2"))
    assert "X7" not in tags(one(found, "power", right=True))


def test_sizes_that_a_finding_calls_too_small_are_written_as_they_should_be():
    words = WireWords(supply="4 AWG Cu", motor="10 AWG Cu", protection="45 A breaker")
    found = of(ONE_PHASE, held={"supply_wire": ("supply",), "breaker_too_large": ("supply",)}, wires=(words,))
    was, now = one(found, "power"), one(found, "power", right=True)
    assert {net.state for net in was.nets if net.number in ("L1", "L2")} == {"wrong"}
    assert {net.wire for net in now.nets if net.number in ("L1", "L2")} == {"4 AWG Cu"}
    assert "45 A breaker" in now.device("F1").words


def test_presets_leave_the_slowest_speed_to_a_broken_wire():
    control = one(of(ONE_PHASE, control__quiet="45 Hz"), "control")
    assert [pin[1] for net in control.nets for pin in net.pins if pin[0] == "U1:in" and pin[1].startswith("S")] == [
        "S1",
        "S2",
    ]
    assert any("runs at 40 Hz" in remark.says for remark in control.remarks)


def test_remarks_stand_worst_first_and_agree_with_their_findings():
    for rule, said in SAID.items():
        assert said.signal == RULES[rule].signal, rule
    found = of(ONE_PHASE, drive__bypass="not interlocked", motor_lead__shielded="no", motor__disconnect="no")
    loud = [LOUDNESS[remark.signal] for remark in one(found, "power").remarks]
    assert loud == sorted(loud)
    assert loud[0] == 0


def small(**more):
    """A circuit of a lamp on a battery, whole unless something is changed."""
    devices = (Device("G", "box", ("+",)), Device("H", "lamp", ("1", "2")), Device("E", "box", ("-",)))
    nets = (Net("1", (("G", "+"), ("H", "1"))), Net("2", (("H", "2"), ("E", "-"))))
    column = Column(("G", "+"), (Step("H", "1", "2"),), ("E", "-"))
    panels = (Panel("all", ("G",), ("E",), (column,)),)
    return replace(Circuit("control", "lamp", "", False, devices, nets, panels), **more)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"nets": (Net("1", (("G", "+"), ("H", "1"))), Net("2", (("H", "2"), ("E", "-"), ("H", "1"))))}, "in two nets"),
        ({"nets": (Net("1", (("G", "+"), ("H", "1"))), Net("2", (("Z", "2"), ("E", "-"))))}, "no terminal"),
        ({"nets": (Net("1", (("G", "+"), ("H", "2"))), Net("2", (("H", "1"), ("E", "-"))))}, "no wire from"),
        ({"nets": (Net("1", (("G", "+"), ("H", "1"))), Net("1", (("H", "2"), ("E", "-"))))}, "two wires 1"),
        ({"devices": (*small().devices, Device("X", "lamp", ("1", "2")))}, "never used"),
        ({"devices": (*small().devices, small().devices[1])}, "two devices H"),
        (
            {"devices": (small().devices[0], Device("H", "lamp", ("1", "2"), state="wrong"), small().devices[2])},
            "names no",
        ),
        ({"remarks": (Remark("notice", "x", about=("Q9",)),)}, "Q9, which is not there"),
    ],
)
def test_a_circuit_that_does_not_hang_together_is_refused(more, words):
    check_circuit(small())
    with pytest.raises(EntriesDisagree, match=words):
        check_circuit(small(**more))


def test_the_terminal_list_has_every_wire_once_from_end_to_end():
    found = of(ONE_PHASE, control__contacts="drive input by power contacts", pump__unloader="solenoid valve")
    leaf = terminals_leaf(found)
    tables = [block for block in leaf.blocks if hasattr(block, "rows")]
    for circuit, table in zip(found, tables, strict=False):
        wires = [row for row in table.rows if not row[2].endswith("frame")]
        assert len(wires) == sum(len(net.pins) - 1 for net in circuit.nets)
        assert {row[0] for row in wires} == {net.number for net in circuit.nets}
    control = next(table for table in tables if table.name == "control")
    assert any(row[4] == "wrong: B1" for row in control.rows)
    assert len({table.name for table in tables}) == len(tables)
    assert any(table.name == "stops-as-it-is" for table in tables)


def test_a_motor_that_cannot_run_as_wired_is_said_to_be_so():
    found = of(ON_THE_LINE, supply__kind="single-phase 230", motor__phases=3)
    assert stops_of(found)[0].stops == ()
    assert any("does not run" in getattr(block, "text", "") for block in terminals_leaf(found).blocks)
    assert stops_of(found)[1].stops


BY_NEUTRAL = {"supply__kind": "400/230 wye", "pump__unloader": "solenoid valve", "drive__input_phases": 3}


@pytest.mark.parametrize("kind", ["400/230 wye", "single-phase 230"])
@pytest.mark.parametrize("right", [False, True])
def test_a_ground_fault_device_holds_every_wire_that_anything_behind_it_takes_current_by(kind, right):
    """Current that comes back round the device counts as current to earth, and trips it."""
    more = {"supply__kind": kind, "drive__input_phases": 3 if kind == "400/230 wye" else 1}
    found = of(ONE_PHASE, **BY_NEUTRAL | more, supply__ground_fault="30 mA type B",
               motor__disconnect="no", cooler__fan="own supply")  # fmt: skip
    power = one(found, "power", right=right)
    device = power.device("F9")
    assert device.symbol == ("residual_device_4" if kind == "400/230 wye" else "residual_device_2")
    names = {pin[1] for net in power.nets for pin in net.pins if pin[0] == "X0"} - {"PE"}
    ahead = {pin[0] for name in names for pin in joined(power, ("X0", name))}
    assert ahead <= {"X0", "F1", "F9"}
    assert what(found, "emergency stop", right=True).motor_stops == "yes"
    behind = joined(power, ("F9", device.terminals[-1]))
    assert behind & {("X1", "2"), ("Q1", "3")}


def test_a_neutral_that_nothing_takes_does_not_go_through_the_ground_fault_device():
    power = one(of(THREE_PHASE, supply__kind="480/277 wye", supply__ground_fault="30 mA type B"), "power")
    assert power.device("F9").symbol == "residual_device_3"


@pytest.mark.parametrize("reactor", ["yes", "no"])
def test_a_main_conductor_keeps_the_supplys_size_where_the_control_is_tapped_from_it(reactor):
    words = WireWords(supply="6 mm2 Cu")
    found = of(ONE_PHASE, supply__kind="single-phase 230", drive__input_phases=1, drive__reactor=reactor,
               pump__unloader="solenoid valve", wires=(words,))  # fmt: skip
    power = one(found, "power")
    for net in power.nets:
        behind = {pin for pin in net.pins if pin[0] in ("F2", "T1") and pin[1] in ("2", "4", "X1", "X2")}
        if net.sort == "line":
            assert ("control wire" in net.wire) == bool(behind), net


def test_an_emergency_stop_on_a_drives_input_is_said_to_be_none_by_itself():
    def said(found):
        return [r for r in one(found, "control").remarks if "safe torque off" in r.do]

    (remark,) = said(of(ONE_PHASE, control__emergency_stop="yes"))
    assert remark.signal == "warning"
    assert set(remark.about) == {"S0", "U1:in"}
    assert not said(of(ONE_PHASE, control__emergency_stop="no"))
    assert not said(of(ON_THE_LINE, control__emergency_stop="yes", control__contacts="contactor coil"))


def test_a_changeover_put_right_stops_the_drive_before_it_opens_its_wires():
    found = of(ONE_PHASE, drive__bypass="not interlocked", control__restarts_by_itself="several of these")
    control = one(found, "control", right=True)
    assert ("U1:in", "EN") in joined(control, ("K3:13", "14"))
    assert joined(control, ("S4:33", "34")) == {("S4:33", "34"), ("K3:13", "13")}
    assert any("motor standing" in remark.do for remark in control.remarks)


def test_past_the_drive_it_starts_by_its_button_only():
    found = of(THREE_PHASE, drive__bypass="not interlocked", control__restarts_by_itself="several of these",
               control__head_thermostat="yes", control__independent_pressure_stop="yes",
               control__emergency_stop="no")  # fmt: skip
    was, now = stops_of(found)
    stops = {stop.kind: stop for stop in now.past_drive}
    assert "fault of the drive" not in stops
    for kind in ("emergency stop", "high-pressure switch", "power failure", "overload relay past the drive trips"):
        assert (stops[kind].motor_stops, stops[kind].restarts) == ("yes", "no")
    assert (stops["pressure reached"].motor_stops, stops["pressure reached"].restarts) == ("yes", "yes")
    assert "B3:31" in tags(one(found, "control", right=True))
    assert not was.past_drive
    assert "nobody told" in was.bypass
    assert any("what pulls K2 in" in remark.says for remark in one(found, "control").remarks)
    blocks = terminals_leaf(found).blocks
    assert any("On the drive only" in getattr(block, "text", "") for block in blocks)
    assert any(getattr(block, "name", "") == "stops-corrected-past-the-drive" for block in blocks)


def test_a_bypass_as_told_shows_that_power_coming_back_starts_it_past_the_drive():
    (each, *_) = stops_of(of(THREE_PHASE, drive__bypass="interlocked", control__restarts_by_itself="nothing"))
    assert next(stop for stop in each.past_drive if stop.kind == "power failure").restarts == "yes"


def test_a_bypass_that_brings_two_wires_to_a_motor_for_three_is_said_not_to_run_it():
    (each, *_) = stops_of(of(ONE_PHASE, drive__bypass="interlocked"))
    assert not each.past_drive
    assert "does not run" in each.bypass


@pytest.mark.parametrize(
    ("resets", "again"),
    [("nothing", "no"), ("power coming back", "no"), ("a fault that resets itself", "yes"), ("unknown", "not told")],
)
def test_a_lost_signal_starts_again_only_where_faults_reset_themselves(resets, again):
    lines = {"control__kind": "transducer", "drive__lost_speed": "stops", "control__restarts_by_itself": resets}
    found = of(ONE_PHASE, **lines)
    assert what(found, "wire broken at the transducer").restarts == again


def test_a_transducer_put_right_stops_the_drive_when_its_wire_breaks():
    found = of(ONE_PHASE, control__kind="transducer", drive__lost_speed="unknown")
    assert what(found, "wire broken at the transducer").motor_stops == "not told"
    mended = what(found, "wire broken at the transducer", right=True)
    assert (mended.motor_stops, mended.restarts) == ("yes", "no")


def test_a_high_pressure_switch_that_is_not_there_is_spoken_of():
    def said(**lines):
        return [r.says for r in one(of(ONE_PHASE, **lines), "control").remarks if "high-pressure switch" in r.says]

    assert said(control__independent_pressure_stop="unknown")
    assert said(control__independent_pressure_stop="no")
    assert not said(control__independent_pressure_stop="yes")
    told = of(ONE_PHASE, control__kind="transducer", control__independent_pressure_stop="unknown")
    assert state(one(told, "control", right=True), "B2") == ("there", "transducer_alone")


def test_a_fan_is_earthed():
    found = of(ONE_PHASE, cooler__fan="own supply")
    assert any("Earth the fan's frame" in remark.says for remark in one(found, "control").remarks)
    table = next(block for block in terminals_leaf(found).blocks if getattr(block, "name", "") == "control")
    assert [row[2] for row in table.rows if row[0] == "PE"] == ["M2:PE cooler fan frame"]


def test_a_converter_put_right_can_be_locked_off_ahead_of_it():
    found = of(ON_THE_LINE, supply__kind="single-phase 230", motor__phases=3)
    power = one(found, "power", right=True)
    assert ("Q2", "2") in joined(power, ("G1", "L1"))
    assert {"F1", "F9"} & {tag for tag, _ in joined(power, ("Q2", "1"))}
    was = of(ON_THE_LINE, supply__kind="rotary converter", motor__phases=3)
    assert any("ahead of the converter" in remark.says for remark in one(was, "power").remarks)


def test_a_speed_under_the_pumps_floor_is_not_held_out_as_the_one_to_set():
    found = of(ONE_PHASE, held={"pump_below_floor": ("pump",)}, motor__disconnect="no", control__emergency_stop="no")
    was, now = ([r.says for r in one(found, "control", right=right).remarks if "no speed input" in r.says]
                for right in (False, True))  # fmt: skip
    assert "40 Hz today" in was[0]
    assert "settings sheet" in was[0]
    assert "Hz" not in now[0]
