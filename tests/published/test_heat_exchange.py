"""Heat exchange: printed cases, identities, an independent library, and common practice."""

import ht
import numpy as np
import pytest

from airfettle import tables
from airfettle.air import exchanger
from airfettle.air.constants import CP_DRY_AIR, R_DRY_AIR
from airfettle.air.moist import humidity_ratio, saturation_pressure
from airfettle.parts.cooler import cool_moist_air
from airfettle.parts.separator import separate
from airfettle.quantity import KINDS, in_unit

SOURCE = "heat-transfer-text"
SURE = "C"
CELSIUS, CFM, PSI = 273.15, 4.719474432e-4, 6894.757293168

# Example 11.3: gas 300 to 100 degC, 1 kg/s of water 35 to 125 degC, U = 100 W/m2K.
HEAT = 4197.0 * (125.0 - 35.0)
GAS_RATE = HEAT / 200.0
RATIO = GAS_RATE / 4197.0
EFFECTIVENESS = 200.0 / (300.0 - 35.0)


def test_crossflow_example(published):
    ntu = exchanger.transfer_units_crossflow_unmixed(EFFECTIVENESS, capacity_ratio=RATIO)
    published("X01", printed=2.1, computed=ntu, unit="-", rel=0.02, sure="A*")
    published("X01", printed=39.7, computed=ntu * GAS_RATE / 100.0, unit="m2", rel=0.02, sure="M")
    back = exchanger.effectiveness_crossflow_unmixed(2.1, capacity_ratio=0.45)
    published("X01", printed=0.755, computed=back, unit="-", rel=0.02, sure="A*")
    published("X01", printed=3.777e5, computed=back * GAS_RATE * 265.0, unit="W", rel=0.02, sure="A*")


def test_crossflow_example_exact(published):
    ntu = exchanger.transfer_units_crossflow_unmixed(EFFECTIVENESS, capacity_ratio=RATIO)
    published("X02", printed=2.081, computed=ntu, unit="-", rel=0.003, source="ht-library")
    published("X02", printed=39.3, computed=ntu * GAS_RATE / 100.0, unit="m2", rel=0.003, source="ht-library")


def test_crossflow_example_approximate(published):
    """Our approximation at the printed NTU gives back the effectiveness, and its slope the NTU."""
    trial = np.linspace(1.9, 2.2, 3001)
    found = exchanger.effectiveness_crossflow_unmixed_approximate(trial, capacity_ratio=RATIO)
    ntu = np.interp(EFFECTIVENESS, found, trial)
    published("X03", printed=2.024, computed=ntu, unit="-", rel=0.003, source="ht-library")
    published("X03", printed=38.2, computed=ntu * GAS_RATE / 100.0, unit="m2", rel=0.003, source="ht-library")


def test_crossflow_example_mixed(published):
    smaller = exchanger.transfer_units_crossflow_smaller_mixed(EFFECTIVENESS, capacity_ratio=RATIO)
    larger = exchanger.transfer_units_crossflow_larger_mixed(EFFECTIVENESS, capacity_ratio=RATIO)
    published("X05", printed=2.224, computed=smaller, unit="-", rel=0.003, source="ht-library")
    published("X05", printed=2.552, computed=larger, unit="-", rel=0.003, source="ht-library")


ARRANGEMENTS = [
    (exchanger.effectiveness_counterflow, "counterflow"),
    (exchanger.effectiveness_parallel, "parallel"),
    (exchanger.effectiveness_crossflow_smaller_mixed, "crossflow, mixed Cmin"),
    (exchanger.effectiveness_crossflow_larger_mixed, "crossflow, mixed Cmax"),
    (exchanger.effectiveness_crossflow_unmixed, "crossflow"),
    (exchanger.effectiveness_crossflow_unmixed_approximate, "crossflow approximate"),
]


@pytest.mark.parametrize("arrangement", [a for a, _ in ARRANGEMENTS], ids=[name for _, name in ARRANGEMENTS])
@pytest.mark.parametrize(("ntu", "printed"), [(1, 0.6321), (2, 0.8647), (3, 0.9502)])
def test_one_side_without_end(published, arrangement, ntu, printed):
    computed = arrangement(ntu, capacity_ratio=0.0)
    published("X08", printed=printed, computed=computed, unit="-", abs=1e-4, source="physics")


@pytest.mark.parametrize(
    ("arrangement", "printed"),
    [
        (exchanger.effectiveness_counterflow, (0.5647, 0.7746, 0.8744)),
        (exchanger.effectiveness_crossflow_unmixed_approximate, (0.5448, 0.7388, 0.8284)),
        (exchanger.effectiveness_parallel, (0.5179, 0.6335, 0.6593)),
    ],
    ids=["counter", "cross", "parallel"],
)
def test_half_capacity_ratio(published, arrangement, printed):
    for ntu, value in zip((1.0, 2.0, 3.0), printed, strict=True):
        computed = arrangement(ntu, capacity_ratio=0.5)
        published("X09", printed=value, computed=computed, unit="-", abs=1e-4, source="ht-library")


@pytest.mark.parametrize(("arrangement", "name"), ARRANGEMENTS, ids=[name for _, name in ARRANGEMENTS])
def test_against_an_open_library(published, arrangement, name):
    chance = np.random.default_rng(20_11)
    ntu, ratio = np.exp(chance.uniform(np.log(0.02), np.log(15.0), 200)), chance.uniform(0.005, 1.0, 200)
    theirs = [ht.effectiveness_from_NTU(NTU=n, Cr=c, subtype=name) for n, c in zip(ntu, ratio, strict=True)]
    worst = np.max(np.abs(arrangement(ntu, capacity_ratio=ratio) - theirs))
    published("ht " + name, printed=0.0, computed=worst, unit="-", abs=1e-9, source="ht-library")


