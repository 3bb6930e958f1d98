"""Which keys of the plant file the answers rest on, found by watching which ones a rating reads."""

import tempfile
from functools import cache
from pathlib import Path

from airfettle.plant.part import Model, entry_of
from airfettle.store.plant_file import read_plant
from airfettle.studies.draw import draw
from airfettle.studies.rating import rate

EXAMPLES = Path(__file__).parents[2] / "examples"
BARE = (
    "",
    '[pump]\nstages = 2\n[drive]\nrated_power = "10 hp"\n[motor]\nphases = 3\n[belt]\nratio = "3"\n',
    '[site]\naltitude = "500 m"\n[pump]\nrated = [{ air = "18 cfm", at = "100 psi", speed = "850 rpm" }]\n',
    '[supply]\nkind = "single-phase 230"\n[drive]\nsingle_phase_output_current = "16 A"\n[cooler]\nfan = "none"\n',
    *(f'[dryer]\nkind = "{kind}"\n' for kind in ("desiccant, heatless", "bead cartridge", "membrane")),
)
"""Plants that tell little, so that what stands in for the rest is read too."""
IN_THE_DRAW = {("Site", "altitude"), ("Site", "weather")}
"""Keys the draw itself needs, for the air pressure of the place."""


@cache
def keys_read():
    """Return (section's model, key) of every key that a rating of some plant reads."""
    seen = set(IN_THE_DRAW)
    with tempfile.TemporaryDirectory() as folder:
        bare = [Path(folder) / f"bare_{i}.toml" for i in range(len(BARE))]
        for file, text in zip(bare, BARE, strict=True):
            file.write_text(text, encoding="utf-8")
        for file in [*sorted(EXAMPLES.glob("*.toml")), *bare]:
            plant = draw(read_plant(file), rows=8)
            with _Watched(seen):
                rate(plant)
    return frozenset(seen | set(_choosing_defaults()))


def _choosing_defaults():
    """Keys by whose word an assumed value is chosen."""
    for model in _models(Model):
        for info in model.model_fields.values():
            entry = entry_of(info)
            if entry and entry.by:
                yield _name(model), entry.by


def _models(model):
    for inner in model.__subclasses__():
        yield inner
        yield from _models(inner)


def _name(model):
    return model.__name__.partition("[")[0]


class _Watched:
    """Notes every field read of any section while it is open."""

    def __init__(self, seen):
        self.seen = seen

    def __enter__(self):
        plain, seen = Model.__getattribute__, self.seen

        def noting(section, name):
            if not name.startswith("_") and name in type(section).__pydantic_fields__:
                seen.add((_name(type(section)), name))
            return plain(section, name)

        Model.__getattribute__ = noting

    def __exit__(self, *error):
        del Model.__getattribute__
