"""Gaps filled: what is derived from what, a pump's size solved backwards, and the order of what is believed."""

import numpy as np
import pytest

from airfettle.plant.whole import OwnersPlant
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.instant.whole import instant

CFM = 0.3048**3 / 60.0
PSI = 6_894.757293168361
SEA_LEVEL = {"barometer": "101.325..101.325 kPa", "room_temperature": "20..20 degC", "humidity": "50..50 %"}
NO_DROP = {"intake": {"temperature_rise": "0..0 K"}, "check_valve": "none", "separator": "none", "cooler": "none"}


def numbers_of(data, rows=64):
    return complete(draw(OwnersPlant.model_validate(data), rows=rows))


def lone(data, rows=64):
    """The one train of a plant."""
    (train,) = numbers_of(data, rows).trains
    return train


def delivery_at(numbers, *, speed, pressure):
    """Free air the plant delivers with its pump at a speed and its receiver at a pressure, row by row. [m3/s]"""
    frequency = np.full((1, 1, 1), 40.0)
    for _ in range(12):
        (train,) = instant(numbers, frequency=frequency, receiver_pressure=pressure).trains
        frequency = frequency * speed / train.pump_speed
    assert train.pump_speed == pytest.approx(np.broadcast_to(speed, train.pump_speed.shape), rel=1e-7)
    assert np.all(train.motor_torque < train.rated_motor_torque)
    return train.delivered_air


# --- a pump known only by what it is said to deliver -----------------------------------------------------------------

STRONG = {"power": "15 kW by plate"}  # so that no row stalls


@pytest.mark.parametrize("stages", [1, 2])
@pytest.mark.parametrize("condition", ["new", "worn"])
def test_a_measured_delivery_is_given_back_row_by_row(stages, condition):
    """At the statement's own pressure and speed, in the plant's own air, with every other entry half known."""
    data = {
        "plant": {"units": "US"}, "motor": STRONG, "site": {"altitude": "0..1500 m"}, **NO_DROP,
        "intake": {},
        "pump": {"stages": stages, "condition": condition, "rated": [
            {"air": "14..18 cfm", "at": "95..105 psi", "speed": "800..900 rpm", "known": "measured"}]},
    }  # fmt: skip
    drawn = draw(OwnersPlant.model_validate(data), rows=64)
    numbers, statement = complete(drawn), drawn.plant.pump.rated[0]
    found = delivery_at(numbers, speed=statement.speed, pressure=statement.at)
    assert np.ptp(statement.air) > 3 * CFM
    assert found == pytest.approx(statement.air, rel=1e-4)
    assert numbers.trains[0].pump.displacement_from == "its stated delivery, solved backwards"


@pytest.mark.parametrize("stages", [1, 2])
def test_a_makers_delivery_is_given_back_by_a_new_pump_at_sea_level(stages):
    data = {
        "motor": STRONG, "site": SEA_LEVEL, **NO_DROP,
        "pump": {"stages": stages, "leakage": "3..3 %", "leakage_when_new": "3..3 %", "rated": [
            {"air": "400..500 L/min", "at": "7..7 bar", "speed": "850..850 rpm", "known": "maker"}]},
    }  # fmt: skip
    drawn = draw(OwnersPlant.model_validate(data), rows=64)
    statement = drawn.plant.pump.rated[0]
    found = delivery_at(complete(drawn), speed=statement.speed, pressure=statement.at)
    assert found == pytest.approx(statement.air, rel=1e-4)


def test_of_a_makers_figure_a_worn_pump_delivers_less_and_a_new_one_the_same_everywhere():
    """The size is the maker's new pump's; leakage and height then take from it."""
    rated = {"rated": [{"air": "450..450 L/min", "at": "7..7 bar", "speed": "850..850 rpm", "known": "maker"}]}
    new, worn, high = (
        numbers_of({"motor": STRONG, "site": site, **NO_DROP, "pump": rated | {"leakage": leak}})
        for site, leak in ((SEA_LEVEL, "3..3 %"), (SEA_LEVEL, "20..20 %"), ({"altitude": "2000..2000 m"}, "3..3 %"))
    )
    size = new.trains[0].pump.displacement
    assert worn.trains[0].pump.displacement == pytest.approx(size, rel=1e-12)
    assert high.trains[0].pump.displacement == pytest.approx(size, rel=1e-12)
    speed = np.full((1, 1, 1), 850.0 / 60.0)
    full = delivery_at(new, speed=speed, pressure=7e5 + new.barometer)
    assert np.all(delivery_at(worn, speed=speed, pressure=7e5 + worn.barometer) < 0.93 * full)


