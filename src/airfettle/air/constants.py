"""Constants of air and water that every equation shares, so that balances close."""

R_DRY_AIR = 287.055
"""Gas constant of dry air. [J/(kg K)]  Source: airfettle-equations (ASHRAE Fundamentals prints 287.042)."""

MASS_RATIO = 0.62198
"""Molar mass of water over that of dry air. [-]  Source: airfettle-equations (ASHRAE 2017 prints 0.621945)."""

CP_DRY_AIR = 1005.0
"""Specific heat of dry air at constant pressure. [J/(kg K)]"""

CP_VAPOUR = 1860.0
"""Specific heat of water vapour. [J/(kg K)]"""

CP_LIQUID = 4186.0
"""Specific heat of liquid water. [J/(kg K)]"""

LATENT_HEAT = 2.501e6
"""Heat of evaporation of water at 0 degC. [J/kg]"""

ZERO_CELSIUS = 273.15
"""0 degC. [K]"""

STANDARD_PRESSURE = 101_325.0
"""Standard atmosphere, absolute. [Pa]"""

KAPPA = 1.4
"""Isentropic exponent of air. [-]"""
