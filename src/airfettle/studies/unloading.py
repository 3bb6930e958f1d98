"""What an unloader's bleed is taken to be: for findings, settings and predicted readings alike."""

BLEED = 1.6e-3
"""Bore of an unloader's bleed. [m]  Source: practice."""
VENTED = 0.2e5
"""Pressure over the room's at which a head counts as empty. [Pa]  Source: practice."""
