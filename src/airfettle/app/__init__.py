"""Use cases that every door calls."""
