"""Which motor sheave to buy: every stock size against the flywheel that is there, judged row by row.

The pump is rated once, over its own speed; each sheave then only asks the motor, the belts and the geometry.
"""
