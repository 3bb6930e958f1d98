"""What stands where on a drawing of the air path, read back from its SVG by the letters of the typeface that ships."""

import re
import xml.etree.ElementTree as ET

from letters import text_room

from airfettle.drawings.symbols import symbol_named

SVG = "{http://www.w3.org/2000/svg}"
TOUCH = 0.35
"""Overlap that rounding of coordinates may bring. [px]"""


def texts(root):
    """Every text outside the definitions, with its room. [px]"""
    marks = [mark for mark in root.iter(SVG + "text") if mark.get("class")]
    return [(mark.text, text_room(mark)) for mark in marks]


def symbols(root):
    """Every symbol placed: name, whether it is drawn as missing, its part, and its room. [px]"""
    found = []
    for use in root.iter(SVG + "use"):
        name, x, y = use.get("data-symbol"), float(use.get("x")), float(use.get("y"))
        a, b, c, d = symbol_named(name).box
        found.append((name, use.get("href").endswith("-missing"), use.get("data-part"), (x + a, y + b, x + c, y + d)))
    return found


def balloons(root):
    """Every number in a circle, with its room. [px]"""
    found = []
    for path in root.iter(SVG + "path"):
        if path.get("data-note"):
            x, y, r = map(float, re.match(r"M([-\d.]+) ([-\d.]+) a([\d.]+)", path.get("d")).groups())
            found.append((path.get("data-note"), (x, y - r, x + 2 * r, y + r)))
    return found


def vessels(root):
    """The room of every receiver. [px]"""
    found = []
    for path in root.iter(SVG + "path"):
        if path.get("data-symbol") == "air_receiver":
            numbers = path.get("d")
            points = re.findall(r"(?:[MA]|A[\d.]+ [\d.]+ 0 0 1 )([-\d.]+) ([-\d.]+)", numbers)
            xs, ys = zip(*((float(x), float(y)) for x, y in points), strict=True)
            found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


def touching(boxes):
    """Pairs of named boxes that lie on each other."""
    ordered = sorted(boxes, key=lambda named: named[1][0])
    for n, (one, a) in enumerate(ordered):
        for other, b in ordered[n + 1 :]:
            if b[0] >= a[2] - TOUCH:
                break
            if a[1] < b[3] - TOUCH and b[1] < a[3] - TOUCH:
                yield one, a, other, b


def check_room(svg, width, height):
    """Fail where words, numbers or symbols lie on each other or leave the sheet."""
    root = ET.fromstring(svg)
    lettered, circles = texts(root), balloons(root)
    placed = [*symbols(root)]
    for name, box in (*lettered, *circles, *((s[0], s[3]) for s in placed)):
        assert box[0] >= 0.0 and box[1] >= 0.0 and box[2] <= width and box[3] <= height, (name, box)  # noqa: PT018
    own = {tuple(box) for _, box in circles}

    def numbered(text, box):
        return any(n == text and c[0] <= box[0] and box[2] <= c[2] and c[1] <= box[1] + 2 and box[3] <= c[3] + 2
                   for n, c in circles)  # fmt: skip

    words = [(f"text {text}", box) for text, box in lettered if not numbered(text, box)]
    things = [(f"symbol {name}", box) for name, _, _, box in placed] + [(f"note {n}", box) for n, box in circles]
    clash = [(one, other) for one, _, other, _ in touching([*words, *things]) if _matters(one, other)]
    assert not clash, clash
    assert len(own) == len(circles)


def _matters(one, other):
    """Everything matters but symbols that are meant to touch: a valve on a stem, a drain under what it drains."""
    return not (one.startswith("symbol") and other.startswith("symbol"))
