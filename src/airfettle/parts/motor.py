"""Induction motor: constants from its plate, and its state at any torque, frequency and voltage.

What a plate leaves out stands in ``motor_class``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

FRICTION_SHARE = 0.010
"""Bearing and fan loss over rated power. [-]  Source: airfettle-equations."""
STRAY_SHARE = 0.018
"""Stray load loss over rated power. [-]  Source: airfettle-equations; the allowance NEMA MG 1 gives small motors."""
CORE_SHARE = 0.40
"""Core loss over core loss and winding loss together. [-]  Source: airfettle-equations."""
SATURATION = 3.0
"""Exponent of magnetising current over flux, above rated flux. [-]  Source: motor-memory."""
NEWTON_STEPS = 3
"""Steps for the current; they reach 1e-12 below 0.8 of pull-out. [-]"""
LOCKED_SHARE = 6.0
"""Current no point passes, over rated current. [-]  Source: motor-memory (design B, locked)."""


@dataclass(frozen=True)
class MotorConstants:
    """What a plate says, turned into the constants of the loss model.

    Attributes
    ----------
    power, voltage, frequency, rated_speed, poles, efficiency, power_factor, phases : ndarray
        The plate; shaft power, line voltage. [W] [V] [Hz] [1/s] [-] [-] [-] [-]
    rated_torque : ndarray
        Shaft torque at rated power and speed. [N m]
    rated_slip : ndarray
        As used, within 0.001 to 0.3. [-]
    rated_current : ndarray
        Line current by the identity P = m V I eta pf. [A]
    rated_losses, friction_loss, stray_loss, rotor_loss, core_loss, winding_loss : ndarray
        Losses at the rated point; all but the first sum to it unless the plate contradicts itself. [W]
    winding_resistance : ndarray
        Of one phase, star equivalent (single-phase: the whole winding), hot. [ohm]
    leakage_reactance : ndarray
        Of one phase at plate frequency, from the breakdown torque. [ohm]
    rated_gap_torque, breakdown_torque : ndarray
        Torque in the air gap at the rated point, and the largest there at rated flux. [N m]
    breakdown_drop : ndarray
        Fall of speed from synchronous to breakdown. [1/s]
    no_load_current, active_current, reactive_current : ndarray
        Magnetising current, and the two parts of the rated line current. [A]
    plate_residual : ndarray
        Share of the rated loss left for core and winding; at or below 0 the plate contradicts itself. [-]
    slip_residual : ndarray
        Slip by the plate's speed, as read; at or below 0 the speed is not a full-load speed. [-]
    """

    power: Floats
    voltage: Floats
    frequency: Floats
    rated_speed: Floats
    poles: Floats
    efficiency: Floats
    power_factor: Floats
    phases: Floats
    rated_torque: Floats
    rated_slip: Floats
    rated_current: Floats
    rated_losses: Floats
    friction_loss: Floats
    stray_loss: Floats
    rotor_loss: Floats
    core_loss: Floats
    winding_loss: Floats
    winding_resistance: Floats
    leakage_reactance: Floats
    rated_gap_torque: Floats
    breakdown_torque: Floats
    breakdown_drop: Floats
    no_load_current: Floats
    active_current: Floats
    reactive_current: Floats
    plate_residual: Floats
    slip_residual: Floats


@dataclass(frozen=True)
class MotorState:
    """A motor at one operating point; a point it cannot hold is given at the most it can.

    Attributes
    ----------
    speed : ndarray
        Of the shaft. [1/s]
    slip : ndarray
        Against the synchronous speed at this frequency. [-]
    current : ndarray
        In each line. [A]
    input_power, shaft_power : ndarray
        Electrical in, mechanical out. [W]
    power_factor, efficiency : ndarray
        At the motor's terminals. [-]
    voltage : ndarray
        Between lines at the motor. [V]
    flux : ndarray
        Over the flux at the plate's voltage and frequency. [-]
    pull_out_share : ndarray
        Torque in the gap over the largest at this point, or power over the most its winding can pass if that is
        nearer; above 1 the motor stalls. [-]
    breakdown_torque : ndarray
        Largest torque in the gap at this point. [N m]
    torque_held : ndarray
        The torque asked for, or the largest the motor can hold; the other numbers belong to it. [N m]
    torque_share : ndarray
        Torque asked for over rated torque. [-]
    available_torque_share : ndarray
        Torque the winding may carry for long over rated torque, cooling apart; it falls with the flux. [-]
    losses, copper_loss, rotor_loss, core_loss, friction_loss, stray_loss : ndarray
        The total and its five parts. [W]
    """

    speed: Floats
    slip: Floats
    current: Floats
    input_power: Floats
    shaft_power: Floats
    power_factor: Floats
    efficiency: Floats
    voltage: Floats
    flux: Floats
    pull_out_share: Floats
    breakdown_torque: Floats
    torque_held: Floats
    torque_share: Floats
    available_torque_share: Floats
    losses: Floats
    copper_loss: Floats
    rotor_loss: Floats
    core_loss: Floats
    friction_loss: Floats
    stray_loss: Floats


def motor_from_plate(
    *,
    power: ArrayLike,
    voltage: ArrayLike,
    frequency: ArrayLike,
    rated_speed: ArrayLike,
    poles: ArrayLike,
    efficiency: ArrayLike,
    power_factor: ArrayLike,
    breakdown_ratio: ArrayLike,
    no_load_share: ArrayLike = 0.40,
    phases: ArrayLike = 3,
) -> MotorConstants:
    """Return the constants of a motor from its plate, in closed form.

    Parameters
    ----------
    power : array_like
        Rated shaft power. [W]
    voltage : array_like
        Line voltage of the connection in use. [V]
    frequency : array_like
        Plate frequency. [Hz]
    rated_speed : array_like
        Full-load speed of the shaft. [1/s]
    poles : array_like
        Number of poles. [-]
    efficiency, power_factor : array_like
        At full load. [-]
    breakdown_ratio : array_like
        Breakdown over rated torque. [-]
    no_load_share : array_like
        Magnetising over rated current, 0.30 to 0.55; kept below the reactive current at full load. [-]
    phases : array_like
        1 or 3. [-]

    Returns
    -------
    MotorConstants
        Losses [W], currents [A], torques [N m] and the two residuals [-].

    Notes
    -----
    In = Pn/(m V eta pf), m = sqrt(3) or 1; rest = Ploss - Pfw - Pst - Prot; R = 0.6 rest/(q In^2), q = 3 or 1;
    s_b = sn (t0 + sqrt(t0^2 - 1)), t0 = tb Tn/Tem0.
    Valid: cage motors of 0.5 to 40 kW.  The split of the rest and the two fixed shares are assumptions: a
    wrong split moves loss between idle and load and errs by a few per cent of the losses off the rated point.
    A plate that contradicts itself is kept finite by limits on slip (0.001 to 0.3), the rest (5 % of the loss)
    and t0 (1.02); the residuals say so.

    References
    ----------
    [airfettle-equations] (b)
    """
    p_n, v_n, f_n, n_n, poles_, eta, pf, ratio, idle, phases_ = (
        np.asarray(given, dtype=np.float64)
        for given in (
            power, voltage, frequency, rated_speed, poles, efficiency, power_factor, breakdown_ratio,
            no_load_share, phases,
        )
    )  # fmt: skip
    root, windings = _line_root(phases_), np.where(phases_ > 2.0, 3.0, 1.0)
    synchronous = 2.0 * f_n / poles_
    slip_read = 1.0 - n_n / synchronous
    slip = np.clip(slip_read, 0.001, 0.3)
    torque = p_n / (2.0 * np.pi * n_n)
    current = p_n / (root * v_n * eta * pf)
    loss, friction, stray = p_n * (1.0 / eta - 1.0), FRICTION_SHARE * p_n, STRAY_SHARE * p_n
    gap_power = p_n + friction + stray
    rotor = slip / (1.0 - slip) * gap_power
    rest_read = (loss - friction - stray - rotor) / np.maximum(loss, 1e-3 * p_n)
    rest = np.maximum(loss, 1e-3 * p_n) * np.maximum(rest_read, 0.05)
    gap_torque = gap_power / (2.0 * np.pi * n_n)
    t0 = np.maximum(ratio * torque / gap_torque, 1.02)
    resistance = (1.0 - CORE_SHARE) * rest / (windings * current**2)
    breakdown = t0 * gap_torque
    reactive = current * np.sqrt(np.maximum(1.0 - pf**2, 0.0))
    return MotorConstants(
        power=p_n, voltage=v_n, frequency=f_n, rated_speed=n_n, poles=poles_, efficiency=eta, power_factor=pf,
        phases=phases_, rated_torque=torque, rated_slip=slip, rated_current=current, rated_losses=loss,
        friction_loss=friction, stray_loss=stray, rotor_loss=rotor, core_loss=CORE_SHARE * rest,
        winding_loss=(1.0 - CORE_SHARE) * rest, winding_resistance=resistance,
        leakage_reactance=_leakage(v_n, breakdown * 2.0 * np.pi * synchronous, resistance),
        rated_gap_torque=gap_torque, breakdown_torque=breakdown,
        breakdown_drop=slip * (t0 + np.sqrt(t0**2 - 1.0)) * synchronous,
        no_load_current=np.minimum(idle * current, 0.98 * reactive), active_current=current * pf,
        reactive_current=reactive, plate_residual=rest_read, slip_residual=slip_read,
    )  # fmt: skip


def running(
    constants: MotorConstants,
    *,
    torque: ArrayLike,
    frequency: ArrayLike,
    voltage_available: ArrayLike,
    direct: ArrayLike = False,
    boost: ArrayLike = 0.0,
    service_factor: ArrayLike = 1.0,
    leakage_by_flux: ArrayLike = False,
) -> MotorState:
    """Return the state of a motor at a torque, on a drive or straight on the line.

    Parameters
    ----------
    constants : MotorConstants
        From ``motor_from_plate``. [-]
    torque : array_like
        Asked for at the shaft; below 0 counts as 0. [N m]
    frequency : array_like
        Of the drive's output or the line. [Hz]
    voltage_available : array_like
        Most the drive can put out, or the line voltage at the motor. [V]
    direct : array_like
        True on the line: the voltage is what is there, not held to the plate's volts per hertz. [-]
    boost : array_like
        Share of the winding's resistance drop that the drive makes up at low frequency, 0 to 1. [-]
    service_factor : array_like
        1.0 on a drive; the plate's only on the line at plate voltage. [-]
    leakage_by_flux : array_like
        True divides the leakage part of the reactive current by the flux, which (b) leaves out: nearer to the circuit
        above base frequency (1.6 in place of 7.5 % low at 90 Hz and 0.8 of rated torque). [-]

    Returns
    -------
    MotorState
        Speed [1/s], current [A], powers and losses [W], shares [-].

    Notes
    -----
    phi = V/(Vn f/fn); Tem = T + Tfw f/fn + Tst (T/(Tn phi))^2; t = tb Tn phi^2/Tem;
    w = ws - dw_b (t - sqrt(t^2 - 1)); Pin = Tem ws + Pcore phi^2 (f/fn)^1.3 + q R I^2; Ia = Pin/(m V);
    I = hypot(Ia, I0 phi + (Ir0 - I0)(Ia/Ia0)^2), solved by Newton steps.  Above rated flux the magnetising
    current goes as phi^3.
    Valid: 0.3 to 1.4 times rated torque, 20 to 90 Hz of a 60 Hz motor, slip below 0.6 of breakdown; against a circuit
    the current reads 4 % low at 1.25 times base frequency and rated torque, more beyond, and 5 % high at 20 Hz.  The
    pull-out share counts the winding's resistance at low frequency, which speed and current do not.

    References
    ----------
    [airfettle-equations] (b); [motor-memory] saturation
    """
    c = constants
    asked = np.maximum(np.asarray(torque, dtype=np.float64), 0.0)
    k = np.maximum(np.asarray(frequency, dtype=np.float64), 1e-3 * c.frequency) / c.frequency
    volts = _terminal_voltage(c, k, np.asarray(voltage_available, dtype=np.float64), np.asarray(direct, dtype=bool))
    flux = volts / (c.voltage * k)
    ideal = c.breakdown_torque * flux**2
    breakdown = ideal * _low_frequency_share(c, k, np.asarray(boost, dtype=np.float64))
    wanted, gap, held = _gap_torque(c, asked, k, flux, breakdown)
    synchronous = 2.0 * c.frequency * k / c.poles
    share = np.minimum(gap / ideal, 1.0)
    speed = np.maximum(synchronous - c.breakdown_drop * _drop_share(share), 0.0)
    core = c.core_loss * flux**2 * k**1.3
    base = gap * (2.0 * np.pi * synchronous) + core
    leakage = np.where(np.asarray(leakage_by_flux, dtype=bool), 1.0 / flux, 1.0)
    active, square, passing = _currents(c, base, flux, _line_root(c.phases) * volts, leakage)
    copper = np.where(c.phases > 2.0, 3.0, 1.0) * c.winding_resistance * square
    omega = 2.0 * np.pi * speed
    friction = (c.friction_loss / c.rated_speed * k) * speed
    shaft = held * omega
    stray = gap * omega
    rotor = gap * (2.0 * np.pi * synchronous) - stray
    stray -= shaft
    stray -= friction
    losses = rotor + copper
    losses += core
    losses += friction
    losses += stray
    current, taken = np.sqrt(square), shaft + losses
    return MotorState(
        speed=speed, slip=1.0 - speed / synchronous, current=current, input_power=taken, shaft_power=shaft,
        power_factor=np.minimum(active / current, 1.0), efficiency=shaft / taken, voltage=volts, flux=flux,
        pull_out_share=np.maximum(wanted / breakdown, passing), breakdown_torque=breakdown, torque_held=held,
        torque_share=asked / c.rated_torque,
        available_torque_share=np.asarray(service_factor, dtype=np.float64) * np.minimum(flux, 1.0),
        losses=losses, copper_loss=copper, rotor_loss=rotor, core_loss=core, friction_loss=friction, stray_loss=stray,
    )  # fmt: skip


def current_residual(constants: MotorConstants, *, plate_current: ArrayLike) -> Floats:
    """Return how far the plate's amps stand from its power, efficiency and power factor.

    Parameters
    ----------
    constants : MotorConstants
        From ``motor_from_plate``. [-]
    plate_current : array_like
        Amps on the plate. [A]

    Returns
    -------
    ndarray
        Plate amps over the identity's amps, less 1; beyond 0.05 the plate contradicts itself. [-]

    References
    ----------
    [airfettle-equations] (b)
    """
    return np.asarray(plate_current, dtype=np.float64) / constants.rated_current - 1.0


def rated_torque(power: ArrayLike, *, speed: ArrayLike) -> Floats:
    """Return the torque of a power at a speed.

    Parameters
    ----------
    power : array_like
        At the shaft. [W]
    speed : array_like
        Of the shaft. [1/s]

    Returns
    -------
    ndarray
        Torque. [N m]

    References
    ----------
    [physics]
    """
    return np.asarray(power, dtype=np.float64) / (2.0 * np.pi * np.asarray(speed, dtype=np.float64))


def shaft_power(torque: ArrayLike, *, speed: ArrayLike) -> Floats:
    """Return the power of a torque at a speed.

    Parameters
    ----------
    torque : array_like
        At the shaft. [N m]
    speed : array_like
        Of the shaft. [1/s]

    Returns
    -------
    ndarray
        Power. [W]

    References
    ----------
    [physics]
    """
    return np.asarray(torque, dtype=np.float64) * (2.0 * np.pi * np.asarray(speed, dtype=np.float64))


def _line_root(phases: Floats) -> Floats:
    """Return sqrt(3) for three phases, 1 for one."""
    return np.where(phases > 2.0, np.sqrt(3.0), 1.0)


def _leakage(voltage: Floats, breakdown_power: Floats, resistance: Floats) -> Floats:
    """Reactance from Tb ws = V^2/(2 (R + sqrt(R^2 + X^2))), kept above a fifth of the impedance."""
    impedance = voltage**2 / (2.0 * breakdown_power)
    return np.sqrt(np.maximum(impedance * (impedance - 2.0 * resistance), (0.2 * impedance) ** 2))


def _terminal_voltage(c: MotorConstants, k: Floats, available: Floats, direct: NDArray[np.bool_]) -> Floats:
    held = np.where(direct, available, np.minimum(c.voltage * k, available))
    return np.maximum(held, 1e-3 * c.voltage * k)


def _low_frequency_share(c: MotorConstants, k: Floats, boost: Floats) -> Floats:
    """Breakdown torque with the winding's resistance over that without it at equal flux, at most 1."""
    resistance, reactance = c.winding_resistance, c.leakage_reactance
    left = resistance * (1.0 - np.clip(boost, 0.0, 1.0))
    base = resistance + np.hypot(resistance, reactance)
    return np.minimum(k * base / (left + np.hypot(left, k * reactance)), 1.0)


