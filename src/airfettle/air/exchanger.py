"""Heat exchangers by effectiveness and number of transfer units (NTU), for every arrangement a shop cooler has.

Everywhere ``capacity_ratio`` is the smaller over the larger capacity rate, 0 (one side condenses, or has
flow without end) to 1; NTU is the conductance over the smaller capacity rate. A ratio of 0 gives
1 - exp(-NTU) in every arrangement.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

MOST_TRANSFER_UNITS = 500.0
"""NTU stops here: more changes no effectiveness that matters, and an effectiveness out of reach gives it. [-]"""


def effectiveness_counterflow(transfer_units: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the effectiveness of a counterflow exchanger, the best there can be.

    Parameters
    ----------
    transfer_units : array_like
        NTU, conductance over the smaller capacity rate. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        Effectiveness. [-]

    Notes
    -----
    eff = (1 - E)/(1 - Cr E), E = exp(-NTU (1 - Cr)); NTU/(1 + NTU) at Cr = 1.  Valid: constant properties,
    no heat lost to the room.

    References
    ----------
    [compact-exchangers] ch. 2
    """
    ntu, ratio = _inputs(transfer_units, capacity_ratio)
    reach = ntu * _mean_decay(ntu * (1.0 - ratio))
    return np.asarray(reach / (1.0 + ratio * reach))


