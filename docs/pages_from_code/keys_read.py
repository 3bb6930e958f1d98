"""Which keys of the plant file the answers rest on, found by watching which ones a rating reads."""

import tempfile
from functools import cache
from pathlib import Path

from airfettle.plant.part import Model, entry_of
from airfettle.report.parts_words import offer_remarks
from airfettle.store.plant_file import read_plant
from airfettle.studies.choosing.against import against_ready_made
from airfettle.studies.draw import draw
from airfettle.studies.pipework.from_plant import has_network
from airfettle.studies.pipework.lies import low_points, run_lies
from airfettle.studies.pipework.shop import shop_run
from airfettle.studies.rating import rate

EXAMPLES = Path(__file__).parents[2] / "examples"
PIPE = """[[use]]
name = "saw"
tool = "saw"
[[filter]]
name = "line"
[shop_pipe]
coldest = "5 degC"
drains = ["B"]
leak_test = { start = "8 bar", end = "7 bar", time = "9 h" }
runs = [{ way = "receiver, 3 m, A, 4 m, B", pipe = "steel 40 1 in", falls_to = "B", fittings = "1 elbow",
          through = ["line"], coldest = "2 degC" }]
drops = [{ at = "A", tool = "saw", pipe = "steel 40 1/2 in", drain = "yes", regulator = "6 bar", hose = "8 mm, 5 m" }]
""".replace(",\n          through", ", through")
CHOICE = """[site]
energy_price = "0.2 /kWh"
[ready_made]
name = "unit"
price = 900
air = "12 cfm at 90 psi"
power = "3 hp"
sound_level = "80 dBA"
longest_duty = "50 %"
[other_cost]
name = "work"
price = 200
"""
BARE = (
    "",
    '[pump]\nstages = 2\n[drive]\nrated_power = "10 hp"\n[motor]\nphases = 3\n[belt]\nratio = "3"\n',
    '[site]\naltitude = "500 m"\n[pump]\nrated = [{ air = "18 cfm", at = "100 psi", speed = "850 rpm" }]\n',
    '[supply]\nkind = "single-phase 230"\n[drive]\nsingle_phase_output_current = "16 A"\n[cooler]\nfan = "none"\n',
    PIPE,
    CHOICE,
    *(f'[dryer]\nkind = "{kind}"\n' for kind in ("desiccant, heatless", "bead cartridge", "membrane")),
)
"""Plants that tell little, so that what stands in for the rest is read too."""
IN_THE_DRAW = {
    ("Site", "altitude"), ("Site", "weather"), ("Run", "way"), ("ShopPipe", "pipe"), ("ShopPipe", "coupler"),
    ("ShopPipe", "hose"),
}  # fmt: skip
"""Keys that are read before the watch begins: for the air pressure of the place, and handed down to runs and drops."""


@cache
def keys_read():
    """Return (section's model, key) of every key that a rating of some plant reads."""
    seen = set(IN_THE_DRAW)
    with tempfile.TemporaryDirectory() as folder:
        bare = [Path(folder) / f"bare_{i}.toml" for i in range(len(BARE))]
        for file, text in zip(bare, BARE, strict=True):
            file.write_text(text, encoding="utf-8")
        for file in [*sorted(EXAMPLES.glob("*.toml")), *bare]:
            told = read_plant(file)
            plant = draw(told, rows=8)
            with _Watched(seen):
                rate(plant)
                if told.ready_made:
                    compared = against_ready_made(told, draw=plant)
                    _ = [list(offer_remarks(offer, compared)) for offer in compared.offers]
                if has_network(plant.plant):
                    run = shop_run(plant)
                    run_lies(run)
                    low_points(plant.plant.shop_pipe, run.network)
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
