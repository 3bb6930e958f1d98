"""The pump: balances of air, water and energy, and what must rise and fall."""

import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import elementwise

from airfettle.air import interstage as between_stages
from airfettle.air.constants import CP_LIQUID, CP_VAPOUR, MASS_RATIO, R_DRY_AIR, ZERO_CELSIUS
from airfettle.air.moist import enthalpy, humidity_ratio, saturation_humidity_ratio
from airfettle.air.saturation import saturation_pressure
from airfettle.parts import pump, pump_surroundings


def numbers(low, high):
    return st.floats(low, high, allow_nan=False)


COMMON = {
    "rated_speed": numbers(8.0, 30.0),
    "displacement": numbers(1e-4, 3e-3),
    "clearance": numbers(0.02, 0.12),
    "compression_exponent": numbers(1.2, 1.4),
    "expansion_exponent": numbers(1.1, 1.4),
    "suction_loss": numbers(0.0, 0.08),
    "discharge_loss": numbers(0.0, 0.10),
    "leakage": numbers(0.0, 0.3),
    "heating": numbers(1.0, 1.15),
    "friction_pressure": numbers(0.0, 5e4),
    "friction_pressure_speed": numbers(0.0, 3e4),
    "wall_heat_share": numbers(0.1, 0.6),
    "blow_by_share": numbers(0.0, 1.0),
    "leakage_ratio": st.none() | numbers(3.0, 10.0),
    "intake_pressure": numbers(6e4, 1.05e5),
    "intake_temperature": numbers(263.0, 318.0),
}
SECOND = {
    "second_share": numbers(0.2, 0.45),
    "second_clearance": numbers(0.02, 0.12),
    "second_heating": numbers(1.0, 1.12),
    "intercooler_effectiveness": numbers(0.0, 1.0),
    "intercooler_loss": numbers(0.0, 0.06),
    "coolant_lift": numbers(-5.0, 15.0),
}


@st.composite
def machines(draw, stages, top=14.0, fastest=1.4):
    given_ = {name: draw(values) for name, values in COMMON.items()}
    given_["speed"] = given_["rated_speed"] * draw(numbers(0.3, fastest))
    given_["discharge_pressure"] = given_["intake_pressure"] * draw(numbers(1.0, top))
    given_["intake_humidity_ratio"] = humidity_ratio(
        draw(numbers(0.0, 1.0)), temperature=given_["intake_temperature"], pressure=given_["intake_pressure"]
    )
    if stages == 2:
        extra = {name: draw(values) for name, values in SECOND.items()}
        given_["second_displacement"] = given_["displacement"] * extra.pop("second_share")
        given_["coolant_temperature"] = given_["intake_temperature"] + extra.pop("coolant_lift")
        given_ |= extra | {"intercooler_feed": draw(st.sampled_from(["energy", "work"]))}
    return given_


def run(machine, **changed):
    machine = {**machine, **changed}
    return pump.two_stage(**machine) if "second_displacement" in machine else pump.single_stage(**machine)


BOTH = machines(1) | machines(2)


@given(BOTH)
def test_dry_air_balance(machine):
    s = run(machine)
    assert s.intake_dry_air == pytest.approx(s.delivered_dry_air + s.blow_by_dry_air, rel=1e-9, abs=1e-15)


@given(BOTH)
def test_water_balance(machine):
    s = run(machine)
    into = s.intake_dry_air * machine["intake_humidity_ratio"]
    out = s.delivered_dry_air * s.delivered_humidity_ratio + s.blow_by_vapour + s.interstage_condensate
    assert out == pytest.approx(into, rel=1e-9, abs=1e-15)
    assert s.interstage_condensate >= 0.0


