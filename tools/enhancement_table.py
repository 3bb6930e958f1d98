"""Make the tables of the enhancement factor of water in air: ``python tools/enhancement_table.py``.

The enhancement factor f says how much more water vapour saturated air holds than the saturation pressure of pure
water explains. It follows from equal chemical potential of the water on both sides: in the gas, a virial series to
the third coefficient (air, water and the cross ones); on the other side ice, or water with some air dissolved,
under the total pressure. The vapour's mole fraction holds f itself, so the equation is solved by iteration.

At the saturation pressure of pure water f is 1, and (f - 1) / (1 - p_ws / p) is a smooth function of temperature
and pressure. That quotient is fitted with a polynomial, once over ice and once over water. A third table holds the
temperature at which water under compressed air freezes, where the vapour pressures over ice and water are equal.
The script needs numpy and no network; ``tests/unit`` checks that the files agree with it.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from airfettle.air.saturation import ice_saturation_pressure, water_saturation_pressure

DATA = Path(__file__).parents[1] / "src" / "airfettle" / "tables" / "data"
R = 8.314472
WATER_MOLAR_MASS = 0.018015268

# Where the fits hold [degC], [bar], and the highest power of temperature beside each power of pressure.
RANGE = {"ice": (-80.0, 0.5), "water": (-45.0, 200.0)}
PRESSURE_LIMIT = 20.0
POWERS = {"ice": (5, 5, 4, 2), "water": (7, 6, 4, 2)}
FREEZING_POWERS = 3
PURE = {"ice": ice_saturation_pressure, "water": water_saturation_pressure}


def air_virials(T):
    """Second [m3/mol] and third [m6/mol2] virial coefficient of dry air.

    The terms of the air equation of state [lemmon-2000] that are linear and square in density; an exponential term
    exp(-delta) adds to the square ones.
    """
    tau, density = 132.6312 / T, 10447.7
    linear = ((0.118160747229, 0.0), (0.713116392079, 0.33), (-1.61824192067, 1.01), (-0.101365037912, 1.6),
              (-0.146629609713, 3.6), (0.0148287891978, 3.5))  # fmt: skip
    square = ((0.0714140178971, 0.0), (0.101365037912, 1.6))
    second = sum(n * tau**t for n, t in linear) / density
    third = 2.0 * sum(n * tau**t for n, t in square) / density**2
    return second, third


def water_virials(T):
    """Second [m3/mol] and third [m6/mol2] virial coefficient of water vapour, likewise from [iapws-r6-95].

    Its two non-analytic terms carry exp(-28) or less at zero density and are left out.
    """
    tau, density = 647.096 / T, 322.0 / WATER_MOLAR_MASS
    linear = ((0.12533547935523e-1, -0.5), (0.78957634722828e1, 0.875), (-0.87803203303561e1, 1.0),
              (-0.66856572307965, 4.0), (0.20433810950965, 6.0), (-0.66212605039687e-4, 12.0),
              (-0.10793600908932, 7.0))  # fmt: skip
    square = ((0.31802509345418, 0.5), (-0.26145533859358, 0.75), (-0.19232721156002, 1.0),
              (-0.25709043003438, 5.0), (0.17611491008752e-1, 1.0), (0.22132295167546, 9.0),
              (-0.40247669763528, 10.0), (0.66856572307965, 4.0), (-0.20433810950965, 6.0),
              (0.66212605039687e-4, 12.0))  # fmt: skip
    second = sum(n * tau**t for n, t in linear) / density
    third = 2.0 * sum(n * tau**t for n, t in square) / density**2
    return second, third


def cross_virials(T):
    """B_aw [m3/mol], C_aaw and C_aww [m6/mol2], as adopted by [ashrae-rp-1485] and [iapws-g11-15]."""
    t = T / 100.0
    baw = 1e-6 * (66.5687 * t**-0.237 - 238.834 * t**-1.048 - 176.755 * t**-3.183)
    caaw = 1e-6 * np.polynomial.polynomial.polyval(
        1.0 / t, [0.482737e-3, 0.105678e-2, -0.656394e-2, 0.294442e-1, -0.319317e-1]
    )
    caww = -1e-6 * np.exp(np.polynomial.polynomial.polyval(1.0 / t, [-10.728876, 34.7802, -38.3383, 33.406]))
    return baw, caaw, caww


def henry(T):
    """Henry's constant of air in water, fugacity over mole fraction. [Pa]  [iapws-g7-04]."""
    reduced = T / 647.096
    tau = 1.0 - reduced
    gases = ((0.7812, -9.67578, 4.72162, 11.70585), (0.2095, -9.44833, 4.43822, 11.42005),
             (0.0093, -8.40954, 4.29587, 10.52779))  # fmt: skip
    share = 0.0
    for x, a, b, c in gases:
        share = share + x / np.exp(a / reduced + b * tau**0.355 / reduced + c * reduced**-0.41 * np.exp(tau))
    return water_saturation_pressure(T) / share


