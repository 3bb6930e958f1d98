"""Desiccant and membrane dryers: purge of theory and of practice, the classes they reach, and what beads hold."""

import numpy as np
import pytest

from airfettle import tables
from airfettle.air.moist import saturation_humidity_ratio
from airfettle.parts import air_quality, desiccant, dryer, membrane
from airfettle.plant.treatment import REGENERATIVE, Dryer
from airfettle.quantity import Span, read_span

SOURCE = "practice"
SURE = "CP"
PSI, ATMOSPHERE = 6894.757293168, 101_325.0
LINE, INLET = 100.0 * PSI + ATMOSPHERE, (100.0 + 459.67) / 1.8
RATING = {
    "rated_flow": 0.01, "rated_inlet_temperature": INLET, "rated_pressure": LINE, "rated_dew_point": 233.15,
}  # fmt: skip
MEMBRANE = {name: value for name, value in RATING.items() if name != "rated_dew_point"}


def heatless(share, **changes):
    """A heatless dryer at its rating, spending a share of its flow."""
    given = {
        "dry_air_flow": 0.01, "regeneration": "heatless", "inlet_temperature": INLET, "pressure": LINE,
        "inlet_humidity_ratio": saturation_humidity_ratio(INLET, pressure=LINE), "full_purge": share * 0.01,
    }  # fmt: skip
    return desiccant.regenerate(**(given | RATING | changes))


def test_least_purge_of_a_heatless_dryer(published):
    """The purge at which the water it can carry off is the water that comes in; warm purge carries a little more."""
    shares = np.linspace(0.05, 0.2, 3001)
    turns = float(shares[np.argmax(heatless(shares).load_share <= 1.0 + 1e-9)])
    kind = {"unit": "-", "sure": "A*", "source": "purge-article"}
    published("Q17", printed=0.128, computed=turns, rel=0.07, **kind)
    floor = dryer.least_purge_share(114.7 * PSI, purge_pressure=14.7 * PSI)
    published("Q17", printed=0.128, computed=floor, abs=0.001, **kind)


@pytest.mark.parametrize(("kind", "row"), list(zip(REGENERATIVE, range(3), strict=True)))
def test_assumed_purge_is_that_of_practice(published, kind, row):
    span = read_span(Dryer[Span](kind=kind).assumed_text("purge_share"), kind="fraction")
    table, (low, high) = tables.load("dryer_purge"), [(0.15, 0.18), (0.05, 0.08), (0.0, 0.03)][row]
    for end, printed, computed in (("least", low, span.low), ("most", high, span.high)):
        published("Q18", printed=printed, computed=computed, unit="-", abs=1e-12)
        assert table.numbers(end)[row] == printed


@pytest.mark.parametrize("share", [0.15, 0.18])
def test_purge_of_practice_is_enough_at_the_rating(published, share):
    published("Q18", printed=1.0, computed=heatless(share).load_share, unit="-", abs=1e-9)


@pytest.mark.parametrize(("dew_point", "printed"), [(-40.0, 2), (-20.0, 3)])
def test_water_class_of_a_desiccant_dryer(published, dew_point, printed):
    """ISO 8573-1: class 2 to -40 degC, class 3 to -20 degC pressure dew point, at the rating and at half of it."""
    for flow in (0.01, 0.005):
        state = heatless(0.15, dry_air_flow=flow, rated_dew_point=273.15 + dew_point - 1e-3)
        published("ISO 8573-1 water", printed=printed, computed=int(air_quality.water_class(state.dew_point)), unit="-",
                  abs=0.0, sure="B", source="iso-8573-1")  # fmt: skip


def test_water_class_of_a_membrane_dryer(published):
    """Class 4 to +3 degC."""
    share = membrane.membrane_purge_share(INLET - 276.15)
    state = membrane.pass_membrane(
        0.01, inlet_temperature=INLET, inlet_humidity_ratio=saturation_humidity_ratio(INLET, pressure=LINE),
        pressure=LINE, full_purge=share * 0.01, dew_point_depression=INLET - 276.14, **MEMBRANE,
    )  # fmt: skip
    published("ISO 8573-1 water", printed=4, computed=int(air_quality.water_class(state.dew_point)), unit="-", abs=0.0,
              sure="B", source="iso-8573-1")  # fmt: skip


def test_least_purge_of_a_membrane_is_above_theory(published):
    """Saturated air of 36.5 degC at 7 bar gauge: the sweep leaves no damper than the air comes in."""
    table, inlet, line = tables.load("membrane_purge"), 309.65, 7e5 + ATMOSPHERE
    for depression, least in zip(table.numbers("depression"), table.numbers("least"), strict=True):
        wet, dry = (saturation_humidity_ratio(t, pressure=line) for t in (inlet, inlet - depression))
        theory = dryer.least_purge_share(line) * (1.0 - dry / wet)
        published.band("membrane purge", low=float(theory), high=1.6 * float(theory), computed=least, unit="-",
                       sure="M")  # fmt: skip


def test_what_beads_hold(published):
    kind = {"unit": "-", "source": "bead-isotherms", "sure": "M"}
    published("silica gel, saturated", printed=0.35, computed=desiccant.bead_uptake(1.0, beads="silica gel"), abs=0.01,
              **kind)  # fmt: skip
    least = desiccant.bead_uptake(0.5, beads="silica gel", grade=0.0)
    published("silica gel, half", printed=0.20, computed=least, abs=0.005, **kind)
    for humidity in (0.3, 0.5, 0.8):
        held = float(desiccant.bead_uptake(humidity, beads="molecular sieve"))
        published.band("molecular sieve, about 20 %", low=0.18, high=0.22, computed=held, **kind)
