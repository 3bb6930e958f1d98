"""What air does: moist air, the atmosphere, reference conditions, nozzles."""
