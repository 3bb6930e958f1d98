"""Building against buying: what the plant costs, what it makes of its energy, and ready-made units beside it."""
