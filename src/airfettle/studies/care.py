"""Which parts of a plant need care, in the words of the table of care."""

from __future__ import annotations

from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw


def parts_needing_care(draw: Draw, numbers: PlantNumbers, *, place: int) -> set[str]:
    """Return which parts that need care a train and its plant have.

    Parameters
    ----------
    draw : Draw
        The plant. [SI]
    numbers : PlantNumbers
        The same with its gaps filled. [SI]
    place : int
        Of the train. [-]

    Returns
    -------
    set of str
        As ``parts.service.service_items`` takes them. [text]
    """
    plant, direct = draw.plant, numbers.trains[place].power.direct
    belt = plant.trains[place].belt
    receivers = [each for each in plant.receiver if not each.absent]
    there = {
        "belt": belt is not None and not belt.absent,
        "relief valve": True,
        "receiver": bool(receivers),
        "drain by hand": any(r.drain not in ("automatic", "none") and r.drain_every is None for r in receivers),
        "separator": plant.separator is not None and not plant.separator.absent,
        "filter": any(not each.absent and each.purpose != "regulator" for each in plant.filter),
        "drive": not direct,
        "no drive": direct,
    }
    return {name for name, here in there.items() if here}
