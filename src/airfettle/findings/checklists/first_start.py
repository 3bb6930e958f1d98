"""The first start, step by step, each with the reading that this plant should show: safety first, power last."""

from __future__ import annotations

from airfettle.findings.checklists.locked_off import drives_alone, each_locked_off, locked_off, released
from airfettle.findings.checklists.running import running, standing, stops
from airfettle.findings.checklists.step import POWER, Step
from airfettle.findings.checklists.this_plant import ThisPlant
from airfettle.findings.checklists.under_power import first_power, first_pressure


def first_start(this: ThisPlant) -> tuple[Step, ...]:
    """Return the steps that a plant needs; those locked off alone where a danger holds."""
    steps = [*locked_off(this), *(step for train in this.trains for step in each_locked_off(this, train))]
    if this.stopped:
        return tuple(steps)
    steps += [*drives_alone(this), *released(POWER)]
    for each in (first_power, first_pressure, running, stops, standing):
        steps += each(this)
    return tuple(steps)