def condensed(T, phase):
    """Molar volume [m3/mol] and compressibility [1/Pa] of ice or water [hyland-wexler-1983-water], [-air]."""
    if phase == "ice":
        volume = 0.1070003e-2 - 0.249936e-7 * T + 0.371611e-9 * T**2
        return volume * WATER_MOLAR_MASS, (8.875 + 0.0165 * T) * 1e-11
    top = np.polynomial.polynomial.polyval(
        T, [-0.2403360201e4, -0.140758895e1, 0.1068287657, -0.2914492351e-3, 0.373497936e-6, -0.21203787e-9]
    )
    density = top / (-0.3424442728e1 + 0.1619785e-1 * T)
    t = T - 273.15
    squeeze = np.polynomial.polynomial.polyval(
        t, [50.88496, 0.6163813, 1.459187e-3, 20.08438e-6, -58.47727e-9, 0.4104110e-9]
    ) / (1.0 + 19.67348e-3 * t)
    return WATER_MOLAR_MASS / density, squeeze * 1e-11


def fugacity_coefficient(T, p, x):
    """Logarithm of the fugacity coefficient of water vapour at mole fraction x, to the third virial [iapws-g11-15]."""
    a, (baa, caaa), (bww, cwww), (baw, caaw, caww) = 1.0 - x, air_virials(T), water_virials(T), cross_virials(T)
    beta = x * (2.0 - x) * bww + a**2 * (2.0 * baw - baa)
    mixed = x**2 * bww + 2.0 * x * a * baw + a**2 * baa
    gamma = (
        x**2 * (3.0 - 2.0 * x) * cwww
        + a**2 * (6.0 * x * caww + 3.0 * (1.0 - 2.0 * x) * caaw - 2.0 * a * caaa)
        + mixed * (x * (3.0 * x - 4.0) * bww + 2.0 * a * (3.0 * x - 2.0) * baw + 3.0 * a**2 * baa)
    )
    return beta * p / (R * T) + 0.5 * gamma * (p / (R * T)) ** 2


def log_enhancement(T, p, phase):
    """Logarithm of f over ``phase``, "ice" or "water", for p at or above the saturation pressure of pure water."""
    T, p = np.broadcast_arrays(np.asarray(T, dtype=float), np.asarray(p, dtype=float))
    p_ws = PURE[phase](T)
    volume, squeeze = condensed(T, phase)
    pressed = volume / (R * T) * ((1.0 + squeeze * p_ws) * (p - p_ws) - 0.5 * squeeze * (p**2 - p_ws**2))
    dissolved = 1.0 / henry(T) if phase == "water" else 0.0
    alone = fugacity_coefficient(T, p_ws, np.ones_like(T))
    log_f = np.zeros_like(T)
    for _ in range(60):
        x = np.minimum(np.exp(log_f) * p_ws / p, 1.0)
        log_f = pressed + np.log(1.0 - dissolved * (1.0 - x) * p) + alone - fugacity_coefficient(T, p, x)
    return log_f


