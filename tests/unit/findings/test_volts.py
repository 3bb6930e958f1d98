"""Rules about supply, drive and motor fitting each other: each fires, stays silent, and asks where nothing is told."""

import pytest
from electric_plants import ON_THE_LINE, ONE_PHASE, THREE_PHASE
from plant_cases import findings_of
from told_plants import changed


def one(rule, plant, **lines):
    """What a rule says of a plant with lines changed."""
    found = findings_of(changed(plant, **lines), rule)
    assert len(found) == 1
    return found[0]


def state(rule, plant, **lines):
    found = one(rule, plant, **lines)
    return found.state, found.signal


# Phases.


def test_a_single_phase_motor_on_a_drive():
    assert state("single_phase_motor_on_a_drive", ONE_PHASE, motor__phases=1) == ("holds", "danger")
    assert state("single_phase_motor_on_a_drive", ONE_PHASE) == ("clear", "danger")
    assert findings_of(changed(ON_THE_LINE, motor__phases=1), "single_phase_motor_on_a_drive") == []


def test_a_three_phase_motor_straight_on_one_phase():
    single = {"supply__kind": "single-phase 120/240"}
    assert state("three_phase_motor_on_one_phase", ON_THE_LINE, **single) == ("holds", "warning")
    assert "phases = 1" in one("three_phase_motor_on_one_phase", ON_THE_LINE, **single).do
    assert state("three_phase_motor_on_one_phase", ON_THE_LINE, **single, motor__phases=1) == ("clear", "warning")
    assert state("three_phase_motor_on_one_phase", ON_THE_LINE) == ("clear", "warning")
    assert findings_of(ONE_PHASE, "three_phase_motor_on_one_phase") == []


def test_a_static_converter():
    static = {"supply__kind": "static converter", "supply__voltage": "208 V"}
    assert state("static_converter", ONE_PHASE, **static) == ("holds", "warning")
    light = state("static_converter", ON_THE_LINE, **static, pump__displacement="34 in3 by maker")
    assert light == ("clear", "warning")
    assert state("static_converter", ON_THE_LINE, **static) == ("may hold", "notice")
    heavy = one("static_converter", ON_THE_LINE, **static, pump__displacement="48 in3 by maker")
    assert (heavy.state, heavy.signal) == ("holds", "warning")
    assert float(heavy.says.partition("give ")[2].split()[0]) > 67.0
    assert findings_of(ON_THE_LINE, "static_converter") == []


# Volts.


@pytest.mark.parametrize(
    ("plant", "lines", "expected"),
    [
        (ON_THE_LINE, {"motor__voltage": "180 V by plate"}, ("holds", "danger")),  # 208 V is 1.16 of it
        (ON_THE_LINE, {"motor__voltage": "180 V"}, ("holds", "notice")),
        (ON_THE_LINE, {"motor__voltage": "192 V by plate"}, ("clear", "danger")),
        (ON_THE_LINE, {"motor__voltage": "189.2 V by plate"}, ("may hold", "notice")),  # the meter's 1 % decides
        (THREE_PHASE, {"motor__voltage": "230 V by plate"}, ("holds", "danger")),  # delta left from a 230 V drive
        (THREE_PHASE, {"motor__voltage": "380 V by plate"}, ("clear", "danger")),
        (ONE_PHASE, {"motor__voltage": "208 V by plate"}, ("clear", "danger")),  # a matter of the drive's settings
    ],
)
def test_a_motor_joined_for_lower_volts(plant, lines, expected):
    assert state("motor_joined_for_lower_volts", plant, **lines) == expected


def test_delta_on_the_higher_supply_is_meant_where_the_drive_goes_to_87_hz():
    delta = {"motor__voltage": "230 V by plate"}
    top = {"drive__maximum_frequency": "87 Hz by plate", "control__full": "87 Hz"}
    assert state("motor_joined_for_lower_volts", THREE_PHASE, **delta, **top) == ("clear", "danger")


