"""Dryers and filters: makers' correction factors, the standard rating, purge, and common practice."""

import numpy as np
import pytest

from airfettle import tables
from airfettle.air.moist import dew_point, saturation_humidity_ratio
from airfettle.parts import dryer, filters

SOURCE = "dryer-manual"
SURE = "A"
PSI, ATMOSPHERE = 6894.757293168, 101_325.0


def kelvin(fahrenheit):
    return (fahrenheit + 459.67) / 1.8


@pytest.mark.parametrize(("inlet", "printed"), [(90, 1.16), (100, 1.00), (110, 0.82), (122, 0.68), (130, 0.61)])
def test_inlet_temperature(published, inlet, printed):
    computed = dryer.inlet_temperature_factor(kelvin(inlet))
    published("Q13", printed=printed, computed=computed, unit="-", abs=0.02)


@pytest.mark.parametrize(("gauge", "printed"), [(60, 0.79), (80, 0.91), (100, 1.00), (120, 1.07), (140, 1.13)])
def test_pressure(published, gauge, printed):
    computed = dryer.pressure_factor(gauge * PSI + ATMOSPHERE)
    published("Q14", printed=printed, computed=computed, unit="-", abs=0.02)


def test_matrix(published):
    """The columns are taken as 10 degF apart with 1.00 at 100 degF; the source's own headings were not seen."""
    printed = (1.25, 1.12, 1.00, 0.88, 0.78, 0.69, 0.61, 0.54, 0.48)
    for inlet, value in zip(range(80, 170, 10), printed, strict=True):
        computed = dryer.inlet_temperature_factor(kelvin(inlet), table="dryer_inlet_matrix")
        published("Q15", printed=value, computed=computed, unit="-", abs=0.02, source="dryer-sizing-table")


def rated(**changes):
    line, inlet = 100.0 * PSI + ATMOSPHERE, kelvin(100.0)
    given = {
        "dry_air_flow": 0.01, "rated_flow": 0.01, "inlet_temperature": inlet, "room_temperature": inlet,
        "pressure": line, "inlet_humidity_ratio": saturation_humidity_ratio(inlet, pressure=line),
    }  # fmt: skip
    return dryer.refrigerate(**(given | changes))


def test_standard_rating(published):
    state = rated()
    published("Q16", printed=1.0, computed=state.load_share, unit="-", abs=1e-9, source="dryer-sizing-table")
    fahrenheit = state.dew_point * 1.8 - 459.67
    published.band("Q16", low=38.0, high=40.0, computed=fahrenheit, unit="degF", source="dryer-sizing-table")
    again = dew_point(state.outlet_humidity_ratio, pressure=100.0 * PSI + ATMOSPHERE) * 1.8 - 459.67
    published.band("Q16", low=38.0, high=40.0, computed=again, unit="degF", source="dryer-sizing-table")


def test_least_purge(published):
    computed = dryer.least_purge_share(114.7 * PSI, purge_pressure=14.7 * PSI)
    published("Q17", printed=0.128, computed=computed, unit="-", abs=0.001, sure="A*", source="purge-article")
    published("Q17", printed=0.127, computed=computed, unit="-", abs=0.001, sure="A", source="purge-article",
              disagrees="the article's own figure is that of 14.5/114.5; at 14.7 psia the ratio is 12.8 %")  # fmt: skip


def test_purge_of_practice(published):
    table, kind = tables.load("dryer_purge"), {"unit": "-", "abs": 0.0, "sure": "CP", "source": "practice"}
    for row, (low, high) in enumerate([(0.15, 0.18), (0.05, 0.08), (0.0, 0.03)]):
        published("Q18", printed=low, computed=table.numbers("least")[row], **kind)
        published("Q18", printed=high, computed=table.numbers("most")[row], **kind)
    least = dryer.least_purge_share(100.0 * PSI + ATMOSPHERE)
    published.band("Q18", low=0.0, high=table.numbers("least")[0], computed=least, unit="-", sure="CP",
                   source="practice")  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "wetness", "low", "high"), [("particulate", 0.0, 1.0, 1.0), ("coalescing", 1.0, 1.0, 3.0)]
)
def test_filter_drop(published, kind, wetness, low, high):
    table = tables.load("filter_drops")
    row = table.words("kind").index(kind)
    middle = 0.5 * (table.numbers("least")[row] + table.numbers("most")[row]) * PSI
    state = filters.filter_air(
        0.01, rated_flow=0.01, temperature=293.15, pressure=8e5, liquid=0.0, oil=0.0, dry_drop=middle * (1.0 - wetness),
        wet_drop=middle * wetness, wetness=wetness, liquid_removal=0.9, oil_removal=0.99,
    )  # fmt: skip
    rounding = 1e-12
    published.band("Q19", low=low - rounding, high=high + rounding, computed=state.pressure_drop / PSI, unit="psi",
                   sure="CP", source="practice")  # fmt: skip
    published("Q19", printed=6.0, computed=table.numbers("change, early")[row], unit="psi", abs=0.0, sure="CP",
              source="practice")  # fmt: skip
    published("Q19", printed=10.0, computed=table.numbers("change, late")[row], unit="psi", abs=0.0, sure="CP",
              source="practice")  # fmt: skip


def test_distance_to_the_coldest_pipe(published):
    """The margin turns where the coldest pipe is 18 to 20 degF above the dew point."""
    distances = np.linspace(10.0, 30.0, 2001)
    margins = dryer.dew_point_margin(kelvin(39.0), coldest_pipe=kelvin(39.0 + distances))
    turns = np.interp(0.0, margins, distances)
    published.band("Q20", low=18.0 - 1e-9, high=20.0, computed=turns, unit="degF", sure="CP", source="practice")
