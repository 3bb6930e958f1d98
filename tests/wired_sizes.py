"""Sizes, leakage and peaks of a plant given as text or as data."""

import tomllib

from airfettle.plant.whole import OwnersPlant
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach
from airfettle.studies.wiring.leakage import leakage_budgets
from airfettle.studies.wiring.reflection import lead_peaks
from airfettle.studies.wiring.sizes import wire_sizes


def there(plant, *, rows=64):
    data = tomllib.loads(plant) if isinstance(plant, str) else plant
    return reach(draw(OwnersPlant.model_validate(data), rows=rows))


def sizes_of(plant, *, rows=64):
    found = there(plant, rows=rows)
    return wire_sizes(found.draw, found.numbers, state=found.state)


def leakage_of(plant):
    found = there(plant, rows=8)
    return leakage_budgets(found.draw, found.numbers)


def peaks_of(plant):
    found = there(plant, rows=8)
    return lead_peaks(found.draw, found.numbers)
