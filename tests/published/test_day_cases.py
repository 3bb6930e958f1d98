"""The day kernel on hand-made plants whose answer stands in closed form: filling, bleeding down, starts, a draw."""

import numpy as np
import pytest

from airfettle.air.constants import CP_DRY_AIR, R_DRY_AIR
from airfettle.air.nozzle import bleed_down_leak, decay_leak
from airfettle.studies.compiled import jit
from airfettle.studies.day import machine as records
from airfettle.studies.day.loop import DONE, run_days
from airfettle.studies.day.machine import (
    BEGIN_ENERGY,
    END_ENERGY,
    ENERGY,
    HEAT_IN,
    LOADED,
    OUTPUTS,
    PRESET,
    PRESSURES,
    SHORTAGES,
    STARTS,
    TRACE_ROWS,
    WALLS,
    Machine,
    Settings,
    Tools,
    empty_books,
    fresh,
    packed,
)
from airfettle.studies.day.saturation import saturation_fit

SOURCE = "receiver-handbook"
SURE = "C"

PSI, GAL, FT3 = 6894.757293168361, 0.003785411784, 0.028316846592
PA, CFM = 14.7 * PSI, FT3 / 60
ROOM, POWER = 293.15, 1500.0
HOUR, NEVER = 3600.0, 1e300
KAPPA = CP_DRY_AIR / (CP_DRY_AIR - R_DRY_AIR)
STEADY_WALL = 1e15
"""Heat capacity of a wall that stays as it is. [J/K]"""
PRESSURE_COLUMN, GAS = 1, 2
SWITCHED_ON = 1
"""Code of the plant's own switch where there is one tool."""


def bare(*, volume, film, flow=0.02, inlet=ROOM, wall=STEADY_WALL):
    """A pump of constant flow and inlet temperature before a receiver; dry air, no pump heat, no line."""
    constants = {
        "log_flow": np.log(flow), "cooler_outlet": inlet, "electrical_power": POWER, "discharge_temperature": inlet,
        "winding_temperature": ROOM, "log_interstage_flow": np.log(1e-30), "log_interstage_saturation": np.log(1e6),
        "log_dried_humidity": np.log(1e6), "log_wall_conductance": np.log(20.0), "pump_speed": 10.0,
    }  # fmt: skip
    fit = np.zeros((2, 1, 2, 1, len(OUTPUTS), WALLS, 1, PRESSURES))
    for name, value in constants.items():
        fit[..., OUTPUTS.index(name), 0, 0, 0] = value
    one = np.ones(1)
    values = {
        "trains": 1, "parts": 1, "frequency_nodes": 1, "coefficients": fit,
        "pressure_ends": np.array([1e2, 3e5, 2e6]), "wall_ends": np.array([[ROOM - 8.0, ROOM + 100.0]]),
        "frequency_ends": np.array([[60.0, 60.0]]), "saturation": saturation_fit(), "volume": volume, "film": film,
        "room_conductance": 0.0, "wall_capacity": wall, "room": ROOM, "barometer": PA, "humidity": 0.0,
        "warmest_dew": 200.0, "dries": 0, "gas_steps": 0.3, "pump_capacity": 1e4 * one, "still_conductance": 5.0 * one,
        "crankcase_place": 0.5 * one, "crankcase_lag": 1e3 * one, "cooler_lag": np.array([[1.0, NEVER]]),
        "fan_run_on": 0.0 * one, "fan_power": 0.0 * one, "line_volume": 0.0 * one,
        "winding_lag": np.array([[1e3, 1e3]]),
    }  # fmt: skip
    return Machine(**{name: values[name] for name in Machine._fields})


def switched(cut_in, cut_out):
    """A plain pressure switch."""
    return Settings(
        scheme=PRESET, full=0, quiet=0, lowest=60.0, highest=60.0, highest_quiet=60.0, cut_in=np.array([cut_in]),
        cut_out=np.array([cut_out]), full_below=0.0, held=0.0, gain=0.0, reset=1.0, idle_time=0.0, minimum_off=0.0,
        most_starts=0.0, drain_every=0.0, drain_air=0.0,
    )  # fmt: skip


def drawing(*, flow=0.0, choked=0.0, steady=0.0, full_at=2e5, needs=1e3, length, on=True):
    """One tool that runs all the time, and leaks; the plant switched on or off."""
    codes = np.array([SWITCHED_ON, 0] if on else [0], np.int64)
    return Tools(
        many=1, regulated=np.array([flow]), choked=np.array([choked]), full_at=np.array([full_at]),
        needs=np.array([needs]), piped=0, line_drop=0.0, steady=steady, most=max(flow, 0.1),
        times=np.zeros(len(codes)), codes=codes, on=np.ones(len(codes), np.int64), which=np.zeros(len(codes), np.int64),
        full_of=np.zeros((1, 1)), needs_of=np.zeros((1, 1)), begin=0.0, end=length,
    )  # fmt: skip


