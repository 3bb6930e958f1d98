"""The dryer's section of the plant file: what is assumed for which kind, and what it spends."""

from typing import get_args

import numpy as np
import pytest

from airfettle.plant.treatment import REGENERATIVE, Dryer
from airfettle.plant.whole import OwnersPlant
from airfettle.quantity import Span
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.instant.drying import Entering, dried, dryer_purge

KINDS = get_args(Dryer.model_fields["kind"].annotation)
COMMON = {"rated_dew_point", "rated_pressure", "drop"}
ASSUMED = {
    "refrigerated": {"rated_inlet_temperature", "rated_room_temperature", "power"},
    **{kind: {"rated_inlet_temperature", "power", "purge_share"} for kind in REGENERATIVE},
    "bead cartridge": {"bead_mass", "bead_grade", "usable_share"},
    "membrane": {"rated_inlet_temperature", "purge_share"},
}


def drawn(**told):
    plant = draw(OwnersPlant.model_validate({"dryer": told}), rows=8)
    return plant, complete(plant)


@pytest.mark.parametrize("kind", KINDS)
def test_only_what_serves_a_kind_is_assumed_for_it(kind):
    plant, _ = drawn(kind=kind)
    found = {path.partition(".")[2] for path in plant.assumed if path.startswith("dryer.")}
    assert found == COMMON | ASSUMED[kind]


def test_a_refrigerated_dryer_is_assumed_as_ever():
    dryer = Dryer[Span]()
    texts = {name: dryer.assumed_text(name) for name in COMMON | ASSUMED["refrigerated"]}
    assert texts == {
        "rated_dew_point": "2..5 degC", "rated_inlet_temperature": "35..38 degC",
        "rated_room_temperature": "25..38 degC", "rated_pressure": "6.9..7.0 bar", "drop": "2..5 psi",
        "power": "150..500 W",
    }  # fmt: skip


def test_a_membranes_purge_goes_by_its_dew_point():
    told = {"kind": "membrane", "rated_inlet_temperature": "35 degC"}
    assert Dryer[Span].model_validate(told | {"rated_dew_point": "15 degC"}).assumed_text("purge_share") == "9..13 %"
    assert Dryer[Span].model_validate(told | {"rated_dew_point": "-40 degC"}).assumed_text("purge_share") == "20..32 %"
    assert Dryer[Span].model_validate({"kind": "membrane"}).assumed_text("purge_share") == "11..19 %"
    assert (
        Dryer[Span].model_validate(told | {"rated_dew_point": "-40 degC", "purge_share": "25 %"}).is_told("purge_share")
    )


def test_purge_as_a_conductance():
    told = {"rated_flow": "0.01..0.01 kg/s", "rated_pressure": "800..800 kPaa", "purge_share": "16..16 %"}
    plant, numbers = drawn(kind="desiccant, heatless", **told)
    purge = dryer_purge(plant.plant.dryer, plant=numbers)
    assert purge.flows == "always"
    assert np.ravel(purge.conductance) * 8e5 == pytest.approx(0.0016)
    assert np.ravel(purge.full_load) * 8e5 == pytest.approx(0.01)


@pytest.mark.parametrize(
    ("kind", "when", "flows"),
    [
        *((kind, "always", "always") for kind in (*REGENERATIVE, "membrane")),
        *((kind, "with demand", "by load") for kind in REGENERATIVE),
        ("membrane", "with demand", "while air flows"),
        *((kind, when, "never") for kind in ("refrigerated", "bead cartridge") for when in ("always", "with demand")),
    ],
)
def test_when_purge_flows(kind, when, flows):
    plant, numbers = drawn(kind=kind, purge_when=when, purge_share="12 %")
    purge = dryer_purge(plant.plant.dryer, plant=numbers)
    assert purge.flows == flows
    assert np.all((purge.conductance > 0.0) == (flows != "never"))


def through(flow, **told):
    plant, numbers = drawn(rated_flow="0.01..0.01 kg/s", rated_pressure="8..8 bara", **told)
    at = [np.full((1, 1, 1), v) for v in (flow, 300.0, 0.002, 0.0, 8e5)]
    return dried(plant.plant.dryer, air=Entering(*at), plant=numbers)


def test_with_demand_the_purge_goes_by_the_load():
    told = {"kind": "desiccant, heated purge", "purge_share": "6 %"}
    always, demand = (through(0.004, purge_when=when, **told) for when in ("always", "with demand"))
    assert demand.purge_dry_air == pytest.approx(always.purge_dry_air * demand.load)
    assert through(0.02, purge_when="with demand", **told).purge_dry_air == pytest.approx(always.purge_dry_air)


@pytest.mark.parametrize("kind", [*REGENERATIVE, "membrane"])
def test_no_more_is_purged_than_comes_in(kind):
    found = through(1e-4, kind=kind, purge_share="12 %")
    assert found.purge_dry_air == pytest.approx(1e-4)
    assert np.all(through(0.0, kind=kind, purge_share="12 %").purge_dry_air == 0.0)
