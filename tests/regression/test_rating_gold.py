"""What the examples rate to today. Pins, proves nothing: when a number moves on purpose, run this file with --gold
and say so under 'Numbers that changed'.
"""

import json
from pathlib import Path

import pytest

from airfettle.app.rate import rate_file
from airfettle.report.rating_json import rating_json

ROOT = Path(__file__).parents[2]
GOLD = Path(__file__).with_name("ratings.json")
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))


def shown(file):
    """Answers as shown, by point: four digits, so that another machine's last bit changes nothing."""
    data = rating_json(rate_file(file))
    return {
        f"{p['frequency_hz']:g} Hz, {p['receiver_pressure_gauge_pa'] / 1e5:.2f} bar": {
            a["id"]: a["shown"] for a in p["answers"]
        }
        for p in data["points"]
    }


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda f: f.stem)
def test_ratings_are_what_they_were(file, request):
    kept = json.loads(GOLD.read_text(encoding="utf-8")) if GOLD.exists() else {}
    now = shown(file)
    if request.config.getoption("--gold"):
        kept[file.stem] = now
        GOLD.write_text(json.dumps(kept, indent=1, ensure_ascii=False, sort_keys=True) + "\n", encoding="utf-8")
    assert kept.get(file.stem) == now