def run(plant, settings, tools, start, *, lines=0):
    """Books and trace of a run of the kernel."""
    books, condition = empty_books(trace=lines, shortages=64), fresh(plant)
    condition.warmth[:] = 1.0  # air comes at the inlet's temperature from the first moment on
    record = packed(books)
    found = jit(run_days)(
        plant.coefficients, packed(plant), packed(settings), packed(tools), packed(condition), record, tools.times,
        tools.codes, tools.on, tools.which, tools.full_of, tools.needs_of, books.shortages, books.trace, start,
    )  # fmt: skip
    assert found == DONE
    books = books._replace(**{name: record[name][0] for name in record.dtype.names or ()})
    rows, gaps = int(books.totals[TRACE_ROWS]), int(books.totals[SHORTAGES])
    assert lines == 0 or rows <= lines
    return books._replace(trace=books.trace[:rows], shortages=books.shortages[:gaps])


def free_air(flow):
    """Mass flow of dry air of a flow at 14.7 psi and room temperature. [kg/s]"""
    return flow * PA / (R_DRY_AIR * ROOM)


# --- a receiver at room temperature ----------------------------------------------------------------------------------


@pytest.mark.parametrize("flow", [0.004, 0.02])
def test_pump_up_at_room_temperature(flow):
    """t = V (p2 - p1)/(m R T) [physics]."""
    volume, start, end = 0.3, 4e5, 9e5
    books = run(bare(volume=volume, film=2e4, flow=flow), switched(5e5, end), drawing(length=HOUR), start)
    wanted = volume * (end - start) / (flow * R_DRY_AIR * ROOM)
    assert books.of_train[0, STARTS] == 1.0
    assert books.of_train[0, LOADED] == pytest.approx(wanted, rel=1e-3)
    assert books.totals[ENERGY] == pytest.approx(POWER * books.of_train[0, LOADED], rel=1e-9)


@pytest.mark.parametrize("length", [100.0, 300.0])
def test_bleed_down_through_a_hole_at_room_temperature(length):
    """p falls by the exponential of a choked hole [physics]; `decay_leak` finds the hole again."""
    volume, start, leak = 0.3, 1.0e6, 1.5e-8
    plant = bare(volume=volume, film=2e4)
    books = run(plant, switched(1e3, 2e6), drawing(steady=leak, length=length, on=False), start, lines=100_000)
    end = books.trace[-1, PRESSURE_COLUMN]
    assert end > 1.9 * PA
    assert end == pytest.approx(start * np.exp(-leak * R_DRY_AIR * ROOM / volume * length), rel=1e-3)
    found = decay_leak(volume, pressure_start=start, pressure_end=end, time=length, atmosphere=PA)
    assert free_air(found) == pytest.approx(leak * start, rel=1e-3)


def test_bleed_down_to_half_by_the_rule_of_the_energy_guides():
    """That rule reads about 5 % low from 100 psi by gauge, as its function says [physics]."""
    volume, start, leak = 0.3, 100 * PSI + PA, 1e-8
    half = 0.5 * (start - PA) + PA
    tools = drawing(steady=leak, needs=half, length=0.5 * HOUR, on=False)
    books = run(bare(volume=volume, film=2e4), switched(1e3, 2e6), tools, start)
    took = float(books.shortages[0, 0])
    found = bleed_down_leak(volume, pressure_start=start, pressure_end=half, time=took, atmosphere=PA)
    assert free_air(found) / (leak * start) == pytest.approx(0.95, abs=0.02)


@pytest.mark.parametrize(("demand", "starts", "run_time", "rest"), [(10.0, 13.7, 2.18, 2.18), (5.0, 10.3, 1.46, 4.37)])
def test_starts_at_a_steady_demand(published, demand, starts, run_time, rest):
    """80 gal, 30 psi band, 20 cfm pump."""
    length = 24 * HOUR
    plant = bare(volume=80 * GAL, film=5e4, flow=free_air(20 * CFM))
    tools = drawing(flow=free_air(demand * CFM), length=length)
    books = run(plant, switched(120 * PSI + PA, 150 * PSI + PA), tools, 120 * PSI + PA)
    row = books.of_train[0]
    cycles = row[STARTS] - 0.5  # it begins with a start, and ends somewhere in a cycle
    one = row[LOADED] / cycles
    published("R08", printed=starts, computed=cycles / length * HOUR, unit="1/h", rel=0.005)
    published("R08", printed=run_time, computed=one / 60, unit="min", rel=0.005)
    published("R08", printed=rest, computed=(length / cycles - one) / 60, unit="min", rel=0.005)