@given(BOTH)
def test_energy_balance(machine):
    """With enthalpies from the moist-air module, not from the pump's own differences."""
    s = run(machine)
    W0 = machine["intake_humidity_ratio"]
    start = enthalpy(machine["intake_temperature"], humidity_ratio=W0)
    gained = s.delivered_dry_air * (
        enthalpy(s.discharge_temperature, humidity_ratio=s.delivered_humidity_ratio) - start
    )
    water = s.interstage_condensate * CP_LIQUID * (s.interstage_temperature - ZERO_CELSIUS)
    out = s.heat_to_walls + s.friction_power + s.heat_to_intercooler + gained + s.blow_by_enthalpy + water
    assert out == pytest.approx(s.shaft_power, rel=1e-9, abs=1e-6)
    assert s.shaft_power == pytest.approx(2 * np.pi * machine["speed"] * s.mean_torque, rel=1e-12)


@given(machines(2, top=12.0))
def test_both_stages_pass_the_same_air(machine):
    """The second stage's own charge, computed here from its pressures, is what the first gives it."""
    machine["discharge_pressure"] = machine["intake_pressure"] * 10.0
    s = run(machine)
    low = 1.001 * s.first_suction_pressure
    inside = (s.first_discharge_pressure > low) & (s.second_discharge_pressure > 1.001 * s.second_suction_pressure)
    taken = s.intake_dry_air / machine["speed"]
    if not inside or taken < 1e-9:
        return  # blown through, or nothing delivered: no balance inside the bracket
    c, r = machine["second_clearance"], s.second_discharge_pressure / s.second_suction_pressure
    room = 1.0 + c - c * r ** (1.0 / machine["expansion_exponent"])
    W = s.interstage_humidity_ratio
    per_volume = s.second_suction_pressure / (1.0 + W / MASS_RATIO)
    charge = (
        per_volume
        * room
        * machine["second_displacement"]
        / (R_DRY_AIR * machine["second_heating"] * s.interstage_temperature)
    )
    x = machine["speed"] / machine["rated_speed"]
    leak = machine["leakage"] / x
    if machine["leakage_ratio"] is not None:
        between = s.interstage_pressure * (1.0 - machine["intercooler_loss"])
        leak *= machine["discharge_pressure"] / between / machine["leakage_ratio"]
    leak = min(leak, 0.9)
    assert s.delivered_dry_air / machine["speed"] == pytest.approx(charge * (1.0 - leak), rel=1e-7)


@given(machines(2), numbers(0.3, 3.0))
def test_the_start_does_not_matter(machine, off):
    cold = run(machine)
    warm = run(machine, interstage_guess=cold.interstage_pressure * off)
    assert warm.interstage_pressure == pytest.approx(cold.interstage_pressure, rel=1e-8)


