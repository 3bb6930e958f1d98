"""What guards a motor besides its breaker: the overload setting, the switch that is locked off, a breaker's curve."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

SERVICE_FACTOR_FROM = 1.15
"""Service factor from which a motor on the line may be guarded at the higher share. [-]  Source: nec 430.32(A)(1)."""
WITH_SERVICE_FACTOR, WITHOUT = 1.25, 1.15
"""Trip of the overload protection over plate amps, with that service factor and without. [-]  Source: nec 430.32."""
DISCONNECT_SHARE = 1.15
"""Ampere rating of a motor's or drive's disconnect over its amps. [-]  Source: nec 430.110(A), 430.128."""
SLOW = 20.0
"""Full-load speed below which a motor's plate may show more amps than the table, and rules. [1/s]
Source: nec 430.6(A)(1), 1200 rpm."""
CURVES = {"drive": "C", "line": "D"}
"""What a breaker feeds -> letter of its magnetic trip by IEC: C at 5 to 10, D at 10 to 20 times its rating.
[text]  Source: iec-60898, the choice practice."""


def overload_share(service_factor: ArrayLike) -> Floats:
    """Return the most that a motor's overload protection may trip at, over its plate amps.

    Parameters
    ----------
    service_factor : array_like
        On the plate; 1 where it shows none. [-]

    Returns
    -------
    ndarray
        Share of the plate amps. [-]

    Notes
    -----
    1.25 from a service factor of 1.15 on, else 1.15.  Valid: motors on the line, rated for continuous duty, over 1 hp;
    on a drive the service factor does not count.

    References
    ----------
    [nec] 430.32(A)(1)
    """
    factor = np.asarray(service_factor, dtype=np.float64)
    return np.where(factor >= SERVICE_FACTOR_FROM * (1.0 - 1e-9), WITH_SERVICE_FACTOR, WITHOUT)


def disconnect_least(current: ArrayLike) -> Floats:
    """Return the least ampere rating of the switch that is locked off.

    Parameters
    ----------
    current : array_like
        Full-load current by table of a motor on the line; a drive's rated input current. [A]

    Returns
    -------
    ndarray
        Rating. [A]

    Notes
    -----
    115 % of it; the switch is also rated for the motor's power.

    References
    ----------
    [nec] 430.109, 430.110(A), 430.128
    """
    return DISCONNECT_SHARE * np.asarray(current, dtype=np.float64)


def breaker_curve(feeds: str) -> str:
    """Return the letter of a breaker's magnetic trip by IEC.

    Parameters
    ----------
    feeds : str
        drive or line: what stands behind it. [text]

    Returns
    -------
    str
        C or D. [text]

    Notes
    -----
    A motor started on the line draws 6 to 8 times its amps: D does not trip on it.

    References
    ----------
    [iec-60898]; [practice] for the choice
    """
    return CURVES[feeds]
