"""Checklists made for one plant: what they predict is what the rating says, and a danger stops them."""

import re

import numpy as np
import pytest
from checklist_plants import CANOES, KITES, ON_THE_LINE, ROWS, SAILS, SOME, plant, told
from plant_cases import weeks_of
from pressure_plants import US

from airfettle.findings.checklists.care import care_items, condensate
from airfettle.findings.checklists.first_start import first_start
from airfettle.findings.checklists.step import ALONE, GROUPS, LOCK, POWER, PRESSURE, RUNNING
from airfettle.findings.checklists.used_receiver import used_receivers
from airfettle.findings.checklists.words import between, ends_text
from airfettle.report.blocks import Checks, Signed, Table, Words
from airfettle.report.blocks.comma_separated import leaf_as_csv
from airfettle.report.blocks.markdown import leaf_as_markdown
from airfettle.report.checklist_leaf import KINDS, checklist_leaf
from airfettle.studies.bands import Band
from airfettle.studies.day import machine as m
from airfettle.studies.evidence.predicted import HOT_OVER_READ
from airfettle.studies.instant.whole import instant
from airfettle.studies.rating import rate


def leaf_of(path, kind):
    """One of its lists as a printed part."""
    return checklist_leaf(kind, this=plant(path))


def words_of(leaf):
    """Everything a part says."""
    return leaf_as_markdown(leaf)


# What is predicted.


@pytest.mark.parametrize("path", [CANOES, SAILS, ON_THE_LINE, KITES])
def test_every_band_is_the_ratings_own_at_the_same_point(path):
    this, points, checked = plant(path), {}, 0
    for step in first_start(this):
        for found in step.readings:
            if not found.readable or found.name == "pump_up_time":
                continue
            at = (found.frequency, found.receiver_gauge)
            if at not in points:
                points[at] = rate(this.rating.draw, frequencies=[at[0]], gauge_pressures=[at[1]]).points[-1]
            band = points[at].trains.get(found.train, points[at].answers)[found.name]
            assert (found.band.low, found.band.high) == pytest.approx((band.low, band.high), rel=2e-4)
            assert between(band, kind=found.kind, units=this.units) in step.expect, step.do
            checked += 1
    assert checked >= 10


def test_amps_with_the_unloader_open_lie_between_no_load_and_loaded():
    this = plant(CANOES)
    (trial,) = this.trials.trains
    loaded = this.trials.at("motor_current")
    idle = np.median(this.case.reach.numbers.trains[0].power.motor.no_load_current)
    assert idle * 0.9 < trial.unloaded_current.band.likely < loaded.band.low


@pytest.mark.parametrize("path", [CANOES, SAILS])
def test_pump_up_from_empty_is_the_air_stored_over_the_air_delivered(path):
    """Cold, the tank stores by its volume alone; hot, it holds less and fills sooner by what it over-reads."""
    this = plant(path)
    tank, numbers, draw = this.trials.tank, this.case.reach.numbers, this.rating.draw
    pressures = numbers.barometer + np.linspace(0.05e5, this.rating.points[-1].receiver_gauge, 41)[None, None, :]
    state = instant(numbers, frequency=np.full((1, 1, 1), this.full), receiver_pressure=pressures)
    flow = np.asarray(sum(t.delivered_dry_air for t in state.trains))
    volume = sum(r.volume for r in draw.plant.receiver)
    gas = 287.05 * numbers.room_temperature
    cold = np.trapezoid(1.0 / flow, pressures, axis=2)[:, :, None] * volume / gas
    middle = float(np.median(cold))
    assert middle / 1.3 < tank.from_empty.band.likely < middle
    assert tank.from_empty.band.likely == pytest.approx(middle / HOT_OVER_READ, rel=0.12)
    assert tank.settled.band.high < this.rating.points[-1].receiver_gauge
    assert tank.from_cut_in.band.likely < tank.from_empty.band.likely


def test_a_leak_at_its_limit_makes_the_fall_that_is_the_most():
    this = told(US + "\n[shop_pipe]\nmaterial = 'steel'\nleak = '0.5..0.5 scfm'\n")
    tank = this.trials.tank
    by_hand = this.case.reach.numbers
    rate_of = 0.5 * 0.4719474e-3 * 1.2 * 287.05 * by_hand.room_temperature * 36_000 / (80 * 3.785411784e-3)
    gone = np.median(by_hand.cut_out * (1 - np.exp(-rate_of / (0.5 * (by_hand.cut_in + by_hand.cut_out)))))
    assert tank.night_fall.band.likely == pytest.approx(float(gone), rel=0.03)
    assert plant(CANOES).trials.tank.night_fall is None


