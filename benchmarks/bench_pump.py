"""The pump and the crank over 1024 draws and 25 speeds, whole and in runs of 256 draws."""

import numpy as np
import pytest

from airfettle.parts import crank, pump

DRAWS, SPEEDS = 1024, 25


def machine():
    rng = np.random.default_rng(1)

    def about(value, share=0.1):
        return value * (1.0 + share * rng.uniform(-1.0, 1.0, (DRAWS, 1)))

    return {
        "speed": np.linspace(6.0, 18.0, SPEEDS), "rated_speed": about(14.2, 0.05), "displacement": about(0.65e-3),
        "second_displacement": about(0.195e-3), "clearance": about(0.05, 0.3), "second_clearance": about(0.06, 0.3),
        "compression_exponent": about(1.3, 0.02), "expansion_exponent": about(1.2, 0.02), "suction_loss": about(0.03),
        "discharge_loss": about(0.04), "leakage": about(0.04), "heating": about(1.05, 0.02),
        "second_heating": about(1.04, 0.02), "friction_pressure": about(25e3), "friction_pressure_speed": about(10e3),
        "wall_heat_share": about(0.35), "intercooler_effectiveness": about(0.7), "intercooler_loss": about(0.02),
        "coolant_temperature": about(298.0, 0.02), "intake_pressure": 101_325.0,
        "intake_temperature": about(298.0, 0.02), "intake_humidity_ratio": about(0.012, 0.5),
        "discharge_pressure": 1.3e6, "leakage_ratio": 4.0, "blow_by_share": about(0.5),
    }  # fmt: skip


def in_runs(given, size):
    for start in range(0, DRAWS, size):
        part = slice(start, start + size)
        yield {k: v[part] if np.ndim(v) == 2 and np.shape(v)[0] == DRAWS else v for k, v in given.items()}


@pytest.mark.parametrize("size", [256, DRAWS])
@pytest.mark.parametrize("off", [0.0, 1e-3, 1e-2])
def test_two_stage_warm(benchmark, size, off):
    given = machine()
    found = pump.two_stage(**given).interstage_pressure
    guess = found * (1.0 + off * np.random.default_rng(2).standard_normal(found.shape))
    runs = list(in_runs(given | {"interstage_guess": guess}, size))
    benchmark(lambda: [pump.two_stage(**run) for run in runs])


@pytest.mark.parametrize("size", [256, DRAWS])
def test_two_stage_cold(benchmark, size):
    runs = list(in_runs(machine(), size))
    benchmark(lambda: [pump.two_stage(**run) for run in runs])


@pytest.mark.parametrize("size", [256, DRAWS])
def test_single_stage(benchmark, size):
    second = {"second_displacement", "second_clearance", "second_heating", "intercooler_effectiveness",
              "intercooler_loss", "coolant_temperature"}  # fmt: skip
    runs = [{k: v for k, v in run.items() if k not in second} for run in in_runs(machine(), size)]
    benchmark(lambda: [pump.single_stage(**run) for run in runs])


@pytest.mark.parametrize("size", [256, DRAWS])
def test_crank(benchmark, size):
    given = machine()
    scale = given["displacement"] / 2
    columns = {"swept": scale, "clearance": given["clearance"], "top": 1e6 * given["discharge_loss"] / 0.04}

    def one(run):
        cylinders = [crank.Cylinder(run["swept"], run["clearance"], 0.98e5, run["top"], p) for p in (0.0, np.pi)]
        shape = crank.torque_shape(
            cylinders, stroke=0.06, rod_length=0.125, reciprocating_mass=0.45, compression_exponent=1.3,
            expansion_exponent=1.2, crankcase_pressure=101_325.0,
        )  # fmt: skip
        return crank.fluctuation(shape, speed=given["speed"], inertia=0.6)

    runs = list(in_runs(columns, size))
    benchmark(lambda: [one(run) for run in runs])