def effectiveness_parallel(transfer_units: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the effectiveness of a parallel-flow exchanger, the worst there can be.

    Parameters
    ----------
    transfer_units : array_like
        NTU, conductance over the smaller capacity rate. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        Effectiveness. [-]

    Notes
    -----
    eff = (1 - exp(-NTU (1 + Cr)))/(1 + Cr).  Valid: constant properties, no heat lost to the room.

    References
    ----------
    [compact-exchangers] ch. 2
    """
    ntu, ratio = _inputs(transfer_units, capacity_ratio)
    return np.asarray(-np.expm1(-ntu * (1.0 + ratio)) / (1.0 + ratio))


def effectiveness_crossflow_smaller_mixed(transfer_units: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the effectiveness of crossflow where the side of the smaller capacity rate is mixed.

    The usual shop cooler: little compressed air, mixed along its tubes, under much unmixed fan air.

    Parameters
    ----------
    transfer_units : array_like
        NTU, conductance over the smaller capacity rate. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        Effectiveness. [-]

    Notes
    -----
    eff = 1 - exp(-(1 - exp(-Cr NTU))/Cr).  Valid: constant properties, no heat lost to the room.

    References
    ----------
    [compact-exchangers] ch. 2
    """
    ntu, ratio = _inputs(transfer_units, capacity_ratio)
    return np.asarray(-np.expm1(-ntu * _mean_decay(ratio * ntu)))


def effectiveness_crossflow_larger_mixed(transfer_units: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the effectiveness of crossflow where the side of the larger capacity rate is mixed.

    Parameters
    ----------
    transfer_units : array_like
        NTU, conductance over the smaller capacity rate. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        Effectiveness. [-]

    Notes
    -----
    eff = (1 - exp(-Cr (1 - exp(-NTU))))/Cr.  Valid: constant properties, no heat lost to the room.

    References
    ----------
    [compact-exchangers] ch. 2
    """
    ntu, ratio = _inputs(transfer_units, capacity_ratio)
    taken = -np.expm1(-ntu)
    return np.asarray(taken * _mean_decay(ratio * taken))


def effectiveness_crossflow_unmixed(transfer_units: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the effectiveness of crossflow with both sides unmixed, by its exact series.

    Parameters
    ----------
    transfer_units : array_like
        NTU, conductance over the smaller capacity rate. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        Effectiveness. [-]

    Notes
    -----
    eff = 1/(Cr NTU) sum_n P_n(NTU) P_n(Cr NTU), where P_n(x) = 1 - exp(-x) sum_(m<=n) x^m/m!.  Every term is
    positive; about NTU + 9 sqrt(NTU) + 20 of them are added, which leaves rounding only.
    Valid: constant properties, no heat lost to the room.

    References
    ----------
    [crossflow-series] the series
    """
    return _unmixed(*_inputs(transfer_units, capacity_ratio))[0]


def effectiveness_crossflow_unmixed_approximate(transfer_units: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the effectiveness of crossflow with both sides unmixed, by the textbooks' approximation.

    Parameters
    ----------
    transfer_units : array_like
        NTU, conductance over the smaller capacity rate. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        Effectiveness. [-]

    Notes
    -----
    eff = 1 - exp((exp(-Cr NTU^0.78) - 1) NTU^0.22/Cr).  Valid: measured against the series for NTU up to 7,
    it lies between 3.8 % low (NTU 0.3, Cr 1) and 1.1 % high (NTU 2.8, Cr 0.45).

    References
    ----------
    [heat-transfer-text] table 11.3
    """
    ntu, ratio = _inputs(transfer_units, capacity_ratio)
    return np.asarray(-np.expm1(-ntu * _mean_decay(ratio * ntu**0.78)))


def transfer_units_counterflow(effectiveness: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the NTU that a counterflow exchanger needs.

    Parameters
    ----------
    effectiveness : array_like
        Wanted effectiveness. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        NTU; MOST_TRANSFER_UNITS where the effectiveness is out of reach. [-]

    Notes
    -----
    NTU = ln((1 - eff Cr)/(1 - eff))/(1 - Cr); eff/(1 - eff) at Cr = 1.  Valid: as for its effectiveness.

    References
    ----------
    [compact-exchangers] ch. 2
    """
    eff, ratio = _inputs(effectiveness, capacity_ratio)
    reach = eff / np.maximum(1.0 - eff, 1e-300)
    span = np.minimum(reach, 1e300) * (1.0 - ratio)
    safe = np.where(span > 1e-12, span, 1.0)
    factor = np.where(span > 1e-12, np.log1p(safe) / safe, 1.0)
    return np.asarray(np.minimum(np.minimum(reach, 1e300) * factor, MOST_TRANSFER_UNITS))


def transfer_units_parallel(effectiveness: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the NTU that a parallel-flow exchanger needs.

    Parameters
    ----------
    effectiveness : array_like
        Wanted effectiveness. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        NTU; MOST_TRANSFER_UNITS where the effectiveness is out of reach. [-]

    Notes
    -----
    NTU = -ln(1 - eff (1 + Cr))/(1 + Cr).  Valid: as for its effectiveness.

    References
    ----------
    [compact-exchangers] ch. 2
    """
    eff, ratio = _inputs(effectiveness, capacity_ratio)
    return _capped(_undo_decay(eff * (1.0 + ratio)) / (1.0 + ratio))


def transfer_units_crossflow_smaller_mixed(effectiveness: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the NTU that crossflow needs where the side of the smaller capacity rate is mixed.

    Parameters
    ----------
    effectiveness : array_like
        Wanted effectiveness. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        NTU; MOST_TRANSFER_UNITS where the effectiveness is out of reach. [-]

    Notes
    -----
    NTU = -ln(1 + Cr ln(1 - eff))/Cr.  Valid: as for its effectiveness.

    References
    ----------
    [compact-exchangers] ch. 2
    """
    eff, ratio = _inputs(effectiveness, capacity_ratio)
    reach = _undo_decay(eff)
    return _capped(reach * _mean_undo(ratio * reach))


def transfer_units_crossflow_larger_mixed(effectiveness: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the NTU that crossflow needs where the side of the larger capacity rate is mixed.

    Parameters
    ----------
    effectiveness : array_like
        Wanted effectiveness. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        NTU; MOST_TRANSFER_UNITS where the effectiveness is out of reach. [-]

    Notes
    -----
    NTU = -ln(1 + ln(1 - eff Cr)/Cr).  Valid: as for its effectiveness.

    References
    ----------
    [compact-exchangers] ch. 2
    """
    eff, ratio = _inputs(effectiveness, capacity_ratio)
    return _capped(_undo_decay(eff * _mean_undo(ratio * eff)))


def transfer_units_crossflow_unmixed(effectiveness: ArrayLike, *, capacity_ratio: ArrayLike) -> Array:
    """Return the NTU that crossflow with both sides unmixed needs, from the exact series.

    Parameters
    ----------
    effectiveness : array_like
        Wanted effectiveness. [-]
    capacity_ratio : array_like
        Smaller over larger capacity rate. [-]

    Returns
    -------
    ndarray
        NTU; MOST_TRANSFER_UNITS where the effectiveness is out of reach. [-]

    Notes
    -----
    Newton's rule from the counterflow NTU, which is never too large; the effectiveness bends down with NTU,
    so the steps rise towards the answer and never pass it.  Valid: as for its effectiveness.

    References
    ----------
    [crossflow-series] the series
    """
    eff, ratio = np.broadcast_arrays(*_inputs(effectiveness, capacity_ratio))
    ntu = transfer_units_counterflow(eff, capacity_ratio=ratio)
    for _ in range(60):
        reached, slope = _unmixed(ntu, ratio)
        step = np.maximum(eff - reached, 0.0) / np.maximum(slope, 1e-12)
        ntu = np.minimum(ntu + step, MOST_TRANSFER_UNITS)
        if np.all((step <= 1e-12 * (1.0 + ntu)) | (ntu >= MOST_TRANSFER_UNITS)):
            break
    return np.asarray(ntu)


def _inputs(first: ArrayLike, ratio: ArrayLike) -> tuple[Array, Array]:
    bounded = np.clip(_floats(first), 0.0, MOST_TRANSFER_UNITS)
    return bounded, np.clip(_floats(ratio), 0.0, 1.0)


def _mean_decay(x: Array) -> Array:
    """(1 - exp(-x))/x, 1 at x = 0."""
    safe = np.where(x > 0.0, x, 1.0)
    return np.where(x > 0.0, -np.expm1(-safe) / safe, 1.0)


def _mean_undo(x: Array) -> Array:
    """-ln(1 - x)/x, 1 at x = 0."""
    safe = np.where(x > 0.0, x, 1.0)
    return np.where(x > 0.0, _undo_decay(safe) / safe, 1.0)


def _undo_decay(share: Array) -> Array:
    """-ln(1 - share); very large where the share is out of reach."""
    return np.asarray(np.where(share < 1.0, -np.log1p(-np.minimum(share, 1.0 - 1e-16)), 1e6))


def _capped(ntu: Array) -> Array:
    return np.asarray(np.minimum(ntu, MOST_TRANSFER_UNITS))


def _unmixed(transfer_units: Array, capacity_ratio: Array) -> tuple[Array, Array]:
    """Effectiveness of the exact series, and its slope over NTU."""
    ntu, ratio = np.broadcast_arrays(transfer_units, capacity_ratio)
    other = ratio * ntu
    term, other_term = np.exp(-ntu), np.exp(-other)
    share, other_share = -np.expm1(-ntu), -np.expm1(-other)
    total, slope = np.zeros_like(ntu), np.zeros_like(ntu)
    most = float(np.max(ntu, initial=0.0))
    for n in range(int(most + 9.0 * np.sqrt(most)) + 20):
        total = total + share * other_share
        slope = slope + term * other_share + ratio * share * other_term
        term, other_term = term * ntu / (n + 1), other_term * other / (n + 1)
        share, other_share = np.maximum(share - term, 0.0), np.maximum(other_share - other_term, 0.0)
    safe = np.where(other > 1e-12, other, 1.0)
    effectiveness = np.where(other > 1e-12, total / safe, -np.expm1(-ntu))
    rise = np.where(other > 1e-12, (slope - total / np.maximum(ntu, 1e-300)) / safe, np.exp(-ntu))
    return np.asarray(effectiveness), np.asarray(rise)


def _floats(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)
