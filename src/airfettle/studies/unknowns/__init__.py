"""Which one reading in the shop would settle the most."""
