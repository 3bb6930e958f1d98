"""A result as a terminal table, as JSON or as text."""
