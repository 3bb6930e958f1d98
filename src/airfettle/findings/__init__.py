"""Rules of the trade about a whole plant: what may hurt, what does not fit together, what nobody told."""