def test_half_the_delivery_asks_for_the_most_starts():
    """D (Q - D)/(Q V') has its maximum at D = Q/2 [physics]."""
    plant, found = bare(volume=80 * GAL, film=5e3, flow=free_air(20 * CFM)), []
    for demand in (7.0, 10.0, 13.0):
        tools = drawing(flow=free_air(demand * CFM), length=30 * HOUR)
        found.append(run(plant, switched(9e5, 11e5), tools, 1e6).of_train[0, STARTS])
    assert found[1] > 1.05 * max(found[0], found[2])
    assert found[0] == pytest.approx(found[2], rel=0.02)


def test_a_draw_from_a_receiver(published):
    """660 gal carry 20 scfm for 6 minutes from 100 to 80 psi."""
    plant = bare(volume=660 * GAL, film=5e4)
    tools = drawing(flow=free_air(20 * CFM), needs=80 * PSI + PA, full_at=60 * PSI + PA, length=900.0, on=False)
    books = run(plant, switched(1e3, 2e6), tools, 100 * PSI + PA)
    assert len(books.shortages) == 1
    computed = books.shortages[0, 0] / 60
    published("R01", printed=6.0, computed=computed, unit="min", rel=0.005, source="esposito-13-7", sure="A*")


# --- an insulated receiver -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("start", "end"), [(4e5, 9e5), (1.2e5, 1e6), (1e3, 1e6)])
def test_filling_an_insulated_receiver(start, end):
    """V (p2 - p1)/(k - 1) = c_p T_in dm; from empty the gas comes to k times the inlet's temperature [physics]."""
    volume, inlet = 0.3, 310.0
    books = run(
        bare(volume=volume, film=0.0, inlet=inlet, wall=1e4),
        switched(0.5 * end, end),
        drawing(length=HOUR),
        start,
        lines=20_000,
    )
    full = books.trace[np.argmax(books.trace[:, PRESSURE_COLUMN])]
    before = start * volume / (R_DRY_AIR * ROOM)
    added = volume * (end - start) / (KAPPA * R_DRY_AIR * inlet)
    assert books.of_train[0, LOADED] == pytest.approx(added / 0.02, rel=1e-6)
    assert full[PRESSURE_COLUMN] == pytest.approx(end, abs=1.0)
    assert full[GAS] == pytest.approx(end * volume / ((before + added) * R_DRY_AIR), rel=1e-6)
    assert books.totals[HEAT_IN] == pytest.approx(CP_DRY_AIR * inlet * added, rel=1e-6)
    kept = volume * (end - start) / (KAPPA - 1.0)
    assert books.totals[END_ENERGY] - books.totals[BEGIN_ENERGY] == pytest.approx(kept, abs=0.25)
    if start < 2e3:
        assert full[GAS] / inlet == pytest.approx(KAPPA, rel=2e-3)


@pytest.mark.parametrize("length", [60.0, 300.0])
def test_bleeding_down_an_insulated_receiver(length):
    """The gas left cools as by an isentrope, and the pressure follows (1 + n A t)^(-1/n) [physics]."""
    volume, start, leak = 0.3, 1.2e6, 1.5e-8
    books = run(
        bare(volume=volume, film=0.0, wall=1e4), switched(1e3, 2e6), drawing(steady=leak, length=length, on=False),
        start, lines=5000,
    )  # fmt: skip
    pressure, gas = books.trace[-1, PRESSURE_COLUMN], books.trace[-1, GAS]
    n = (KAPPA - 1.0) / (2.0 * KAPPA)
    rate = KAPPA * R_DRY_AIR * leak * np.sqrt(293.15 * ROOM) / volume
    assert pressure > 1.9 * PA
    assert pressure == pytest.approx(start * (1.0 + n * rate * length) ** (-1.0 / n), rel=1e-4)
    assert gas == pytest.approx(ROOM * (pressure / start) ** (2.0 * n), rel=1e-4)


def test_an_open_nozzle_is_a_hole_and_a_regulated_tool_is_not():
    """With one flow at the start, the nozzle's falls with the pressure: what is left differs as t does [physics]."""
    volume, start, flow, length = 0.3, 1e6, 0.006, 60.0
    plant, switch = bare(volume=volume, film=2e4), switched(1e3, 2e6)
    regulated = run(plant, switch, drawing(flow=flow, length=length, on=False), start, lines=100_000).trace[-1]
    nozzle = run(plant, switch, drawing(choked=flow / start, length=length, on=False), start, lines=100_000).trace[-1]
    rate = flow * R_DRY_AIR * ROOM / volume
    assert regulated[PRESSURE_COLUMN] == pytest.approx(start - rate * length, rel=1e-3)
    assert nozzle[PRESSURE_COLUMN] == pytest.approx(start * np.exp(-rate * length / start), rel=1e-3)


def test_a_record_holds_what_it_is_given():
    plant = bare(volume=0.3, film=12.0)
    record = packed(plant)[0]
    assert (record["volume"], record["film"], record["trains"]) == (0.3, 12.0, 1)
    assert records.packed(switched(5e5, 9e5))[0]["cut_out"][0] == 9e5
    assert NEVER > record["wall_capacity"] == STEADY_WALL
