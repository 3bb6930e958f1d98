"""Rules about numbers that cannot be."""
