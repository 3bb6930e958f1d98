"""Printed figures that the checklists rest on: tests of vessels, relief levers, insulation, belts, starts, lockout."""

import numpy as np
import pytest
from checklist_plants import CANOES, plant, told

from airfettle.findings.checklists.first_start import first_start
from airfettle.findings.checklists.used_receiver import used_receivers
from airfettle.parts.belt_tension import POUND_FORCE
from airfettle.quantity.kinds import LBF_PER_IN2
from airfettle.studies.commissioning import belt_setting
from airfettle.studies.commissioning.trials import LIFT_FROM, TEST_VOLTS, old_insulation, water_test_pressure

SOURCE = "practice"
SURE = "CP"

ON_THE_LINE = """
plant = { units = "US" }
drive = "none"
supply = { kind = "208 wye" }
motor = { power = "5 hp by plate", voltage = "208 V by plate", speed = "1745 rpm by plate", frequency = "60 Hz" }
pump = { size_class = "belt twin", flywheel_inertia = "0.5 lb ft2 by maker" }
receiver = { volume = "80 gal by plate" }
"""


@pytest.mark.parametrize(
    ("row", "code", "source", "printed"),
    [
        ("CK01", "ASME VIII-1 since 1999", "asme-viii-1-ug-99-tests", 1.3 * 150),
        ("CK02", "ASME VIII-1 before 1999", "asme-viii-1-ug-99-tests", 1.5 * 150),
        ("CK03", "EU simple vessels", "directive-2014-29", 1.5 * 150),
    ],
)
def test_water_test_pressure(published, row, code, source, printed):
    """UG-99(b): 1.3 times the plate since the addenda of 1999, one and a half before; annex of the directive: 1.5."""
    found = float(water_test_pressure(150 * LBF_PER_IN2, code=code)) / LBF_PER_IN2
    published(row, printed=printed, computed=found, unit="psi", rel=1e-9, source=source, sure="B")


def test_relief_levers_lift_from_three_quarters(published):
    """UG-136(a)(3): at least 75 % of the set pressure; the step of the list says it of a valve set at 175 psi."""
    published("CK04", printed=75.0, computed=100 * LIFT_FROM, unit="%", rel=1e-9, source="asme-viii-1-ug-136", sure="B")
    lever = next(s.do for s in first_start(plant(CANOES)) if "pull its ring" in s.do)
    assert f"above {0.75 * 175:.0f} psi" in lever


def test_insulation_resistance(published):
    """IEEE 43, least values at 40 degC: 5 megohm below 1 kV, kV + 1 for old windings; 500 V below 1 kV."""
    (train,) = plant(CANOES).trials.trains
    more = {"source": "ieee-43", "sure": "M"}
    published("CK05", printed=5.0, computed=train.insulation / 1e6, unit="Mohm", rel=1e-9, **more)
    published("CK06", printed=1.46, computed=old_insulation(460.0) / 1e6, unit="Mohm", rel=1e-9, **more)
    published("CK07", printed=500.0, computed=TEST_VOLTS, unit="V", rel=1e-9, **more)


def test_belt_is_pressed_a_sixty_fourth_of_its_span(published):
    """Table 5: section B, small sheave 5.8 to 8.6 in, to 2500 rev/min: 6.3 lbf used, 9.4 lbf new, 1/64 in an inch."""
    this = plant(CANOES)
    setting = belt_setting(this.plant.trains[0].belt, train=this.case.reach.numbers.trains[0])
    span = np.sqrt(26.0**2 - ((16.25 - 7.4) / 2) ** 2)
    more = {"source": "narrow-groove-guide", "sure": "A"}
    published("CK08", printed=span / 64, computed=setting.deflection.likely / 0.0254, unit="in", rel=0.002, **more)
    published("CK09", printed=6.3, computed=setting.used / POUND_FORCE, unit="lbf", rel=1e-9, **more)
    published("CK10", printed=9.4, computed=setting.new / POUND_FORCE, unit="lbf", rel=1e-9, **more)
    assert setting.needed.high < setting.used


def test_starts_on_the_line(published):
    """NEMA MG 10 table 2-3, 5 hp, four poles: 16.3 starts an hour with a light load, 42 s of rest between."""
    (train,) = told(ON_THE_LINE).trials.trains
    more = {"source": "nema-mg10", "sure": "A"}
    published("CK11", printed=16.3, computed=train.starts.likely * 3600, unit="1/h", rel=1e-6, **more)
    published("CK12", printed=42.0, computed=train.least_rest, unit="s", rel=1e-6, **more)


def test_locked_rotor_amps_of_a_five_horsepower_motor(published):
    """NEMA MG 1 12.35: 92 A at 230 V, times 230/208."""
    (train,) = told(ON_THE_LINE).trials.trains
    published(
        "CK13", printed=92 * 230 / 208, computed=train.start_current.likely, unit="A", rel=1e-3, source="nema-mg1",
        sure="B",
    )  # fmt: skip


def test_energy_in_eighty_gallons():
    """The project's own check: 80 gal at 150 psig holds 429 kJ isentropic and 783 kJ by Brode."""
    text = """
plant.units = "US"
site.barometer = "1013.25 hPa"
receiver = { volume = "80 gal by plate", plate_pressure = "150 psi by plate" }
"""
    (seen,) = used_receivers(told(text))
    values = [value for what, value, _ in seen.numbers if what.startswith("Energy")]
    kilojoules = [1.3558179483 * float(value.split()[0]) for value in values]  # told in thousands of ft lbf
    assert kilojoules == pytest.approx([429, 783], rel=0.01)


def test_lockout_in_the_order_of_the_rule():
    """29 CFR 1910.147(d)(1) to (6): prepare, shut down, isolate, lock, stored energy, verify."""
    steps = first_start(told(ON_THE_LINE))[:6]
    words = ("prepare", "shut", "isolate", "lock", "stored energy", "verify")
    assert all(word in step.do.lower() for word, step in zip(words, steps, strict=True))
