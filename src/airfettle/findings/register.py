"""Brings in every group of rules, in the order in which they are told."""

from airfettle.findings import air_quality, drive_train, electrical, owners_numbers, pressure_boundary
from airfettle.findings.rule import RULES

GROUPS = (pressure_boundary, drive_train, electrical, air_quality, owners_numbers)
"""Modules of rules."""

__all__ = ["GROUPS", "RULES"]