def test_interstage_pressure_against_library_root_finder():
    """The equations as printed, solved by a bracketing library routine, on a thousand machines at once."""
    rng = np.random.default_rng(7)
    n = 1000
    ps, pd, Ta = 101_325.0, rng.uniform(7e5, 1.4e6, n), rng.uniform(278.0, 313.0, n)
    W0 = humidity_ratio(rng.uniform(0.2, 1.0, n), temperature=Ta, pressure=ps)
    V1, share = rng.uniform(3e-4, 2e-3, n), rng.uniform(0.25, 0.36, n)
    c1, c2, x = rng.uniform(0.03, 0.08, n), rng.uniform(0.03, 0.08, n), rng.uniform(0.5, 1.2, n)
    nc, ne, eps, dp, L0 = 1.3, 1.2, rng.uniform(0.5, 0.95, n), 0.02, 0.04
    h1, h2, av, ad = 1.05, 1.04, 0.03, 0.04

    def miss(p, pd, Ta, W0, share, c1, c2, x, eps):
        sucked, pressed = 1 - av * x**2, 1 + ad * x**2
        r1, ps2 = p * pressed / (ps * sucked), p * (1 - dp)
        r2 = pd * pressed / (ps2 * sucked)
        Ti = Ta + (1 - eps) * (h1 * Ta * r1 ** ((nc - 1) / nc) - Ta)
        W2 = np.minimum(W0, saturation_humidity_ratio(Ti, pressure=ps2))
        m1 = ps / (1 + W0 / MASS_RATIO) * (1 + c1 - c1 * r1 ** (1 / ne)) / (h1 * Ta)
        m2 = ps2 / (1 + W2 / MASS_RATIO) * share * (1 + c2 - c2 * r2 ** (1 / ne)) / (h2 * Ti)
        return m1 / m2 - 1

    found = elementwise.find_root(
        miss, (np.full(n, 1.2 * ps), 0.9 * pd), args=(pd, Ta, W0, share, c1, c2, x, eps), tolerances={"xrtol": 1e-15}
    )
    assert found.success.all()
    s = pump.two_stage(
        speed=15.0 * x, rated_speed=15.0, displacement=V1, second_displacement=V1 * share, clearance=c1,
        second_clearance=c2, compression_exponent=nc, expansion_exponent=ne, suction_loss=av, discharge_loss=ad,
        leakage=L0, heating=h1, second_heating=h2, friction_pressure=0.0, friction_pressure_speed=0.0,
        wall_heat_share=0.35, intercooler_effectiveness=eps, intercooler_loss=dp, coolant_temperature=Ta,
        intake_pressure=ps, intake_temperature=Ta, intake_humidity_ratio=W0, discharge_pressure=pd,
        intercooler_feed="work",
    )  # fmt: skip
    wet = s.interstage_condensate > 0
    assert 0.05 < wet.mean() < 0.95
    error = np.abs(s.interstage_pressure / found.x - 1.0)
    assert error[~wet].max() < 1e-11
    assert error[wet].max() < 1e-9