def test_a_50_hz_motor_keeps_its_flux_on_480_v_at_60_hz():
    american = {"supply__kind": "480/277 wye", "supply__voltage": "480 V", "supply__frequency": "60 Hz"}
    motor = {"motor__voltage": "400 V by plate", "motor__frequency": "50 Hz by plate", "motor__speed": "1450 rpm"}
    assert state("motor_joined_for_lower_volts", ON_THE_LINE, **american, **motor) == ("clear", "danger")
    found = one("mains_frequency", ON_THE_LINE, **american, **motor)
    assert (found.state, found.signal) == ("holds", "warning")
    assert "120.0 %" in found.says  # speed
    assert "100.0 %" in found.says  # flux


@pytest.mark.parametrize(
    ("plant", "lines", "expected"),
    [
        (ON_THE_LINE, {"motor__voltage": "230 V by plate"}, ("holds", "warning")),
        (ON_THE_LINE, {"motor__voltage": "230 V"}, ("holds", "notice")),
        (ON_THE_LINE, {}, ("clear", "warning")),
        (ON_THE_LINE, {"motor__voltage": None}, ("not told", "notice")),
        (ON_THE_LINE, {"supply__kind": None, "supply__voltage": None}, ("not told", "notice")),
        (ONE_PHASE, {"motor__voltage": "400 V by plate"}, ("holds", "warning")),  # star on a 230 V drive
        (ONE_PHASE, {"motor__voltage": "263.5 V by plate"}, ("may hold", "notice")),
    ],
)
def test_a_motor_short_of_volts(plant, lines, expected):
    assert state("motor_short_of_volts", plant, **lines) == expected


def test_a_star_motor_kept_slow_enough_is_not_short_of_volts():
    slow = {"drive__minimum_frequency": "20 Hz", "drive__maximum_frequency": "34 Hz", "control__low": "20 Hz"}
    lines = {"motor__voltage": "400 V by plate", "control__full": "34 Hz"} | slow
    assert state("motor_short_of_volts", ONE_PHASE, **lines) == ("clear", "warning")
    full = one("motor_short_of_volts", ONE_PHASE, motor__voltage="400 V by plate").says
    assert float(full.partition("falls from about ")[2].split()[0]) == pytest.approx(36.0, abs=0.1)  # 60 x 240/400


def test_low_volts():
    long = {"supply__wire_length": "1500 ft by tape"}
    assert state("low_volts", ON_THE_LINE, **long) == ("holds", "warning")
    assert state("low_volts", ON_THE_LINE, **long, motor__voltage="200 V") == ("holds", "notice")
    assert state("low_volts", ON_THE_LINE, supply__wire_length="900 ft by tape")[0] == "may hold"
    assert state("low_volts", ON_THE_LINE) == ("clear", "warning")
    assert findings_of(changed(ON_THE_LINE, motor__voltage=None), "low_volts") == []


def test_low_volts_at_a_drive_are_its_own_lowest_or_the_motors_plate():
    assert state("low_volts", THREE_PHASE, drive__lowest_input_voltage="415 V by maker") == ("holds", "warning")
    assert state("low_volts", THREE_PHASE, drive__lowest_input_voltage="415 V") == ("holds", "notice")
    assert state("low_volts", THREE_PHASE, drive__lowest_input_voltage=None) == ("clear", "warning")


def test_a_supply_too_low_by_itself_is_told_once():
    assert state("motor_short_of_volts", ON_THE_LINE, motor__voltage="240 V by plate")[0] == "holds"
    assert findings_of(changed(ON_THE_LINE, motor__voltage="240 V by plate"), "low_volts") == []


def test_volts_lost_in_the_wires():
    found = one("volts_lost_in_the_wires", ON_THE_LINE, supply__wire_length="350 ft by tape")
    assert (found.state, found.signal) == ("holds", "notice")
    # 10.4 A through 350 ft of 10 AWG at 1.24 ohm a thousand feet: sqrt(3) x 10.4 x 0.434 / 208 V
    assert float(found.says.split()[0]) == pytest.approx(3.75, abs=0.15)
    assert state("volts_lost_in_the_wires", ON_THE_LINE) == ("clear", "notice")
    assert findings_of(changed(ON_THE_LINE, supply__wire=None), "volts_lost_in_the_wires") == []


