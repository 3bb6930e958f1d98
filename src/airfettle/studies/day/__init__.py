"""A plant run through its days: demand, control, the receiver's and the metal's slow states, and what comes of them.

Decision 15 (docs/decisions) states the equations.
"""
