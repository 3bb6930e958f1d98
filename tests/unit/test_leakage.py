"""Earth leakage of drives against the device ahead of them."""

import pytest
from electric_plants import ON_THE_LINE, ONE_PHASE, THREE_PHASE
from told_plants import changed
from wired_sizes import leakage_of, sizes_of

from airfettle.errors import UnknownChoice
from airfettle.parts import leakage


def one(plant, **lines):
    (found,) = leakage_of(changed(plant, **lines))
    return found


def test_no_drive_hardly_leaks():
    found = one(ON_THE_LINE)
    assert (found.state, found.total, found.kind_needed) == ("no drive", (0.0, 0.0, 0.0), "A")


def test_a_leg_that_stands_apart_leaks_through_the_filter():
    """Two legs either side of neutral nearly cancel; one leg, the high leg and the corner do not."""
    even = one(ONE_PHASE, drive__filter_connected="yes").mains[1]
    high = one(ONE_PHASE, drive__filter_connected="yes", supply__kind="240 high-leg delta").mains[1]
    corner = one(ONE_PHASE, drive__filter_connected="yes", supply__kind="240 corner-grounded delta").mains[1]
    assert even < 0.2 * high
    assert corner == pytest.approx(2.0 * high, rel=0.05)
    assert one(ONE_PHASE, drive__filter_connected="no").mains[1] < 0.1 * even


def test_a_longer_and_a_shielded_lead_leak_more():
    short, long = (one(ONE_PHASE, motor_lead__wire_length=f"{feet} ft by tape").carrier[1] for feet in (3, 40))
    assert long > 1.5 * short
    assert one(ONE_PHASE, motor_lead__shielded="no").carrier[1] < one(ONE_PHASE).carrier[1]


def test_what_the_maker_says_stands_in_for_the_filter():
    found = one(ONE_PHASE, drive__leakage_current="20 mA by maker")
    assert found.told
    assert found.mains == pytest.approx((0.020, 0.020, 0.020), rel=0.1)
    assert found.total[1] > found.mains[1]


@pytest.mark.parametrize(
    ("device", "milliamps", "state"),
    [
        ("none", 20, "no device"), ("unknown", 20, "not told"), ("4-6 mA", 20, "trips"), ("30 mA type B", 20, "trips"),
        ("30 mA type B", 10, "may trip"), ("100 mA or more", 10, "fine"), ("30 mA type A or AC", 5, "blind"),
    ],
)  # fmt: skip
def test_devices(device, milliamps, state):
    plant = changed(THREE_PHASE, supply__ground_fault=device, drive__leakage_current=f"{milliamps} mA by maker")
    plant = plant.replace('wire_length = "4 m', 'wire_length = "0.5 m').replace('shielded = "yes"', 'shielded = "no"')
    (found,) = leakage_of(plant)
    assert found.state == state
    assert found.kind_needed == "B"
    assert (found.share is None) == (device in ("none", "unknown"))


def test_words():
    found = one(ONE_PHASE, drive__leakage_current="20 mA by maker", supply__ground_fault="4-6 mA")
    assert found.words.startswith("The drive leaks about ")
    assert found.words.endswith(
        "mA to earth; the 4-6 mA device should see no more than 4 mA in service and trips from 4 to 6 mA."
    )
    assert "type B" in one(ONE_PHASE).words  # two legs of 120/240, both away from earth
    assert leakage.residual_type(on_drive=True, phases=1, to_neutral=True) == "F"


def test_two_drives_add_up():
    drive = {"leakage_current": "5 mA by maker"}
    trains = [{"name": name, "drive": drive, "pump": {}} for name in ("left", "right")]
    (found,) = leakage_of({"plant": {"units": "SI"}, "supply": {"kind": "400/230 wye"}, "train": trains})
    assert found.places == (0, 1)
    assert found.mains[1] == pytest.approx(0.010)
    assert found.words.startswith("The drives leak")


def test_the_metric_earth_wire_is_doubled_only_where_a_drive_may_leak_much():
    (much,) = sizes_of(THREE_PHASE)
    assert much.earth.more
    (little,) = sizes_of(changed(THREE_PHASE, drive__leakage_current="1 mA by maker"))
    assert little.earth.more == ""
    assert leakage_of(changed(THREE_PHASE, drive__leakage_current="1 mA by maker"))[0].reinforced is False


def test_unknown_devices():
    with pytest.raises(UnknownChoice, match="10 mA"):
        leakage.ground_fault_device("10 mA")
