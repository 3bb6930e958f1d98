"""Plants of the repository and of text as their checklists see them, judged and rated on few rows."""

from functools import lru_cache
from pathlib import Path

from plant_cases import at_its_points

from airfettle.app.judge import judge_file
from airfettle.findings.case import Case
from airfettle.findings.checklists.this_plant import ThisPlant
from airfettle.findings.judge import judge
from airfettle.studies.rating import rate

ROOT = Path(__file__).parents[1]
ROWS = 128
CANOES, SAILS, KITES = "examples/canoe_works.toml", "tests/plants/sail_loft.toml", "tests/plants/kite_shed.toml"
ON_THE_LINE = "tests/plants/well_built/book_bindery.toml"
SOME = (CANOES, SAILS, KITES, ON_THE_LINE, "tests/plants/mistakes/rusty_receiver.toml",
        "tests/plants/mistakes/transducer_alone.toml", "tests/plants/mistakes/no_unloader.toml")  # fmt: skip


@lru_cache(maxsize=32)
def judged(path):
    """A plant of the repository with what was found, and rated."""
    found = judge_file(ROOT / path, rows=ROWS)
    return found, rate(found.loaded.draw)


@lru_cache(maxsize=32)
def plant(path):
    """The same as its checklists see it."""
    found, rating = judged(path)
    return ThisPlant(Case(found.reach), rating=rating, findings=found.findings)


@lru_cache(maxsize=8)
def told(text):
    """A plant given as TOML text, as its checklists see it."""
    there = at_its_points(text, ROWS)
    return ThisPlant(Case(there), rating=rate(there.draw), findings=judge(there))
