"""Rules about supply, drive, motor wiring and control."""