def test_a_statement_without_a_speed_speaks_of_the_rated_speed():
    pump = lone({"pump": {"rated": [{"air": "16 cfm", "at": "100 psi"}], "rated_speed": "900..900 rpm"}}).pump
    assert pump.rated_speed == pytest.approx(np.full((1, 1, 1), 15.0))
    same = lone({"pump": {"rated": [{"air": "16 cfm", "at": "100 psi", "speed": "900..900 rpm"}]}}).pump
    assert same.displacement == pytest.approx(pump.displacement, rel=1e-12)


def test_twice_the_delivery_is_twice_the_pump():
    """Walls stand where the air puts them, so that a pump's warmth does not hang on its size."""
    one, two = (
        lone({"pump": {"rated": [{"air": f"{air} cfm", "at": "100 psi"}]}}).pump for air in ("10..10", "20..20")
    )
    assert two.displacement == pytest.approx(2.0 * one.displacement, rel=1e-9)


# --- what is believed first ------------------------------------------------------------------------------------------


def test_bore_and_stroke_stand_before_everything_else_said_of_the_size():
    pump = {"first_stage": {"cylinders": 2, "bore": "90..90 mm", "stroke": "70..70 mm"}, "displacement": "2 L",
            "rated": [{"air": "30 cfm", "at": "100 psi"}]}  # fmt: skip
    found = lone({"pump": pump}).pump
    assert found.displacement == pytest.approx(np.full((1, 1, 1), 2 * np.pi / 4 * 0.09**2 * 0.07), rel=1e-12)
    assert found.displacement_from == "bore and stroke"
    del pump["first_stage"]
    assert lone({"pump": pump}).pump.displacement_from == "displacement as told"
    del pump["displacement"]
    assert lone({"pump": pump}).pump.displacement_from == "its stated delivery, solved backwards"
    del pump["rated"]
    assert lone({"pump": pump}).pump.displacement_from == "what its motor could turn"


def test_a_plates_displacement_flow_is_divided_by_the_rated_speed():
    pump = lone({"pump": {"displacement_flow": "720..720 L/min", "rated_speed": "900..900 rpm"}}).pump
    assert pump.displacement == pytest.approx(np.full((1, 1, 1), 0.8e-3), rel=1e-12)


def test_a_bore_alone_takes_a_usual_stroke():
    pump = lone({"pump": {"first_stage": {"cylinders": 2, "bore": "90..90 mm"}}}).pump
    ratio = pump.cylinders[0].stroke / 0.09
    assert ratio.min() >= 0.65
    assert ratio.max() <= 0.90
    assert pump.displacement == pytest.approx(2 * np.pi / 4 * 0.09**3 * ratio, rel=1e-12)


@pytest.mark.parametrize("pump", [{"displacement": "0.8..0.8 L"}, {"rated": [{"air": "16 cfm", "at": "100 psi"}]}, {}])
@pytest.mark.parametrize("stages", [1, 2])
def test_cylinders_sweep_the_displacement(pump, stages):
    found = lone({"pump": pump | {"stages": stages}}).pump
    volumes = (found.displacement, found.second_displacement)
    assert len(found.cylinders) == stages
    for cylinders, volume in zip(found.cylinders, volumes, strict=False):
        swept = cylinders.count * np.pi / 4 * cylinders.bore**2 * cylinders.stroke
        assert swept == pytest.approx(np.broadcast_to(volume, swept.shape), rel=1e-12)


def test_the_second_stage_by_tape_runs_on_the_first_ones_crank():
    pump = {"first_stage": {"cylinders": 1, "bore": "117..117 mm", "stroke": "89..89 mm"},
            "second_stage": {"cylinders": 1, "bore": "64..64 mm"}}  # fmt: skip
    found = lone({"pump": pump}).pump
    assert found.stages == 2
    assert found.second_displacement == pytest.approx(np.full((1, 1, 1), np.pi / 4 * 0.064**2 * 0.089), rel=1e-12)


def test_an_unknown_second_stage_keeps_the_usual_ratio():
    found = lone({"pump": {"stages": 2, "displacement": "1..1 L", "stage_ratio": "3..3"}}).pump
    assert found.second_displacement == pytest.approx(np.full((1, 1, 1), 1e-3 / 3.0), rel=1e-12)
    assert np.all(lone({"pump": {"stages": 1}}).pump.second_displacement == 0.0)