@given(BOTH)
def test_finite_and_never_negative(machine):
    """Also with clearance no pressure gets past, a receiver as empty as the room, and standing still."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for changed in (
            {},
            {"clearance": 0.9},
            {"clearance": 0.0},
            {"speed": 0.0},
            {"discharge_pressure": 0.5 * machine["intake_pressure"]},
            {"discharge_pressure": machine["intake_pressure"]},
            {"leakage": 0.99},
            {"suction_loss": 2.0},
            {"compression_exponent": 1.0, "expansion_exponent": 1.0},
        ):
            s = run(machine, **changed)
            for name, value in vars(s).items():
                assert np.all(np.isfinite(value)), (changed, name)
            assert s.delivered_dry_air >= 0.0
            assert s.free_air_delivery >= 0.0
            assert s.blow_by_dry_air >= 0.0
            assert s.shaft_power >= -1e-9


def test_second_stage_clearance_that_delivers_nothing():
    s = run(EXAMPLE_TWO, second_clearance=1.5, clearance=1.5, discharge_pressure=2e6)
    assert s.delivered_dry_air == pytest.approx(0.0, abs=1e-12)
    assert np.isfinite(s.interstage_pressure)


EXAMPLE = {
    "speed": 15.0, "rated_speed": 15.0, "displacement": 0.6e-3, "clearance": 0.05, "compression_exponent": 1.3,
    "expansion_exponent": 1.2, "suction_loss": 0.03, "discharge_loss": 0.05, "leakage": 0.03, "heating": 1.05,
    "friction_pressure": 25e3, "friction_pressure_speed": 10e3, "wall_heat_share": 0.35, "intake_pressure": 101_325.0,
    "intake_temperature": 298.15, "intake_humidity_ratio": 0.01, "discharge_pressure": 963_325.0,
    "leakage_ratio": 8.0, "blow_by_share": 0.4,
}  # fmt: skip
EXAMPLE_TWO = EXAMPLE | {
    "displacement": 0.65e-3, "second_displacement": 0.195e-3, "second_clearance": 0.06, "second_heating": 1.04,
    "intercooler_effectiveness": 0.75, "intercooler_loss": 0.02, "coolant_temperature": 298.15, "leakage_ratio": 4.0,
    "discharge_pressure": 1_307_925.0,
}  # fmt: skip


@given(BOTH, numbers(1.001, 1.5))
def test_delivery_falls_with_discharge_pressure(machine, more):
    low, high = run(machine), run(machine, discharge_pressure=machine["discharge_pressure"] * more)
    assert high.delivered_dry_air <= low.delivered_dry_air * (1 + 1e-9) + 1e-15


@given(BOTH, st.sampled_from(["clearance", "leakage", "heating", "suction_loss"]), numbers(1.01, 1.3))
def test_delivery_falls_with_every_fault(machine, fault, more):
    worse = run(machine, **{fault: machine[fault] * more})
    assert worse.delivered_dry_air <= run(machine).delivered_dry_air * (1 + 1e-9) + 1e-15


@given(machines(1), numbers(1.01, 2.0))
def test_work_rises_with_valve_loss(machine, more):
    """On the same admitted air: the loss at delivery only adds to the ratio."""
    machine |= {"clearance": 1e-4, "suction_loss": 0.0}
    more_loss = run(machine, discharge_loss=machine["discharge_loss"] * more)
    assert more_loss.first_work >= run(machine).first_work * (1 - 1e-12)


@given(BOTH, numbers(0.2, 5.0))
def test_everything_scales_with_displacement(machine, scale):
    big = {name: machine[name] * scale for name in ("displacement", "second_displacement") if name in machine}
    small, large = run(machine), run(machine, **big)
    assert large.delivered_dry_air == pytest.approx(scale * small.delivered_dry_air, rel=1e-7, abs=1e-15)
    assert large.shaft_power == pytest.approx(scale * small.shaft_power, rel=1e-7, abs=1e-9)


@given(BOTH, numbers(0.3, 3.0))
def test_displacement_from_delivery_round_trip(machine, scale):
    """A pump scaled at random is found again from its delivery alone, by a trial of another size."""
    trial = run(machine)
    if trial.volumetric_efficiency < 1e-3:
        return  # such a pump delivers nothing to know it by
    reading = run(machine, displacement=machine["displacement"] * scale,
                  **({"second_displacement": machine["second_displacement"] * scale}
                     if "second_displacement" in machine else {})).free_air_delivery  # fmt: skip
    found = pump_surroundings.displacement_from_delivery(
        reading, trial_delivery=trial.free_air_delivery, trial_displacement=machine["displacement"]
    )
    assert found == pytest.approx(machine["displacement"] * scale, rel=1e-6)


@settings(max_examples=20)
@given(machines(2))
def test_arrays_are_rows_of_numbers(machine):
    """A column of draws against a row of speeds and a third axis of pressures gives what single numbers give."""
    draws = np.array([0.9, 1.0, 1.2])[:, None, None]
    speeds = machine["speed"] * np.array([0.7, 1.0])[None, :, None]
    pressures = machine["discharge_pressure"] * np.array([1.0, 1.1, 1.3, 1.5])
    changed = {"displacement": machine["displacement"] * draws, "speed": speeds, "discharge_pressure": pressures}
    s = run(machine, **changed)
    assert s.delivered_dry_air.shape == (3, 2, 4)
    one = run(
        machine, displacement=machine["displacement"] * 1.2, speed=speeds[0, 0, 0], discharge_pressure=pressures[2]
    )
    for name in vars(s):
        value = np.broadcast_to(getattr(s, name), (3, 2, 4))[2, 0, 2]
        assert value == pytest.approx(float(getattr(one, name)), rel=1e-6, abs=1e-9), name


@given(numbers(274.0, 372.0))
def test_quick_bound_is_under_saturation(T):
    assert between_stages._surely_below(np.array(T)) < saturation_pressure(T)


def test_vapour_constants_agree():
    """The slope used for cooling water is the derivative of the enthalpies used in the balance."""
    rise = enthalpy(300.0, humidity_ratio=0.02) - enthalpy(299.0, humidity_ratio=0.02)
    assert rise - (enthalpy(300.0, humidity_ratio=0.0) - enthalpy(299.0, humidity_ratio=0.0)) == pytest.approx(
        0.02 * CP_VAPOUR, rel=1e-9
    )
