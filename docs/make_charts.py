"""Draws the pictures of a day of running and of the pipe into docs/img, from the canoe works or a plant file given."""

import sys
from pathlib import Path

from airfettle.app.build_sheet import PARTS, workings_of
from airfettle.app.day import day_file, resize_file
from airfettle.drawings.charts import day_chart, hours_chart, resize_charts, themed, water_chart
from airfettle.drawings.pipes.plan import pipe_drawing
from airfettle.drawings.svg import chart_svg
from airfettle.report.blocks import Picture
from airfettle.studies.pipework.shop import shop_run

ROOT = Path(__file__).parents[1]
IMAGES = ROOT / "docs" / "img"
CHANCES, WEEKS = 64, 2


def main(plant):
    """Run the plant through its busiest day, and through other sizes; draw both."""
    run = day_file(plant, paths=CHANCES)
    loaded, resized = resize_file(plant, paths=CHANCES // 2, weeks=WEEKS)
    about = loaded.draw.plant.about
    day = day_chart(run)
    pictures = {
        "day": day,
        "day_blueprint": themed(day, dark=True),
        "day_water": water_chart(run),
        "day_hours": hours_chart(run),
        "day_resize": resize_charts(resized, units=about.units, name=about.name),
    }
    for name, spec in pictures.items():
        (IMAGES / f"{name}.svg").write_text(chart_svg(spec) + "\n", encoding="utf-8")
    (IMAGES / "pipe.svg").write_text(pipe_drawing(shop_run(loaded.draw)) + "\n", encoding="utf-8")
    workings = workings_of(plant, printed=False)
    for name, part in {"air_path": "air", "power": "power", "control": "control", "card": "card"}.items():
        leaf = PARTS[part](workings)
        drawings = [block for block in leaf.blocks if isinstance(block, Picture)]
        (IMAGES / f"{name}.svg").write_text(drawings[-1].svg, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else ROOT / "examples" / "canoe_works.toml")