def test_trains_on_the_same_wires_share_their_loss():
    own = 'drive = "none"\nmotor.power = "5 hp"\npump.displacement = "38 in3"\nbelt.ratio = "2.4"\n'
    head = 'plant.units = "US"\nsupply = {{ kind = "208 wye", wire = "10 AWG", wire_length = "{} ft by tape" }}\n'
    trains = [f'[[train]]\nname = "{name}"\n{own}' for name in ("left", "right")]

    def lost(length, *several):
        return [f.state for f in findings_of(head.format(length) + "".join(several), "volts_lost_in_the_wires")]

    assert lost(190, trains[0]) == ["clear"]
    assert lost(190, *trains) == ["holds"]


@pytest.mark.parametrize(
    ("third", "expected"), [("208.5 V", "clear"), ("210.5 V", "clear"), ("211 V", "holds"), ("218 V", "holds")]
)
def test_unbalance_of_three_legs(third, expected):
    assert state("legs_unbalanced", ON_THE_LINE, supply__volts_3_1=third) == (expected, "caution")


def test_unbalance_says_how_much_and_needs_three_voltages():
    found = one("legs_unbalanced", ON_THE_LINE, supply__volts_3_1="218 V by multimeter")
    assert "3.3 % from the mean" in found.says  # 218 against a mean of 211
    assert findings_of(changed(ON_THE_LINE, supply__volts_3_1=None), "legs_unbalanced") == []


# Hertz, peaks, service factor.


def test_mains_of_another_frequency():
    low = {"supply__frequency": "50 Hz"}
    found = one("mains_frequency", ON_THE_LINE, **low)
    assert (found.state, found.signal) == ("holds", "warning")
    assert "83.3 %" in found.says
    assert state("mains_frequency", ON_THE_LINE, **low, motor__frequency="60 Hz") == ("holds", "notice")
    assert state("mains_frequency", ON_THE_LINE) == ("clear", "warning")
    assert findings_of(changed(ON_THE_LINE, motor__frequency=None), "mains_frequency") == []
    assert findings_of(changed(ONE_PHASE, **low), "mains_frequency") == []


HIGH = {"supply__kind": "480/277 wye", "supply__voltage": "480 V by multimeter", "motor__voltage": "460 V by plate"}


@pytest.mark.parametrize(
    ("lead", "duty", "expected"),
    [
        ("80 ft by tape", "no", ("holds", "caution")),
        ("80 ft by tape", None, ("not told", "notice")),
        ("80 ft by tape", "yes", ("clear", "caution")),
        ("12.9 ft by tape", "no", ("may hold", "notice")),
        ("6 ft by tape", "no", ("clear", "caution")),
        ("6 ft by tape", None, ("clear", "caution")),
    ],
)
def test_peaks_at_the_winding(lead, duty, expected):
    lines = HIGH | {"motor_lead__wire_length": lead, "motor__inverter_duty": duty}
    assert state("winding_peaks", ONE_PHASE, **lines) == expected


def test_peaks_are_of_no_concern_on_lower_supplies_or_on_the_line():
    long = {"motor_lead__wire_length": "80 ft by tape", "motor__inverter_duty": "no"}
    assert findings_of(changed(ONE_PHASE, **long), "winding_peaks") == []
    assert findings_of(changed(ON_THE_LINE, **HIGH, **long), "winding_peaks") == []


def test_the_service_factor_does_not_count_on_a_drive():
    assert state("service_factor_on_a_drive", ONE_PHASE) == ("clear", "notice")
    found = one("service_factor_on_a_drive", ONE_PHASE, pump__displacement="65 in3 by maker")
    assert (found.state, found.signal) == ("holds", "notice")
    assert 100.0 < float(found.says.partition("give ")[2].split()[0]) < 115.0
    assert state("service_factor_on_a_drive", ONE_PHASE, pump__displacement="57 in3 by maker")[0] == "may hold"
    overloaded = changed(ONE_PHASE, pump__displacement="65 in3 by maker", motor__service_factor=None)
    assert findings_of(overloaded, "service_factor_on_a_drive") == []
    assert findings_of(changed(ON_THE_LINE, motor__service_factor="1.15"), "service_factor_on_a_drive") == []
