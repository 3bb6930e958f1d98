"""How wide a text is in the typeface that ships, read from the font files themselves."""

from functools import cache

from fontTools.ttLib import TTFont

from airfettle.drawings.font import folder

ELSEWHERE = 1.15
"""Width over its size of a sign that the typeface lacks, drawn by another."""


@cache
def _face(bold):
    font = TTFont(folder() / f"DejaVuSansCondensed{'-Bold' if bold else ''}.ttf")
    return font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm


def measured(text, size, *, bold=False):
    """Return the width of a text, kerning left out."""
    letters, advances, units = _face(bold)
    wide = 0.0
    for sign in text:
        there = ord(sign) in letters and ord(sign) < 0x3000
        wide += advances[letters[ord(sign)]][0] / units if there else ELSEWHERE
    return size * wide


def text_room(mark):
    """Return the room of an SVG text element, [px]: left, top, right, bottom."""
    x, y, size = (float(mark.get(key)) for key in ("x", "y", "font-size"))
    wide = measured(mark.text or "", size, bold=mark.get("font-weight") == "bold")
    left = x - {"end": wide, "middle": wide / 2}.get(mark.get("text-anchor"), 0.0)
    box = (left, y - 0.8 * size, left + wide, y + 0.2 * size)
    if mark.get("transform"):
        box = (x + box[1] - y, y - (box[2] - x), x + box[3] - y, y - (box[0] - x))
    return box
