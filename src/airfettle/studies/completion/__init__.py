"""Fills the gaps of a drawn plant: what can be derived from what is given, row by row.

Nothing is sampled here. Where a given has only its class default and a reading is known, the given
is solved backwards from the reading.
"""