@pytest.mark.parametrize(("horsepower", "stages"), [("3", 1), ("5", 1), ("10", 1), ("5", 2), ("7.5", 2)])
def test_a_pump_known_only_by_its_motor_loads_it_between_half_and_full(horsepower, stages):
    """Shaft power at cut-out against the plate: 0.75..1.0 of 0.95 as the rule of its size says, give or take."""
    data = {"plant": {"units": "US"}, "motor": {"power": f"{horsepower} hp by plate"}, "pump": {"stages": stages}}
    numbers = numbers_of(data, rows=256)
    (train,) = instant(numbers, frequency=np.full((1, 1, 1), 60.0), receiver_pressure=numbers.cut_out).trains
    share = train.shaft_power / numbers.trains[0].power.motor.power
    assert 0.6 < np.median(share) < 1.0
    assert np.percentile(share, 95) < 1.25


# --- belt ------------------------------------------------------------------------------------------------------------


def test_a_ratio_told_stands_before_sheaves():
    belt = {"ratio": "2..2", "motor_sheave": "180 mm", "pump_sheave": "400 mm", "creep": "1..1 %"}
    assert lone({"belt": belt}).pump.ratio == pytest.approx(np.full((1, 1, 1), 2.0))


def test_sheaves_by_pitch_need_no_groove_and_by_rim_lie_between_datum_and_rim():
    told = {"motor_sheave": "150..150 mm", "pump_sheave": "400..400 mm"}
    by_pitch = lone({"belt": told | {"diameters": "pitch"}}).pump.ratio
    assert by_pitch == pytest.approx(np.full((1, 1, 1), 400 / 150))
    by_rim = lone({"belt": told | {"section": "B"}}).pump.ratio
    assert np.all(by_rim >= 400 / 150 - 1e-12)  # the same depth off both rims raises the ratio
    assert np.ptp(by_rim) > 0.01


def test_without_belt_the_pump_turns_with_the_motor_and_loses_nothing():
    pump = lone({"belt": "none", "pump": {"size_class": "direct"}}).pump
    assert (pump.ratio, pump.creep, pump.belt_efficiency) == (1.0, 0.0, 1.0)


def test_nothing_told_of_the_belt_puts_the_pump_near_its_highest_speed():
    """0.75..1.0 of the highest speed, at the motor's rated speed."""
    train = lone({"belt": {"speed_share": "0.9..0.9"}, "pump": {"maximum_speed": "1000..1000 rpm"}})
    speed = train.power.motor.rated_speed / train.pump.ratio
    assert speed == pytest.approx(np.full(speed.shape, 15.0), rel=1e-12)


# --- supply, motor, drive --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("supply", "volts", "phases", "hertz"),
    [
        ({"kind": "single-phase 120/240"}, 240.0, 1, 60.0),
        ({"kind": "208 wye"}, 208.0, 3, 60.0),
        ({"kind": "400/230 wye"}, 400.0, 3, 50.0),
        ({"kind": "single-phase 230"}, 230.0, 1, 50.0),
        ({"kind": "208 wye", "voltage": "202 V"}, 202.0, 3, 60.0),
    ],
)
def test_a_kind_of_supply_says_volts_phases_and_hertz(supply, volts, phases, hertz):
    power = lone({"plant": {"units": "US"}, "supply": supply | {"tolerance": "1..1"}}).power
    assert float(np.ravel(power.supply_voltage)[0]) == pytest.approx(volts)
    assert power.phases == phases
    assert float(np.ravel(power.supply_frequency)[0]) == hertz
    assert power.line_root == pytest.approx(np.sqrt(3.0) if phases == 3 else 1.0)


@pytest.mark.parametrize(("units", "hertz"), [("US", 60.0), ("SI", 50.0)])
def test_where_nothing_tells_the_mains_the_owners_units_do(units, hertz):
    numbers = numbers_of({"plant": {"units": units}})
    assert numbers.mains == hertz
    assert numbers.base_frequency == hertz


def test_a_motor_not_told_takes_the_drives_power_and_else_the_5_hp_class():
    by_drive = lone({"drive": {"rated_power": "7.5 kW by plate"}}).power.motor.power
    assert np.ravel(by_drive)[0] == pytest.approx(7_500.0)
    alone = lone({"drive": "none"}).power.motor.power
    assert np.ravel(alone)[0] == pytest.approx(3_700.0)


@pytest.mark.parametrize(
    ("speed", "hertz", "poles"), [("3450 rpm", "60 Hz", 2), ("1745 rpm", "60 Hz", 4), ("1450 rpm", "50 Hz", 4),
                                  ("1160 rpm", "60 Hz", 6), ("960 rpm", "50 Hz", 6)]
)  # fmt: skip
def test_poles_follow_from_the_plates_speed(speed, hertz, poles):
    motor = lone({"motor": {"power": "4 kW", "speed": f"{speed} by plate", "frequency": hertz}}).power.motor
    assert float(np.ravel(motor.poles)[0]) == poles