# The first start.


def test_lockout_comes_first_and_power_after_it():
    steps = first_start(plant(CANOES))
    for word, step in zip(("Prepare", "Shut it down", "Isolate", "Lock", "Let stored energy out", "Verify"), steps,
                          strict=False):  # fmt: skip
        assert step.do.startswith(word)
    places = [GROUPS.index(step.group) for step in steps]
    assert places == sorted(places)


@pytest.mark.parametrize(
    "mistake",
    [
        "rusty_receiver", "no_earth", "no_relief_valve", "pvc_pipe", "tested_with_air", "single_phase_motor_on_a_drive",
    ],
)  # fmt: skip
def test_a_danger_stops_the_list(mistake):
    path = f"tests/plants/mistakes/{mistake}.toml"
    this = plant(path)
    assert this.dangers
    assert {step.group for step in first_start(this)} == {LOCK}
    first, second = leaf_of(path, "start").blocks[:2]
    assert isinstance(first, Words)
    assert first.text.startswith("Do not energise or pressurise until")
    assert isinstance(second, Signed)
    assert second.signal == "danger"
    assert this.dangers[0].says in second.text


def test_a_motor_that_cannot_run_stops_the_list_too():
    this = plant("tests/plants/mistakes/three_phase_motor_at_home.toml")
    assert not this.dangers
    assert {step.group for step in first_start(this)} == {LOCK}


def test_a_lock_comes_off_before_any_power_and_the_drive_is_set_without_its_motor():
    steps = first_start(plant(CANOES))
    first = next(step for step in steps if step.group != LOCK)
    assert first.do.startswith("Release")
    alone = [step.do for step in steps if step.group == ALONE]
    assert any("Settings in the drive" in do for do in alone)
    assert "motor leads go back on" in alone[-1]
    assert next(step for step in steps if step.group == POWER).do.startswith("Release")


def test_without_a_danger_it_goes_on_to_pressure():
    assert not plant(CANOES).dangers
    assert {step.group for step in first_start(plant(CANOES))} == set(GROUPS)


def test_questions_that_may_hide_a_danger_stand_before_the_steps():
    blocks = leaf_of(KITES, "start").blocks
    checks = next(n for n, block in enumerate(blocks) if isinstance(block, Checks))
    assert checks < next(n for n, block in enumerate(blocks) if isinstance(block, Table))
    assert len(blocks[checks].items) == len(plant(KITES).asked) > 5


def test_a_plant_on_the_line_has_starts_and_no_hertz():
    steps = first_start(plant(ON_THE_LINE))
    text = " ".join(f"{s.do} {s.expect} {s.otherwise}" for s in steps)
    assert " Hz" not in text
    assert "drive" not in text.lower()
    assert "an hour" in text
    assert any("clamp meter that holds the peak" in s.do for s in steps)
    assert not [s for s in first_start(plant(CANOES)) if "holds the peak" in s.do]


def test_two_trains_have_their_own_steps_and_share_the_receivers():
    steps = first_start(plant(SAILS))
    for name in ("winter: ", "old one: "):
        assert {LOCK, POWER, PRESSURE, RUNNING} <= {s.group for s in steps if s.do.startswith(name)}
    assert not [s for s in steps if s.do.startswith("old one: ") and ("Hz" in s.do or "Guard" in s.do)]
    assert len([s for s in steps if "stopwatch from start to cut-out" in s.do]) == 1


def test_a_reading_of_all_trains_together_is_not_offered_to_the_file():
    found = {e.name: e for s in first_start(plant(SAILS)) for e in s.readings}
    assert not found["supply_current"].readable
    assert found["motor_current"].readable
    assert found["receiver_water"].readable


def test_a_plant_without_a_receiver_is_not_filled():
    steps = first_start(told("receiver = 'none'\nmotor.power = '3 hp'\n"))
    assert not [s for s in steps if s.group == PRESSURE]
    assert not [s for s in steps if "receiver's list" in s.do]


def test_a_relief_valve_set_high_over_cut_out_is_not_lifted_by_hand():
    high = first_start(told(US.replace('set_pressure = "150 psi', 'set_pressure = "190 psi')))
    assert any("leave it alone" in s.do for s in high)
    assert not any("pull its ring" in s.do for s in high)
    assert any("above 112 psi pull its ring" in s.do for s in first_start(told(US)))


@pytest.mark.parametrize(
    ("answer", "steps"), [("over a year", 1), ("unknown", 1), ("no", 0), ("over a year, re-formed", 0)]
)
def test_a_stored_drive_is_re_formed(answer, steps):
    this = told(US.replace(
        "[drive]", f'[drive]\nstored = "{answer}"'))  # fmt: skip
    assert len([s for s in first_start(this) if "re-form" in s.do]) == steps


