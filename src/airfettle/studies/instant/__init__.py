"""The only physics of a running plant: everything at one frequency, receiver pressure and warmth.

Rating closes the slow heat balances through it, a trial is its value at a condition, and the maps of
a day are fitted to it.
"""