def test_single_phase_input_takes_the_makers_amps_and_else_a_share():
    fed = {"supply": {"kind": "single-phase 120/240"}, "plant": {"units": "US"}}
    told = lone(fed | {"drive": {"single_phase_output_current": "16..16 A", "rated_output_current": "30..30 A"}})
    assert told.power.output_limit == pytest.approx(np.full((1, 1, 1), 16.0))
    share = lone(fed | {"drive": {"rated_output_current": "30..30 A"}}).power.output_limit
    assert share.min() > 0.35 * 30.0 - 1e-9
    assert share.max() < 0.65 * 30.0 + 1e-9
    assert share[0, 0, 0] == pytest.approx(15.0)
    built = lone(fed | {"drive": {"rated_output_current": "30..30 A", "input_phases": 1}}).power.output_limit
    assert built == pytest.approx(np.full((1, 1, 1), 30.0))


def test_a_drive_of_which_nothing_is_told_has_no_limit_to_judge_by():
    assert lone({"drive": {}}).power.output_limit is None


def test_on_the_line_there_is_no_drive_to_lose_anything():
    power = lone({"drive": "none", "motor": {"phases": 1}}).power
    assert power.direct
    assert power.phases == 1
    assert power.output_limit is None
    assert (power.drive_efficiency, power.drive_voltage_drop) == (1.0, 0.0)


def test_wire_has_resistance_only_where_it_is_told():
    assert np.all(lone({}).power.wire_resistance == 0.0)
    wired = lone({"supply": {"wire": "10 AWG", "wire_length": "30..30 m"}}).power.wire_resistance
    assert float(wired[0, 0, 0]) == pytest.approx(
        30.0 * 1.24 / 304.8, rel=0.02
    )  # 1.24 ohm in 1000 ft of 10 AWG, 75 degC


# --- site and air path -----------------------------------------------------------------------------------------------


def test_air_warmer_than_the_room_at_the_filter_is_the_rooms_air():
    numbers = numbers_of({"site": SEA_LEVEL, "intake": {"temperature_rise": "5..5 K"}})
    breath = numbers.trains[0].breath
    assert breath.temperature == pytest.approx(np.full((1, 1, 1), 298.15))
    assert breath.humidity_ratio == pytest.approx(numbers.humidity_ratio)


def test_an_intake_colder_than_the_room_holds_no_more_than_it_can():
    numbers = numbers_of({"site": SEA_LEVEL, "intake": {"temperature_rise": "-20..-20 K"}})
    assert np.all(numbers.trains[0].breath.humidity_ratio < numbers.humidity_ratio)


def test_no_intake_filter_drops_nothing():
    assert np.all(lone({"intake": "none"}).breath.filter_drop == 0.0)


def test_the_path_is_cut_at_the_receivers_and_keeps_what_stands_between():
    data = {
        "plant": {"air_path": ["separator", "receiver.wet", "filter.oil", "dryer", "receiver.dry", "filter.dust"]},
        "separator": {}, "dryer": {}, "receiver": [{"name": "wet"}, {"name": "dry"}],
        "filter": [{"name": "oil"}, {"name": "dust"}],
    }  # fmt: skip
    numbers = numbers_of(data)
    assert [s.name for s in numbers.before] == ["separator"]
    assert [s.name for s in numbers.receivers] == ["receiver.wet", "filter.oil", "dryer", "receiver.dry"]
    assert [s.name for s in numbers.after] == ["filter.dust"]
    path = instant(numbers, frequency=np.full((1, 1, 1), 50.0), receiver_pressure=numbers.cut_out).path
    assert path.dryer_load is not None
    assert np.all(path.line_absolute_pressure < path.receiver_pressure)


def test_without_a_receiver_everything_stands_before_it():
    numbers = numbers_of({"receiver": "none", "separator": {}, "filter": {"purpose": "coalescing"}})
    assert [s.name for s in numbers.before] == ["separator", "filter"]
    assert numbers.receivers == numbers.after == ()


def test_water_counts_as_caught_before_or_behind_the_receiver_by_where_it_is_caught():
    wet_room = {"room_temperature": "30..30 degC", "humidity": "90..90 %"}
    parts = {"separator": {"efficiency": "0.9..0.9"}, "receiver": {}, "site": wet_room,
             "cooler": {"kind": "vehicle condenser"}}  # fmt: skip

    def caught(order):
        numbers = numbers_of(parts | {"plant": {"air_path": order}})
        path = instant(numbers, frequency=np.full((1, 1, 1), 50.0), receiver_pressure=numbers.cut_out).path
        return path.water_caught, path.receiver_water

    before, behind = caught(["separator", "receiver"]), caught(["receiver", "separator"])
    assert np.all(before[0] > 0.0)
    assert np.all(behind[0] == 0.0)
    assert np.all(behind[1] > before[1])
