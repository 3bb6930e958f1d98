"""The project's own motor model: its worked numbers, and an equivalent circuit as an independent judge."""

import numpy as np
import pytest
from scipy.optimize import brentq

from airfettle.parts import motor

SOURCE = "airfettle-equations"
SURE = "C"

POWER = 5 * 745.7
TORQUE = POWER / (2.0 * np.pi * 1745 / 60)


@pytest.fixture(scope="module")
def example():
    return motor.motor_from_plate(
        power=POWER, voltage=230.0, frequency=60.0, rated_speed=1745 / 60, poles=4, efficiency=0.875, power_factor=0.82,
        breakdown_ratio=2.25, no_load_share=0.40,
    )  # fmt: skip


@pytest.fixture
def at(example):
    def state(share, hertz):
        return motor.running(example, torque=share * example.rated_torque, frequency=hertz, voltage_available=230.0)

    return state


CONSTANTS = [
    ("In", 13.0444, 5e-5, "A", lambda c: c.rated_current),
    ("Tn", 20.4038, 5e-5, "N m", lambda c: c.rated_torque),
    ("Pl", 532.643, 5e-4, "W", lambda c: c.rated_losses),
    ("rotor", 120.808, 5e-4, "W", lambda c: c.rotor_loss),
    ("core", 122.975, 5e-4, "W", lambda c: c.core_loss),
    ("R", 0.36136, 5e-6, "ohm", lambda c: c.winding_resistance),
    ("Tem0", 20.9751, 5e-5, "N m", lambda c: c.rated_gap_torque),
    ("s_b", 0.126366, 5e-7, "-", lambda c: c.breakdown_drop / 30.0),
    ("dw_b", 23.8195, 5e-5, "rad/s", lambda c: c.breakdown_drop * 2.0 * np.pi),
    ("Ia0", 10.6964, 5e-5, "A", lambda c: c.active_current),
    ("Ir0", 7.4661, 5e-5, "A", lambda c: c.reactive_current),
]


@pytest.mark.parametrize(("name", "printed", "half_digit", "unit", "read"), CONSTANTS, ids=[c[0] for c in CONSTANTS])
def test_constants(published, example, name, printed, half_digit, unit, read):
    published(f"(b) {name}", printed=printed, computed=read(example), unit=unit, abs=half_digit)


#        share, Hz, Vo, rpm, I, Pin, pf, eta, and the circuit's rpm, I, Pin
STATES = [
    (1.0, 60, 230, 1745.00, 13.0444, 4261.14, 0.8200, 0.8750, 1745.0, 13.044, 4261.1),
    (0.8, 60, 230, 1756.99, 10.8442, 3410.04, 0.7894, 0.8807, 1757.4, 10.866, 3413.1),
    (1.0, 30, 115, 845.30, 13.4940, 2214.58, 0.8239, 0.8156, 841.3, 13.149, 2184.4),
    (1.0, 75, 230, 2152.81, 15.5465, 5370.03, 0.8671, 0.8566, 2154.2, 16.161, 5352.7),
]
STATE_IDS = [f"{row[0]:g} Tn {row[1]} Hz" for row in STATES]


@pytest.mark.parametrize("row", STATES, ids=STATE_IDS)
def test_states(published, at, row):
    share, hertz, volts, rpm, amps, watts, factor, efficiency = row[:8]
    state, name = at(share, hertz), f"(b) {share:g} Tn {hertz} Hz"
    published(f"{name} Vo", printed=volts, computed=state.voltage, unit="V", abs=0.5)
    published(f"{name} rpm", printed=rpm, computed=state.speed * 60, unit="rpm", abs=0.005)
    published(f"{name} I", printed=amps, computed=state.current, unit="A", abs=5e-5)
    published(f"{name} Pin", printed=watts, computed=state.input_power, unit="W", abs=0.005)
    published(f"{name} pf", printed=factor, computed=state.power_factor, unit="-", abs=5e-5)
    published(f"{name} eta", printed=efficiency, computed=state.efficiency, unit="-", abs=5e-5)


class Circuit:
    """The per-phase circuit, solved for slip; friction and stray taken off the shaft."""

    R1, R2, X, XM, RC = 0.36385, 0.33752, 2.48118, 22.982, 365.35

    @classmethod
    def at_slip(cls, slip, volts, k):
        rotor = cls.R2 / slip + 0.6j * cls.X * k
        shunt = 1.0 / (1.0 / cls.RC + 1.0 / (1j * cls.XM * k))
        inner = rotor * shunt / (rotor + shunt)
        whole = cls.R1 + 0.4j * cls.X * k + inner
        current = volts / np.sqrt(3.0) / whole
        gap = 3.0 * np.abs(current * inner / rotor) ** 2 * cls.R2 / slip
        return gap / (60.0 * np.pi * k), np.abs(current), 3.0 * np.abs(current) ** 2 * whole.real

    @classmethod
    def solve(cls, share, hertz):
        """Speed in rpm, amps and watts in."""
        k, speed = hertz / 60.0, 2.0 * np.pi * 1745 / 60
        volts = min(230.0, 230.0 * k)
        wanted = share * TORQUE + 0.01 * POWER / speed * k + 0.018 * POWER / speed * share**2
        slip = brentq(lambda s: cls.at_slip(s, volts, k)[0] - wanted, 1e-6, cls.slip_at_peak(volts, k))
        _, amps, watts = cls.at_slip(slip, volts, k)
        return 1800.0 * k * (1.0 - slip), amps, watts

    @classmethod
    def slip_at_peak(cls, volts, k):
        slips = np.linspace(1e-3, 1.0, 20_000)
        return slips[np.argmax(cls.at_slip(slips, volts, k)[0])]

    @classmethod
    def peak_torque(cls, hertz):
        k = hertz / 60.0
        volts = min(230.0, 230.0 * k)
        return cls.at_slip(cls.slip_at_peak(volts, k), volts, k)[0]