def _drop_share(share: Floats) -> Floats:
    """Return t - sqrt(t^2 - 1) for t = 1/share, without its cancellation."""
    root = np.asarray(share * share)
    np.subtract(1.0, root, out=root)
    np.sqrt(root, out=root)
    root += 1.0
    return share / root


def _gap_torque(
    c: MotorConstants, asked: Floats, k: Floats, flux: Floats, breakdown: Floats
) -> tuple[Floats, Floats, Floats]:
    """Torque in the gap as asked, the part of it the motor holds, and the shaft torque it then gives."""
    omega = 2.0 * np.pi * c.rated_speed
    friction = c.friction_loss / omega * k
    stray = c.stray_loss / omega / (c.rated_torque * flux) ** 2
    room = np.maximum(breakdown - friction, 0.0)
    held = np.minimum(asked, 2.0 * room / (1.0 + np.sqrt(1.0 + 4.0 * stray * room)))
    return (stray * asked + 1.0) * asked + friction, (stray * held + 1.0) * held + friction, held


def _currents(
    c: MotorConstants, base: Floats, flux: Floats, line: Floats, leakage: Floats
) -> tuple[Floats, Floats, Floats]:
    """Active current, the square of the line current, and the power over the most the winding can pass.

    ``base`` is the power apart from the winding's own loss, ``leakage`` a factor on the reactive current's rise.
    Newton's steps on b0 + b1 a^2 + b2 a^4 - line a = 0, begun at the root without b2; in place, for speed.
    """
    ohms = np.where(c.phases > 2.0, 3.0, 1.0) * c.winding_resistance
    idle = c.no_load_current * flux * np.maximum(flux, 1.0) ** (SATURATION - 1.0)
    rise = (c.reactive_current - c.no_load_current) / c.active_current**2 * leakage
    b0, b1, b2 = base + ohms * idle**2, ohms * (1.0 + 2.0 * idle * rise), ohms * rise**2
    limit, steepest = LOCKED_SHARE * c.rated_current, 0.1 * line
    passing = b0 / _most_power(line, b1, b2)
    step = np.asarray(np.maximum(1.0 - (4.0 * b1 / line**2) * b0, 0.0))
    np.sqrt(step, out=step)
    step += 1.0
    step *= line
    active = np.asarray(np.minimum((2.0 * b0) / step, limit))
    square, slope = np.empty_like(active), np.empty_like(active)
    for _ in range(NEWTON_STEPS):
        np.multiply(active, active, out=square)
        np.multiply(square, b2, out=step)
        np.multiply(step, 4.0, out=slope)
        slope += 2.0 * b1
        slope *= active
        np.subtract(line, slope, out=slope)
        np.maximum(slope, steepest, out=slope)
        step += b1
        step *= square
        step += b0
        np.multiply(active, line, out=square)
        step -= square
        step /= slope
        active += step
        np.minimum(active, limit, out=active)
    np.multiply(active, active, out=square)
    np.multiply(square, rise, out=step)
    step += idle
    step *= step
    step += square
    return active, step, passing


def _most_power(line: Floats, b1: Floats, b2: Floats) -> Floats:
    """Return the largest value of line a - b1 a^2 - b2 a^4, by Newton's steps from above on its slope."""
    active = 0.5 * line / b1
    for _ in range(6):
        cubic = 4.0 * b2 * active**2
        active = active - ((2.0 * b1 + cubic) * active - line) / (2.0 * b1 + 3.0 * cubic)
    return (line - (b1 + b2 * active**2) * active) * active
