"""Rules about pump, belt and motor."""
