"""The sheet a shop's pipe is drawn on: paper and blueprint, lines, text, and the symbols of ISO 1219-1."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from math import hypot

from airfettle.drawings.charts.style import BLUEPRINT, PAPER, Palette
from airfettle.drawings.pipe_space import Box, Point, cleaned, text_box

TEXT, SMALL, TITLE = 13.0, 12.0, 18.0
"""Sizes of type on a desk. [px]"""
INKS = ("paper", "ink", "pale", "rule", "red")
"""Inks of a sheet by name."""


class Sheet:
    """A drawing as it grows; later marks lie over earlier ones."""

    def __init__(self, width: float) -> None:
        self.width = width
        self.marks: list[str] = []

    def text(
        self, x: float, y: float, words: str, *, size: float = TEXT, ink: str = "ink", anchor: str = "start",
        bold: bool = False, upright: bool = False,
    ) -> Box:  # fmt: skip
        """Write one line; upright it reads from the right of the sheet. Return its room, [px]."""
        words = cleaned(words)
        more = ' font-weight="bold"' if bold else ""
        more += f' text-anchor="{anchor}"' if anchor != "start" else ""
        more += f' transform="rotate(-90 {_n(x)} {_n(y)})"' if upright else ""
        self.marks.append(
            f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" class="words f-{ink}" fill="{_colour(ink)}"{more}>'
            f"{escape(words)}</text>"
        )
        box = text_box(x, y, words, size, anchor=anchor, bold=bold)
        if upright:
            box = (x + box[1] - y, y - box[2] + x, x + box[3] - y, y - box[0] + x)
        return box

    def line(self, *points: Point, ink: str = "ink", width: float = 1.0, dash: str = "") -> None:
        """Draw a line through points."""
        way = "M" + " L".join(f"{_n(x)} {_n(y)}" for x, y in points)
        self.path(way, ink=ink, width=width, dash=dash)

    def path(self, way: str, *, ink: str = "ink", width: float = 1.0, dash: str = "", fill: str = "none") -> None:
        """Draw a path, outlined and perhaps filled."""
        inside = ' fill="none"' if fill == "none" else f' fill="{_colour(fill)}"'
        names = f"s-{ink}" if fill == "none" else f"s-{ink} f-{fill}"
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.marks.append(
            f'<path d="{way}" class="{names}"{inside} stroke="{_colour(ink)}" stroke-width="{_n(width)}"{dashes}/>'
        )

    def box(self, box: Box, *, ink: str = "ink", width: float = 1.0, fill: str = "none", dash: str = "") -> None:
        """Draw a rectangle."""
        a, b, c, d = (_n(v) for v in box)
        self.path(f"M{a} {b} H{c} V{d} H{a} Z", ink=ink, width=width, fill=fill, dash=dash)

    def circle(self, at: Point, radius: float, *, ink: str = "ink", width: float = 1.0, fill: str = "none") -> None:
        """Draw a circle."""
        x, y, r = _n(at[0] - radius), _n(at[1]), _n(radius)
        across = _n(2.0 * radius)
        self.path(f"M{x} {y} a{r} {r} 0 1 0 {across} 0 a{r} {r} 0 1 0 -{across} 0 Z", ink=ink, width=width, fill=fill)

    def svg(self, height: float, *, title: str, about: str) -> str:
        """Return all of it as SVG text."""
        size = f'width="{_n(self.width)}" height="{_n(height)}" viewBox="0 0 {_n(self.width)} {_n(height)}"'
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="pipe-drawing" role="img" {size} font-family="sans-serif">'
        )
        texts = f"<title>{escape(cleaned(title))}</title><desc>{escape(cleaned(about))}</desc><style>{_RULES}</style>"
        ground = f'<rect width="100%" height="100%" class="f-paper" fill="{PAPER.paper}"/>'
        return "\n".join([head, texts, ground, *self.marks, "</svg>"]) + "\n"


def arrow(sheet: Sheet, at: Point, ahead: Point, *, size: float, both: bool = False) -> None:
    """Draw the direction of flow on a pipe; both ways where it may go either."""
    (x, y), (u, v) = at, ahead
    for sign in (1.0, -1.0) if both else (1.0,):
        shift = 0.6 * size if both else 0.5 * size
        tip = (x + sign * (shift + 0.5 * size) * u, y + sign * (shift + 0.5 * size) * v)
        back = (tip[0] - sign * 1.5 * size * u, tip[1] - sign * 1.5 * size * v)
        a, b = (back[0] - size * v, back[1] + size * u), (back[0] + size * v, back[1] - size * u)
        way = "M" + " L".join(f"{_n(p)} {_n(q)}" for p, q in (tip, a, b)) + " Z"
        sheet.path(way, ink="paper", width=1.5, fill="ink")


def coupler(sheet: Sheet, at: Point, ahead: Point, *, size: float = 5.0, ink: str = "ink") -> None:
    """Draw a quick coupler at the end of a drop: two halves that meet."""
    (x, y), (u, v) = at, ahead
    for mid, open_to in ((0.0, -1.0), (0.7, 1.0)):
        point = (x + (mid + 0.9) * size * u, y + (mid + 0.9) * size * v)
        wings = [
            (point[0] + open_to * size * u - side * size * v, point[1] + open_to * size * v + side * size * u)
            for side in (1.0, -1.0)
        ]
        sheet.line(wings[0], point, wings[1], ink=ink, width=1.8)


def receiver(sheet: Sheet, at: Point, *, half: Point = (22.0, 9.0)) -> None:
    """Draw an air receiver: a vessel with round ends, lying."""
    (x, y), (w, h) = at, half
    left, right, top = _n(x - w + h), _n(x + w - h), _n(y - h)
    r, bottom = _n(h), _n(y + h)
    way = f"M{left} {top} H{right} A{r} {r} 0 0 1 {right} {bottom} H{left} A{r} {r} 0 0 1 {left} {top} Z"
    sheet.path(way, width=2.2, fill="paper")


def drain(sheet: Sheet, at: Point, *, there: bool = True, size: float = 7.0) -> None:
    """Draw a water drain, a square on its corner with the water below; dashed where one is lacking."""
    (x, y), s = at, size
    dash, ink = ("", "ink") if there else ("2.5 2", "red")
    sheet.path(f"M{_n(x)} {_n(y - s)} L{_n(x + s)} {_n(y)} L{_n(x)} {_n(y + s)} L{_n(x - s)} {_n(y)} Z", ink=ink,
               width=1.5, fill="paper", dash=dash)  # fmt: skip
    sheet.line((x - 0.55 * s, y + 0.45 * s), (x + 0.55 * s, y + 0.45 * s), ink=ink, width=1.2, dash=dash)
    sheet.line((x, y + s), (x, y + 1.6 * s), ink=ink, width=1.5, dash=dash)


def balloon(sheet: Sheet, at: Point, number: int, *, radius: float, strong: bool = False, size: float = 11.0) -> None:
    """Draw a number in a circle; filled where it is the one to look at first."""
    sheet.circle(at, radius, width=1.4, ink="red" if strong else "ink", fill="red" if strong else "paper")
    ink = "paper" if strong else "ink"
    sheet.text(at[0], at[1] + 0.36 * size, str(number), size=size, anchor="middle", ink=ink, bold=strong)


def cased(sheet: Sheet, points: Sequence[Point], *, width: float) -> None:
    """Draw the two lines beside a pipe that mark the way to the tool worst off; the pipe goes over them."""
    sheet.line(*points, ink="red", width=width + 9.0)
    sheet.line(*points, ink="paper", width=width + 5.0)


def ahead_of(a: Point, b: Point) -> Point:
    """Return the direction from one point to another, of length 1."""
    far = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    return (b[0] - a[0]) / far, (b[1] - a[1]) / far


def pipe_width(bore: float) -> float:
    """Return how thick a pipe is drawn, by its bore [m]. [px]"""
    return min(1.2 + 150.0 * bore, 10.0)


def _n(value: float) -> str:
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


def _colour(ink: str) -> str:
    return str(getattr(PAPER, ink))


def _inks(palette: Palette) -> str:
    return "".join(f"--{name}:{getattr(palette, name)};" for name in INKS)


_RULES = (
    f".pipe-drawing{{{_inks(PAPER)}background:var(--paper)}}"
    f"@media (prefers-color-scheme:dark){{.pipe-drawing{{{_inks(BLUEPRINT)}}}}}"
    f"@media print{{.pipe-drawing{{{_inks(PAPER)}}}}}"
    "@supports (color:var(--ink)){"
    + "".join(f".pipe-drawing .s-{n}{{stroke:var(--{n})}}.pipe-drawing .f-{n}{{fill:var(--{n})}}" for n in INKS)
    + ".pipe-drawing .words{font-variant-numeric:tabular-nums}}"
)
"""Colours of both sheets; where custom properties are not known the colours of paper on each mark hold."""