def twenty_cfm(**changes):
    """20 cfm of dry air at 1.2 kg/m3 from 150 degC in a room of 27 degC, as X10 says, all the fan air it wants."""
    flow = 20.0 * CFM * 1.2
    given = {
        "dry_air_flow": flow, "pressure": 9e5, "inlet_temperature": 150.0 + CELSIUS, "inlet_humidity_ratio": 0.0,
        "coolant_temperature": 27.0 + CELSIUS, "conductance": 31.1, "coolant_capacity_rate": np.inf,
    }  # fmt: skip
    return flow, cool_moist_air(**(given | changes))


def test_dry_cooler(published):
    flow, state = twenty_cfm()
    published("X10", printed=11.39, computed=flow * CP_DRY_AIR, unit="W/K", rel=0.005)
    published("X10", printed=1310.0, computed=state.heat, unit="W", rel=0.005)
    published("X10", printed=35.0, computed=state.outlet_temperature - CELSIUS, unit="degC", rel=0.005)
    ntu = exchanger.transfer_units_counterflow((150.0 - 35.0) / (150.0 - 27.0), capacity_ratio=0.0)
    published("X10", printed=2.73, computed=ntu, unit="-", rel=0.005)
    published("X10", printed=31.1, computed=ntu * flow * CP_DRY_AIR, unit="W/K", rel=0.005)
    published("X10", printed=0.935, computed=exchanger.effectiveness_parallel(2.73, capacity_ratio=0.0), unit="-",
              rel=0.005)  # fmt: skip


def test_cooler_of_the_size_of_practice(published):
    """X10's cooler with real fan air and a summer's water lands where bought coolers do."""
    water = humidity_ratio(0.5, temperature=27.0 + CELSIUS, pressure=101_325.0)
    state = twenty_cfm(inlet_humidity_ratio=water, conductance=45.0, coolant_capacity_rate=250.0)[1]
    published.band("X11", low=10.0 / 1.8, high=20.0 / 1.8, computed=state.approach, unit="K", sure="CP",
                   source="practice")  # fmt: skip
    fahrenheit = state.outlet_temperature * 1.8 - 459.67
    published("X12", printed=100.0, computed=fahrenheit, unit="degF", abs=5.0, sure="CP", source="practice")


def test_coefficients_of_practice(published):
    table = tables.load("cooler_coefficients")
    for row, (low, high) in enumerate([(25, 60), (10, 20)]):
        kind = {"unit": "W/(m2 K)", "abs": 0.0, "sure": "CP", "source": "practice"}
        published("X13", printed=low, computed=table.numbers("least")[row], **kind)
        published("X13", printed=high, computed=table.numbers("most")[row], **kind)


def test_bare_tube_in_still_air(published):
    """A hot 28 mm tube by a correlation of the open library, with its radiation: inside the band of practice."""
    surface, room, diameter = 90.0 + CELSIUS, 30.0 + CELSIUS, 0.028
    film = 0.5 * (surface + room)
    viscosity = 1.716e-5 * (film / 273.15) ** 1.5 * 384.0 / (film + 111.0) / (101_325.0 / (R_DRY_AIR * film))
    grashof = 9.81 * (surface - room) / film * diameter**3 / viscosity**2
    by_air = ht.Nu_horizontal_cylinder_Churchill_Chu(Pr=0.71, Gr=grashof) * 0.028 / diameter
    by_light = 0.9 * 5.67e-8 * (surface**2 + room**2) * (surface + room)
    published.band("X13", low=10.0, high=20.0, computed=by_air + by_light, unit="W/(m2 K)", source="ht-library")


def test_heat_of_fifteen_horsepower(published):
    computed = in_unit(15.0 * KINDS["power"].units["hp"][0], kind="power", unit="Btu/h")
    published("X14", printed=38_175.0, computed=computed, unit="Btu/h", rel=0.001, sure="A*",
              source="trade-guide-heat")  # fmt: skip


@pytest.mark.parametrize("cfm", [10.0, 13.0, 17.0])
@pytest.mark.parametrize("psi", [125.0, 150.0])
def test_vehicle_cooler_catches_most_water(published, cfm, psi):
    """G03: room 30 degC and 70 %, air at 150 degC, UA 30 W/K (middle of 15..45), fan 166 W/K, separator 0.9."""
    room, intake = 30.0 + CELSIUS, 101_325.0
    water = humidity_ratio(0.7, temperature=room, pressure=intake)
    dry = cfm * CFM * (intake - 0.7 * saturation_pressure(room)) / (R_DRY_AIR * room)
    state = cool_moist_air(
        dry_air_flow=dry, pressure=psi * PSI + intake, inlet_temperature=150.0 + CELSIUS, inlet_humidity_ratio=water,
        coolant_temperature=room, conductance=30.0, coolant_capacity_rate=166.0,
    )  # fmt: skip
    caught = separate(state.condensate, flow=1e-3, least_flow=5e-4, most_flow=5e-3, efficiency_inside=0.9).water_caught
    published.band("G03", low=0.5, high=1.0, computed=caught / (dry * water), unit="-", sure="CP", source="practice")