# A used receiver.

TANK = US.replace(
    'gauge = "yes"', 'gauge = "yes"\nplate_readable = "yes"\nmade_for_it = "yes"\ndrain_at_lowest = "yes"'
)


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        ({}, "GO"),
        ({'rust_inside = "no"': 'rust_inside = "yes"'}, "NO GO"),
        ({'rust_inside = "no"': ""}, "NOT YET"),
        ({'wall_thickness = "0.25 in by ultrasound"': ""}, "NOT YET"),
        ({'wall_thickness = "0.25 in by ultrasound"': 'wall_thickness = "0.05 in by ultrasound"'}, "NO GO"),
        ({'plate_pressure = "200 psi by plate"': ""}, "NOT YET"),
        ({'plate_pressure = "200 psi by plate"': 'plate_pressure = "100 psi by plate"'}, "NO GO"),
        ({'set_pressure = "150 psi by plate"': 'set_pressure = "250 psi by plate"'}, "NO GO"),
        ({'gauge = "yes"': 'gauge = "no"'}, "NOT YET"),
        ({'altered = "no"': 'altered = "by someone else"'}, "NO GO"),
        ({'proof_test = "no"': 'proof_test = "with air or gas"'}, "NO GO"),
    ],
)
def test_the_verdict_on_a_used_receiver(change, verdict):
    text = TANK
    for old, new in change.items():
        assert old in text
        text = text.replace(old, new)
    (seen,) = used_receivers(told(text))
    assert seen.verdict == verdict, seen
    assert bool(seen.reasons) == (verdict != "GO")


def test_a_receiver_nobody_told_anything_of_is_not_yet_a_go():
    (seen,) = used_receivers(plant(KITES))
    assert seen.verdict == "NOT YET"
    assert ("Plate pressure", "not told", "its plate") in seen.numbers


@pytest.mark.parametrize(
    "change", [("plate_pressure = ", "# plate_pressure = "), ('plate_readable = "yes"', 'plate_readable = "no"')]
)
def test_a_tank_without_a_plate_is_passed_in_nothing_that_rests_on_it(change):
    old, new = change
    assert old in TANK
    (seen,) = used_receivers(told(TANK.replace(old, new)))
    (item,) = (item for item in seen.items if "plate plus 10" in item.what)
    assert item.mark == "look" or item.mark == "FAILS"
    assert not any(what.startswith("Test with water") for what, _, _ in seen.numbers)


def test_the_tanks_own_numbers():
    (seen,) = used_receivers(told(TANK))
    numbers = {what: value for what, value, _ in seen.numbers}
    assert numbers["Test with water, ASME VIII-1 since 1999"] == "260 psi"
    assert numbers["Test with water, ASME VIII-1 before 1999"] == "300 psi"
    assert "Test with water, EU simple vessels" not in numbers
    needed = 200 * 6894.757 * 0.3048 / (118e6 * 0.7 + 0.4 * 200 * 6894.757)
    assert float(
        numbers["Shell needed at its plate pressure, plain steel, seam not checked"].split()[0]
    ) == pytest.approx(needed / 0.0254, abs=0.001)
    energies = [value for what, value, _ in seen.numbers if what.startswith("Energy")]
    assert [value.split(", ")[1] for value in energies] == ["isentropic", "Brode"]


def test_two_receivers_have_a_list_each():
    text = TANK.replace("[receiver]", '[[receiver]]\nname = "near"')
    text += '[[receiver]]\nname = "far"\nvolume = "60 gal by plate"\nrust_inside = "yes"\n'
    near, far = used_receivers(told(text))
    assert (near.name, far.name) == ("near", "far")
    assert (near.verdict, far.verdict) == ("GO", "NO GO")


def test_a_new_receiver_has_a_short_list():
    text = TANK.replace('condition = "used"', 'condition = "new"').replace(
        'wall_thickness = "0.25 in by ultrasound"', ""
    )
    (seen,) = used_receivers(told(text))
    assert (seen.new, seen.verdict) == (True, "GO")
    assert not [item for item in seen.items if "Wall" in item.what]


# Care.


def test_care_is_for_the_parts_that_are_there():
    names = {path: {c.item.name for c in care_items(plant(path))} for path in (CANOES, ON_THE_LINE, SAILS)}
    assert "drive's fan and fins" in names[CANOES]
    assert "contacts" not in names[CANOES]
    assert "contacts" in names[ON_THE_LINE]
    assert "drive's fan and fins" not in names[ON_THE_LINE]
    assert {c.pump for c in care_items(plant(SAILS)) if c.item.name == "oil level"} == {"winter", "old one"}
    assert [c.pump for c in care_items(plant(SAILS)) if c.item.name == "receiver, outside"] == [""]