def fit(phase):
    """Coefficients of (f - 1) / (1 - p_ws / p) and the worst miss of f; by power of temperature, then of pressure.

    In (T - 273.15 K) / 100 K and p / 1 MPa.
    """
    low, high = RANGE[phase]
    nodes = np.cos(np.pi * (np.arange(80) + 0.5) / 80)
    T = 273.15 + 0.5 * (low + high) + 0.5 * (high - low) * nodes[:, None]
    p_ws = PURE[phase](T)
    bottom = np.maximum(2e4, 1.02 * p_ws)
    p = bottom + (PRESSURE_LIMIT * 1e5 - bottom) * 0.5 * (1.0 + nodes[None, ::2])
    T, p_ws = np.broadcast_to(T, p.shape), np.broadcast_to(p_ws, p.shape)
    extra = np.expm1(log_enhancement(T, p, phase)).ravel()
    x, y, free = (T - 273.15) / 100.0, p / 1e6, 1.0 - p_ws / p
    powers = [(i, j) for j, highest in enumerate(POWERS[phase]) for i in range(highest + 1)]
    columns = np.stack([(free * x**i * y**j).ravel() for i, j in powers], axis=-1)
    found, *_ = np.linalg.lstsq(columns, extra, rcond=None)
    square = np.zeros((max(POWERS[phase]) + 1, len(POWERS[phase])))
    square[tuple(np.transpose(powers))] = found
    return square, float(np.max(np.abs(columns @ found - extra)))


def freezing(p, coefficients):
    """Temperature [K] at which saturated air holds as much vapour over ice as over water, and that pressure [Pa].

    With the fitted polynomials, so that the two curves the program draws meet there.
    """

    def vapour(T, phase):
        p_ws = PURE[phase](T)
        x, y = (T - 273.15) / 100.0, p / 1e6
        return p_ws * (1.0 + (1.0 - p_ws / p) * np.polynomial.polynomial.polyval2d(x, y, coefficients[phase]))

    low, high = np.full_like(p, 272.0), np.full_like(p, 273.5)
    for _ in range(60):
        T = 0.5 * (low + high)
        ice_lower = vapour(T, "ice") < vapour(T, "water")
        low, high = np.where(ice_lower, T, low), np.where(ice_lower, high, T)
    return T, vapour(T, "ice")


def fit_freezing(coefficients):
    """Polynomials in p / 1 MPa of the freezing temperature [K] and of the vapour pressure there [Pa]."""
    y = np.linspace(0.01, 0.1 * PRESSURE_LIMIT, 200)
    return [np.polynomial.polynomial.polyfit(y, found, FREEZING_POWERS) for found in freezing(y * 1e6, coefficients)]


def table(title, note, columns):
    """One table file as text."""
    lines = [
        f'title = "{title}"',
        'source = "airfettle-enhancement"',
        'edition = "2026"',
        'where = "tools/enhancement_table.py"',
        'sure = "C"',
        f'note = "{note}"',
    ]
    for name, unit, values in columns:
        lines += ["", f'[column."{name}"]', f'unit = "{unit}"']
        lines += ["values = [", *(f"  {value:.15g}," for value in values), "]"]
    return "\n".join(lines) + "\n"


def tables():
    """All files this script makes: {name: text}."""
    made, coefficients = {}, {}
    for phase in RANGE:
        found, worst = fit(phase)
        coefficients[phase] = found
        powers = np.argwhere(found)
        low, high = RANGE[phase]
        made[f"enhancement_{phase}"] = table(
            f"Enhancement factor of water vapour in air over {phase}: coefficients of (f - 1) / (1 - p_ws / p)",
            f"In (T - 273.15 K) / 100 K and p / 1 MPa; {low:g} to {high:g} degC, "
            f"p_ws to {PRESSURE_LIMIT:g} bar absolute; worst miss of f {worst:.1e}.",
            [
                ("power of temperature", "-", [i for i, _ in powers]),
                ("power of pressure", "-", [j for _, j in powers]),
                ("coefficient", "-", found[tuple(powers.T)]),
            ],
        )
    T, p_v = fit_freezing(coefficients)
    made["enhancement_freezing"] = table(
        "Freezing of water under compressed air: where vapour pressures over ice and water meet",
        f"Polynomials in p / 1 MPa, to {PRESSURE_LIMIT:g} bar absolute.",
        [("power of pressure", "-", range(len(T))), ("temperature", "K", T), ("vapour pressure", "Pa", p_v)],
    )
    return made


if __name__ == "__main__":
    for name, text in tables().items():
        (DATA / f"{name}.toml").write_text(text, encoding="utf-8")
