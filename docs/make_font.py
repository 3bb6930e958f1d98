"""Write what the drawings need of their font beside it: the widths of its letters, and small cuts to carry in an SVG.

The font itself, DejaVu Sans Condensed, stands unchanged in ``src/airfettle/drawings/font`` with its licence.
"""

import base64
import io
import json
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

FOLDER = Path(__file__).parents[1] / "src" / "airfettle" / "drawings" / "font"
FACES = {"regular": "DejaVuSansCondensed.ttf", "bold": "DejaVuSansCondensed-Bold.ttf"}
CARRIED = [
    *range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x391, 0x3CA), 0x2013, 0x2014, 0x2018, 0x2019, 0x201C, 0x201D,
    0x2022, 0x2026, 0x2126, 0x2190, 0x2191, 0x2192, 0x2193, 0x2212, 0x221A, 0x2248, 0x2264, 0x2265, 0x23DA, 0x2300,
]  # fmt: skip
"""Signs that an SVG carries with it; any other is taken from the reader's own fonts."""


def widths() -> str:
    """Return the advance of every sign, a thousandth of the size, by weight, as runs of [first sign, widths]."""
    found = {}
    for face, file in FACES.items():
        font = TTFont(FOLDER / file)
        units, table = font["head"].unitsPerEm, font["hmtx"]
        runs, last = [], None
        for code, glyph in sorted(font.getBestCmap().items()):
            if last is None or code != last + 1:
                runs.append([code, []])
            runs[-1][1].append(round(1000 * table[glyph][0] / units))
            last = code
        found[face] = runs
    return json.dumps(found, separators=(",", ":")) + "\n"


def cut(file: str) -> str:
    """Return the carried signs of one face as WOFF2 in base 64."""
    options = subset.Options(flavor="woff2", layout_features=["kern", "mark", "mkmk", "ccmp"], hinting=False,
                             desubroutinize=True)  # fmt: skip
    font = subset.load_font(str(FOLDER / file), options)
    font["head"].modified = font["head"].created
    worker = subset.Subsetter(options)
    worker.populate(unicodes=CARRIED)
    worker.subset(font)
    out = io.BytesIO()
    subset.save_font(font, out, options)
    return base64.b64encode(out.getvalue()).decode("ascii")


def main() -> None:
    """Write both files."""
    (FOLDER / "widths.json").write_text(widths(), encoding="utf-8")
    cuts = {face: cut(file) for face, file in FACES.items()}
    (FOLDER / "carried.json").write_text(json.dumps(cuts, indent=0) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
