"""The sheet that drawings are made on: paper and blueprint, lines, text in the one typeface, symbols with terminals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from html import escape

from airfettle.drawings.charts.style import BLUEPRINT, PAPER, Palette
from airfettle.drawings.font import FAMILY, carried_faces
from airfettle.drawings.space import Box, Point, cleaned, text_box
from airfettle.drawings.symbols import Symbol, symbol_named

TEXT, SMALL, TITLE = 13.0, 12.0, 18.0
"""Sizes of type on a desk. [px]"""
INKS = ("paper", "ink", "pale", "rule", "red")
"""Inks of a sheet by name."""


class Sheet:
    """A drawing as it grows; later marks lie over earlier ones.

    Attributes
    ----------
    width : float
        [px]
    marks : list of str
        SVG elements, in the order they are drawn.
    boxes : list of Box
        Room of every text written, for finding free room and for tests. [px]
    """

    def __init__(self, width: float) -> None:
        self.width = width
        self.marks: list[str] = []
        self.boxes: list[Box] = []
        self._symbols: dict[str, Symbol] = {}

    def text(
        self, x: float, y: float, words: str, *, size: float = TEXT, ink: str = "ink", anchor: str = "start",
        bold: bool = False, upright: bool = False,
    ) -> Box:  # fmt: skip
        """Write one line; upright it reads from the right of the sheet. Return its room, [px]."""
        words = cleaned(words)
        more = ' font-weight="bold"' if bold else ""
        more += f' text-anchor="{anchor}"' if anchor != "start" else ""
        more += f' transform="rotate(-90 {shortest(x)} {shortest(y)})"' if upright else ""
        self.marks.append(
            f'<text x="{shortest(x)}" y="{shortest(y)}" font-size="{shortest(size)}" class="words f-{ink}" '
            f'fill="{_colour(ink)}"{more}>{escape(words)}</text>'
        )
        box = text_box(x, y, words, size, anchor=anchor, bold=bold)
        if upright:
            box = (x + box[1] - y, y - box[2] + x, x + box[3] - y, y - box[0] + x)
        self.boxes.append(box)
        return box

    def line(
        self, *points: Point, ink: str = "ink", width: float = 1.0, dash: str = "",
        data: Mapping[str, str] | None = None,
    ) -> None:  # fmt: skip
        """Draw a line through points."""
        way = "M" + " L".join(f"{shortest(x)} {shortest(y)}" for x, y in points)
        self.path(way, ink=ink, width=width, dash=dash, data=data)

    def path(
        self, way: str, *, ink: str = "ink", width: float = 1.0, dash: str = "", fill: str = "none",
        data: Mapping[str, str] | None = None,
    ) -> None:  # fmt: skip
        """Draw a path, outlined and perhaps filled; ``data`` names what it is, as in ``wire`` = "7"."""
        inside = ' fill="none"' if fill == "none" else f' fill="{_colour(fill)}"'
        names = f"s-{ink}" if fill == "none" else f"s-{ink} f-{fill}"
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.marks.append(
            f'<path d="{way}" class="{names}"{inside} stroke="{_colour(ink)}" '
            f'stroke-width="{shortest(width)}"{dashes}{_data(data)}/>'
        )

    def box(self, box: Box, *, ink: str = "ink", width: float = 1.0, fill: str = "none", dash: str = "") -> None:
        """Draw a rectangle."""
        a, b, c, d = (shortest(v) for v in box)
        self.path(f"M{a} {b} H{c} V{d} H{a} Z", ink=ink, width=width, fill=fill, dash=dash)

    def circle(
        self, at: Point, radius: float, *, ink: str = "ink", width: float = 1.0, fill: str = "none",
        data: Mapping[str, str] | None = None,
    ) -> None:  # fmt: skip
        """Draw a circle."""
        x, y, r = shortest(at[0] - radius), shortest(at[1]), shortest(radius)
        across = shortest(2.0 * radius)
        way = f"M{x} {y} a{r} {r} 0 1 0 {across} 0 a{r} {r} 0 1 0 -{across} 0 Z"
        self.path(way, ink=ink, width=width, fill=fill, data=data)

    def symbol(
        self, name: str, at: Point, *, ink: str = "ink", missing: bool = False, data: Mapping[str, str] | None = None
    ) -> dict[str, Point]:  # fmt: skip
        """Place a symbol with its origin at a point, dashed where the part is missing; return where its terminals are.

        Raises
        ------
        KeyError
            There is no such symbol.
        """
        drawn = symbol_named(name)
        name = f"{name}-missing" if missing else name
        self._symbols[name] = drawn
        self.marks.append(
            f'<use href="#sym-{name}" x="{shortest(at[0])}" y="{shortest(at[1])}" class="c-{ink}" '
            f'color="{_colour(ink)}"{_data({"symbol": drawn.name} | dict(data or {}))}/>'
        )
        return {key: (at[0] + x, at[1] + y) for key, (x, y) in drawn.terminals.items()}

    @contextmanager
    def group(self, **data: str) -> Iterator[None]:
        """Put what is drawn meanwhile into one group that says what it is, as in ``part`` = "pump"."""
        self.marks.append(f"<g{_data(data)}>")
        yield
        self.marks.append("</g>")

    def svg(self, height: float, *, title: str, about: str, carry_font: bool = False) -> str:
        """Return all of it as SVG text; with its own letters in it, where it is to be opened anywhere else."""
        size = f'width="{shortest(self.width)}" height="{shortest(height)}" '
        size += f'viewBox="0 0 {shortest(self.width)} {shortest(height)}"'
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="shop-drawing" role="img" {size} '
            f'font-family="{FAMILY}" font-stretch="condensed">'
        )
        rules = (carried_faces() if carry_font else "") + _RULES
        texts = f"<title>{escape(cleaned(title))}</title><desc>{escape(cleaned(about))}</desc><style>{rules}</style>"
        ground = f'<rect width="100%" height="100%" class="f-paper" fill="{PAPER.paper}"/>'
        shapes = "".join(
            f'<g id="sym-{name}">{drawn.svg(missing=name.endswith("-missing"))}</g>'
            for name, drawn in sorted(self._symbols.items())
        )
        defined = [f"<defs>{shapes}</defs>"] if shapes else []
        return "\n".join([head, texts, *defined, ground, *self.marks, "</svg>"]) + "\n"


def shortest(value: float) -> str:
    """Return a coordinate to a tenth, without a zero behind the point."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


def _data(data: Mapping[str, str] | None) -> str:
    return "".join(f' data-{key}="{escape(cleaned(value))}"' for key, value in (data or {}).items())


def _colour(ink: str) -> str:
    return str(getattr(PAPER, ink))


def _inks(palette: Palette) -> str:
    return "".join(f"--{name}:{getattr(palette, name)};" for name in INKS)


_RULES = (
    f".shop-drawing{{{_inks(PAPER)}background:var(--paper)}}"
    f"@media (prefers-color-scheme:dark){{.shop-drawing{{{_inks(BLUEPRINT)}}}}}"
    f"@media print{{.shop-drawing{{{_inks(PAPER)}}}}}"
    "@supports (color:var(--ink)){"
    + "".join(
        f".shop-drawing .s-{n}{{stroke:var(--{n})}}.shop-drawing .f-{n}{{fill:var(--{n})}}"
        f".shop-drawing .c-{n}{{color:var(--{n})}}"
        for n in INKS
    )
    + ".shop-drawing .words{font-variant-numeric:tabular-nums}}"
)
"""Colours of both sheets; where custom properties are not known the colours of paper on each mark hold."""
