"""Checklists made for one plant: a used receiver, the first start, care, and faults by what is seen or heard."""
