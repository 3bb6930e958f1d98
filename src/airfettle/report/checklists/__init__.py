"""Checklists of a plant as printed parts: a used receiver, the first start, care, and faults."""