def test_water_grows_from_cold_dry_to_warm_damp_days():
    cold, most, damp = condensate(plant(CANOES))
    assert cold.before.likely + cold.receiver.likely < most.before.likely + most.receiver.likely
    assert most.before.likely + most.receiver.likely < damp.before.likely + damp.receiver.likely


def test_all_rows_together_are_the_years_water():
    """The three seasons are the draw, each row in one of them."""
    this = plant(CANOES)
    path = this.case.reach.state.path
    mean = float(np.mean(path.receiver_water[:, -1, :]))
    cold, most, damp = (found.receiver for found in condensate(this))
    assert min(cold.low, most.low, damp.low) < mean < max(cold.high, most.high, damp.high)


def test_care_by_days_says_the_pace():
    text = (
        US
        + """
[[use]]
tool = "sander"
air = "6..8 cfm at 80 psi"
when = "Mon-Fri 09:00-12:00"
on = "about 3 min"
off = "about 6 min"
"""
    )
    this, days = told(text), weeks_of(text, ROWS)
    leaf = checklist_leaf("care", this=this, days=days)
    pace = next(block.text for block in leaf.blocks if isinstance(block, Words))
    hours = np.median(days.tally.of_train[:, 0, m.LOADED] + days.tally.of_train[:, 0, m.IDLE]) / 3600
    low, high = (float(n) for n in re.search(r"about (\d+) to (\d+) h a week", pace).groups())
    assert low <= round(hours) <= high
    water = next(block for block in leaf.blocks if isinstance(block, Table) and block.name == "water")
    assert "loaded hours" in water.columns[-1].title
    without = checklist_leaf("care", this=this)
    assert any(isinstance(b, Words) and "without running its days" in b.text for b in without.blocks)


# As printed parts.


@pytest.mark.parametrize("path", SOME)
@pytest.mark.parametrize("kind", KINDS)
def test_every_list_of_every_plant_prints(path, kind):
    leaf = leaf_of(path, kind)
    text = words_of(leaf) + leaf_as_csv(leaf)
    assert leaf.name == kind
    assert not re.search(r"\bnan\b|\bNone\b(?!:)|\{\w+\}|\(\(", text)
    for block in leaf.blocks:
        if isinstance(block, Table):
            assert {len(row) for row in block.rows} <= {len(block.columns)}
            for place, column in enumerate(block.columns):
                assert not column.blank or not any(row[place] for row in block.rows)


def test_units_are_the_owners():
    for kind in KINDS:
        metric = words_of(leaf_of(SAILS, kind)).replace("3 psi (0.2 bar)", "").replace("a few psi (0.2", "")
        assert not re.search(r"\d (psi|cfm|°F|lbf)\b", metric), kind
        assert not re.search(r"\d (bar|L/min|N|kPa)\b", words_of(leaf_of(CANOES, kind)).replace("0.2 bar", "").replace(
            "0.4 bar", "")), kind  # fmt: skip


def test_a_plant_with_one_fact_says_what_to_find_out():
    start, faults = (words_of(leaf_of(KITES, kind)) for kind in ("start", "faults"))
    assert "(8.3..10.3 bar, assumed)" in start
    assert "not told yet" in faults


def test_the_motor_lists_name_whoever_is_licensed():
    for path in SOME:
        for kind in ("start", "faults"):
            assert "licensed" in words_of(leaf_of(path, kind))


@pytest.mark.parametrize(
    ("low", "high", "unit", "text"),
    [(24.13, 27.86, "A", "24.1 to 27.9 A"), (130.2, 141.7, "psi", "130 to 142 psi"), (5.0, 5.0, "bar", "5.00 bar"),
     (0.0, 0.0, "L", "0 L"), (1.234, 1.239, "in", "1.23 to 1.24 in")],
)  # fmt: skip
def test_ends_have_the_digits_their_spread_deserves(low, high, unit, text):
    assert ends_text(low, high, unit=unit, finest=2 if unit != "psi" else 0) == text


def test_times_are_told_in_the_unit_they_deserve():
    assert between(Band(35.0, 45.0, 56.0, 45.0), kind="time", units="US") == "35 to 56 s"
    assert between(Band(289.0, 316.0, 346.0, 316.0), kind="time", units="SI") == "4.8 to 5.8 min"
    assert between(Band(7200.0, 9000.0, 10800.0, 9000.0), kind="time", units="SI") == "2.0 to 3.0 h"