@pytest.mark.parametrize("row", STATES, ids=STATE_IDS)
def test_the_circuit_in_this_file_is_the_printed_one(published, row):
    rpm, amps, watts = Circuit.solve(row[0], row[1])
    name = f"(b) circuit {row[0]:g} Tn {row[1]} Hz"
    published(f"{name} rpm", printed=row[8], computed=rpm, unit="rpm", abs=0.05)
    published(f"{name} I", printed=row[9], computed=amps, unit="A", abs=5e-4)
    published(f"{name} Pin", printed=row[10], computed=watts, unit="W", abs=0.05)


def worst(at, shares, hertz, pick):
    errors = []
    for f in hertz:
        for share in shares:
            rpm, amps, watts = Circuit.solve(share, f)
            state = at(share, f)
            pairs = {"rpm": (state.speed * 60, rpm), "I": (state.current, amps), "Pin": (state.input_power, watts)}
            ours, theirs = pairs[pick]
            errors.append(100.0 * (ours / theirs - 1.0))
    return errors[int(np.argmax(np.abs(errors)))]


def test_closed_form_stays_near_the_circuit(published, at):
    shares, hertz = (0.3, 0.5, 0.8, 1.0), (30, 40, 45, 50, 60, 66, 70, 75)
    for pick, limit in (("I", 4.0), ("rpm", 1.0), ("Pin", 3.0)):
        published.band(
            f"(b) {pick} against circuit, 0.3 to 1 Tn, 30 to 75 Hz, worst", low=-limit, high=limit,
            computed=worst(at, shares, hertz, pick), unit="%",
        )  # fmt: skip


def test_closed_form_overloaded(published, at):
    published.band(
        "(b) I against circuit, 1 to 1.4 Tn, 30 to 60 Hz, worst", low=-4, high=4,
        computed=worst(at, (1.0, 1.2, 1.4), (30, 45, 60), "I"), unit="%",
    )  # fmt: skip


@pytest.mark.parametrize("share", [0.8, 1.0])
def test_at_20_hz_the_current_reads_high(published, at, share):
    published(
        f"(b) I against circuit, {share:g} Tn 20 Hz", printed=Circuit.solve(share, 20)[1],
        computed=at(share, 20).current, unit="A", rel=0.04,
        disagrees="inside the stated range of hertz, but the drop in the winding lowers the real flux and with it the "
        "magnetising current; the closed form keeps the flux",
    )  # fmt: skip


@pytest.mark.parametrize(("share", "hertz"), [(1.2, 75), (1.0, 80), (0.8, 90)])
def test_above_base_near_pull_out_the_current_falls_behind(published, at, share, hertz):
    published(
        f"(b) I against circuit, {share:g} Tn {hertz} Hz", printed=Circuit.solve(share, hertz)[1],
        computed=at(share, hertz).current, unit="A", rel=0.04,
        disagrees="inside the stated range of slip and hertz, but the leakage part of the reactive current ought to "
        "grow as 1/phi above base frequency; the closed form leaves that out",
    )  # fmt: skip


@pytest.mark.parametrize(("share", "hertz"), [(1.0, 75), (1.2, 75), (1.0, 80), (0.8, 90)])
def test_leakage_by_flux_stays_near_the_circuit(published, example, share, hertz):
    state = motor.running(
        example, torque=share * example.rated_torque, frequency=hertz, voltage_available=230.0, leakage_by_flux=True
    )
    published(
        f"(b) with leakage by flux, I against circuit, {share:g} Tn {hertz} Hz",
        printed=Circuit.solve(share, hertz)[1], computed=state.current, unit="A", rel=0.03,
    )  # fmt: skip


@pytest.mark.parametrize("hertz", [20, 30, 45, 60])
def test_pull_out_counts_the_winding_at_low_frequency(published, example, at, hertz):
    published(
        f"(b) breakdown torque against circuit, {hertz} Hz", printed=Circuit.peak_torque(hertz),
        computed=at(1.0, hertz).breakdown_torque, unit="N m", rel=0.02,
    )  # fmt: skip


def test_without_the_winding_breakdown_would_read_high_at_30_hz(published, example):
    published(
        "(b) breakdown at 30 Hz with flux alone", printed=Circuit.peak_torque(30), computed=example.breakdown_torque,
        unit="N m", rel=0.04, disagrees="the equations say so: high below 45 Hz; the pull-out share corrects it",
    )  # fmt: skip
