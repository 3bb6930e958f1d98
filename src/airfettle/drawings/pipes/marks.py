"""Marks of the shop's pipe: arrows, receivers, drains, couplers and numbers."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from airfettle.drawings.sheet import Sheet, shortest
from airfettle.drawings.space import Point


def arrow(sheet: Sheet, at: Point, ahead: Point, *, size: float, both: bool = False) -> None:
    """Draw the direction of flow on a pipe; both ways where it may go either."""
    (x, y), (u, v) = at, ahead
    for sign in (1.0, -1.0) if both else (1.0,):
        shift = 0.6 * size if both else 0.5 * size
        tip = (x + sign * (shift + 0.5 * size) * u, y + sign * (shift + 0.5 * size) * v)
        back = (tip[0] - sign * 1.5 * size * u, tip[1] - sign * 1.5 * size * v)
        a, b = (back[0] - size * v, back[1] + size * u), (back[0] + size * v, back[1] - size * u)
        way = "M" + " L".join(f"{shortest(p)} {shortest(q)}" for p, q in (tip, a, b)) + " Z"
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
    left, right, top = shortest(x - w + h), shortest(x + w - h), shortest(y - h)
    r, bottom = shortest(h), shortest(y + h)
    way = f"M{left} {top} H{right} A{r} {r} 0 0 1 {right} {bottom} H{left} A{r} {r} 0 0 1 {left} {top} Z"
    sheet.path(way, width=2.2, fill="paper")


def drain(sheet: Sheet, at: Point, *, there: bool = True, size: float = 7.0) -> None:
    """Draw a water drain, a square on its corner with the water below; dashed where one is lacking."""
    (x, y), s = at, size
    dash, ink = ("", "ink") if there else ("2.5 2", "red")
    corners = ((x, y - s), (x + s, y), (x, y + s), (x - s, y))
    way = "M" + " L".join(f"{shortest(a)} {shortest(b)}" for a, b in corners) + " Z"
    sheet.path(way, ink=ink, width=1.5, fill="paper", dash=dash)
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
