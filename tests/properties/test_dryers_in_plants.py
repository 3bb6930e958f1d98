"""Dryers of every kind: books of air, water and heat in random plants, and what dries better or worse."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from properties import plants_at_random as at_random

from airfettle.air.constants import CP_LIQUID, ZERO_CELSIUS
from airfettle.air.moist import enthalpy, saturation_humidity_ratio
from airfettle.parts import desiccant, membrane
from airfettle.plant.treatment import REGENERATIVE

HERTZ, BAR = (30, 60), (2, 6, 9)
SHAPE = (at_random.ROWS, len(HERTZ), len(BAR))
CLOSES = 1e-9
KINDS = (*REGENERATIVE, "bead cartridge", "membrane")


def with_dryer(data, kind, when="always", **told):
    """A random plant with a dryer of a kind, where it stands or behind the receiver."""
    path = data["plant"].get("air_path")
    if path and "dryer" not in path:
        data["plant"]["air_path"] = [*path, "dryer"]
    own = {"kind": kind, "purge_when": when} | told
    rated = data.get("dryer", {}).get("rated_flow", "unknown")
    return data | {"dryer": {"rated_flow": rated} | own}


def closes(left, right, *, scale, held):
    assert np.max(np.abs(np.broadcast_to((left - right) / scale, SHAPE)[held]), initial=0.0) < CLOSES


dryers = st.tuples(at_random.plants, st.sampled_from(KINDS), st.sampled_from(["always", "with demand"]))


@given(dryers)
@settings(max_examples=60)
def test_purge_leaves_with_its_water_and_the_books_close(drawn):
    data, kind, when = drawn
    state = at_random.at(at_random.numbers_of(with_dryer(data, kind, when)), hertz=HERTZ, bar=BAR)
    held, path = np.broadcast_to(at_random.held(state), SHAPE), state.path
    delivered = sum(t.delivered_dry_air for t in state.trains)
    closes(delivered, path.line_dry_air + path.purge_dry_air, scale=delivered, held=held)
    drawn_in = sum(t.intake_dry_air * t.intake_humidity_ratio for t in state.trains)
    left = (
        path.blow_by_water, path.intercooler_water, path.separator_water, path.receiver_water, path.treatment_water,
        path.purge_water, path.held_water, path.carried_vapour, path.carried_liquid,
    )  # fmt: skip
    closes(drawn_in, sum(left), scale=drawn_in, held=held)
    assert all(np.all(flow >= -1e-9 * np.max(drawn_in)) for flow in left)
    assert (path.purge_air is None) == (kind == "bead cartridge")
    assert (path.bead_life is None) == (kind != "bead cartridge")
    assert path.carried_vapour == pytest.approx(path.line_dry_air * path.line_humidity_ratio, abs=1e-18)
    for value in vars(path).values():
        assert value is None or np.all(np.isfinite(value))


@given(dryers)
@settings(max_examples=40)
def test_heat_behind_the_coolers_is_all_accounted_for(drawn):
    """What the air brings from the coolers over its intake, against all that leaves; of the line by its own numbers."""
    data, kind, when = drawn
    state = at_random.at(at_random.numbers_of(with_dryer(data, kind, when)), hertz=HERTZ, bar=BAR)
    held, path = np.broadcast_to(at_random.held(state), SHAPE), state.path
    taken_in = sum(
        t.delivered_dry_air * enthalpy(t.intake_temperature, humidity_ratio=t.intake_humidity_ratio)
        for t in state.trains
    )
    comes = sum(
        t.delivered_dry_air * enthalpy(t.cooler_outlet_temperature, humidity_ratio=t.cooler_outlet_humidity_ratio)
        + t.cooler_liquid * CP_LIQUID * (t.cooler_outlet_temperature - ZERO_CELSIUS)
        for t in state.trains
    )
    line = path.line_dry_air * enthalpy(path.line_temperature, humidity_ratio=path.line_humidity_ratio)
    line = line + path.carried_liquid * CP_LIQUID * (path.line_temperature - ZERO_CELSIUS)
    turned_over = sum(t.electrical_power for t in state.trains)
    closes(path.sent_enthalpy, line - taken_in, scale=turned_over, held=held)
    gone = line + path.receiver_heat + path.treatment_heat + path.drained_enthalpy + path.purge_enthalpy
    closes(comes, gone, scale=turned_over, held=held)
    if kind == "bead cartridge":
        assert np.all(path.purge_enthalpy == 0.0)
    else:
        assert np.all(path.treatment_heat == 0.0)


@given(dryers)
@settings(max_examples=20)
def test_unloaded_it_spends_nothing_of_what_is_not_delivered(drawn):
    data, kind, when = drawn
    numbers = at_random.numbers_of(with_dryer(data, kind, when))
    path = at_random.at(numbers, hertz=HERTZ, bar=BAR, loaded=False).path
    for name in ("purge_dry_air", "purge_water", "held_water", "carried_vapour", "carried_liquid", "line_dry_air"):
        assert np.all(getattr(path, name) == 0.0), name
    for value in vars(path).values():
        assert value is None or np.all(np.isfinite(value))


@pytest.mark.parametrize("kind", [*REGENERATIVE, "membrane"])
def test_purge_goes_by_absolute_pressure_and_not_by_speed(kind):
    rating = {"rated_flow": "0.004..0.004 kg/s", "rated_pressure": "8..8 bara", "purge_share": "6..6 %"}
    dryer = {"kind": kind} | rating
    state = at_random.at(at_random.numbers_of({"receiver": {}, "dryer": dryer}), hertz=HERTZ, bar=BAR)
    expected = 0.06 * 0.004 * state.path.receiver_pressure / 8e5
    assert state.path.purge_dry_air == pytest.approx(np.broadcast_to(expected, SHAPE), rel=1e-9)
    assert state.path.purge_air is state.path.purge_dry_air


LINES = st.floats(2e5, 1.2e6)
TEMPERATURES = st.floats(278.0, 325.0)


def bed(flow, *, inlet, line, kind="heatless", humidity=1.0, liquid=0.0):
    rating = {"rated_flow": 0.01, "rated_dew_point": 233.15, "rated_inlet_temperature": 308.15, "rated_pressure": 8e5}
    vapour = humidity * saturation_humidity_ratio(inlet, pressure=line)
    return desiccant.regenerate(
        flow, regeneration=kind, inlet_temperature=inlet, inlet_humidity_ratio=vapour, pressure=line, liquid=liquid,
        full_purge=0.0016 * line / 8e5, **rating,
    )  # fmt: skip


def fibres(flow, *, inlet, line, humidity=1.0, liquid=0.0):
    rating = {
        "rated_flow": 0.01,
        "dew_point_depression": 32.0,
        "rated_inlet_temperature": 308.15,
        "rated_pressure": 8e5,
    }
    vapour = humidity * saturation_humidity_ratio(inlet, pressure=line)
    return membrane.pass_membrane(
        flow, inlet_temperature=inlet, inlet_humidity_ratio=vapour, pressure=line, liquid=liquid,
        full_purge=0.0016 * line / 8e5, **rating,
    )  # fmt: skip


@given(st.sampled_from(["heatless", "externally heated", "blower purge"]), st.floats(1e-4, 0.05), TEMPERATURES, LINES,
       st.floats(0.05, 1.0), st.floats(0.0, 1e-4))  # fmt: skip
def test_desiccant_loses_no_water(kind, flow, inlet, line, humidity, liquid):
    state = bed(flow, inlet=inlet, line=line, kind=kind, humidity=humidity, liquid=liquid)
    arrives = flow * humidity * float(saturation_humidity_ratio(inlet, pressure=line)) + liquid
    assert flow * state.outlet_humidity_ratio + state.water_taken == pytest.approx(arrives, rel=1e-12)
    assert state.water_taken >= 0.0
    assert state.outlet_temperature >= inlet


@given(st.floats(1e-4, 0.05), TEMPERATURES, LINES, st.floats(0.05, 1.0), st.floats(0.0, 1e-4))
def test_membrane_loses_no_water(flow, inlet, line, humidity, liquid):
    state = fibres(flow, inlet=inlet, line=line, humidity=humidity, liquid=liquid)
    arrives = flow * humidity * float(saturation_humidity_ratio(inlet, pressure=line)) + liquid
    leaves = flow * state.outlet_humidity_ratio + state.outlet_liquid + state.water_taken
    assert leaves == pytest.approx(arrives, rel=1e-9)
    assert state.water_taken >= 0.0


@pytest.mark.parametrize("dry", [bed, fibres])
@given(st.floats(1e-4, 0.05), TEMPERATURES, LINES, st.floats(1.0, 3.0), st.floats(0.0, 20.0), st.floats(1.0, 2.0))
def test_more_flow_heat_and_less_pressure_never_dry_better(dry, flow, inlet, line, more, hotter, denser):
    """Of the load not by heat: warm purge carries a little more, so that one short of purge is a little less loaded."""
    here = dry(flow, inlet=inlet, line=line)
    loaded = (dry(flow * more, inlet=inlet, line=line), dry(flow, inlet=inlet, line=line / denser))
    for worse in (*loaded, dry(flow, inlet=inlet + hotter, line=line)):
        assert worse.dew_point >= here.dew_point - 1e-3
    assert all(worse.load_share >= here.load_share * (1.0 - 1e-12) for worse in loaded)


@given(
    st.sampled_from(["silica gel", "molecular sieve"]), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0)
)
def test_damper_air_fills_beads_further(beads, humidity, more, grade):
    here = desiccant.bead_uptake(humidity, beads=beads, grade=grade)
    assert here <= desiccant.bead_uptake(min(humidity + more, 1.0), beads=beads, grade=grade)
    assert here <= desiccant.bead_uptake(humidity, beads=beads, grade=min(grade + more, 1.0))
