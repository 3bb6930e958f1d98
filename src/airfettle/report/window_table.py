"""The speed window in the terminal: the answer, a rule with its ends, and every limit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich import box
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from airfettle.quantity import Units, plain, span_text
from airfettle.report.rating_table import KNOWN_WORDS
from airfettle.report.words import CAUTION
from airfettle.studies.draw import Draw
from airfettle.studies.limits.declared import Limit
from airfettle.studies.speed_window import End, LimitRange, SpeedWindow

FAR = "-"
"""Shown where a limit does not end the range looked at."""


def window_table(
    windows: Sequence[SpeedWindow], *, draw: Draw, width: int = 100, caution: bool = True
) -> RenderableType:
    """Return speed windows for a rich console of a width."""
    units = draw.plant.about.units
    parts: list[RenderableType] = []
    for window in windows:
        parts += [Text(window_headline(window, units=units), style="bold")]
        if not window.direct and window.lowest is not None:
            parts += ["", *_rule(window, width)]
        parts += [*_remarks(window), "", _limits(window, draw), *_unreached(window), ""]
    if caution:
        parts.append(Text(CAUTION, style="italic"))
    return Group(*parts)


def window_headline(window: SpeedWindow, *, units: Units) -> str:
    """Return the first thing said: between which hertz the plant may run, and what ends it."""
    name = f"{window.train}: " if window.train else ""
    if window.direct:
        broken = ", ".join(r.limit.label for r in window.nowhere)
        speed = _speed(window.lowest, units)
        fine = f"{name}Straight on the line at {window.looked[0]:g} Hz the pump turns {speed}"
        return f"{fine}: past {broken}." if broken else f"{fine}, within every limit."
    if window.lowest is None or window.highest is None:
        needs = _clash(window)
        return f"{name}No speed meets every limit at {window.certainty:.0%} certainty{needs}."
    low, high = window.lowest, window.highest
    return (
        f"{name}Run it between {_up(low.frequency)} Hz ({_speed(low, units)}; ends at {_binding(low)}) and "
        f"{_down(high.frequency)} Hz ({_speed(high, units)}; ends at {_binding(high)})."
    )


def _up(hertz: float) -> str:
    """A lowest frequency, rounded up to a tenth."""
    return f"{-(-hertz * 10 // 1) / 10:.1f}"


def _down(hertz: float) -> str:
    """A highest frequency, rounded down to a tenth."""
    return f"{hertz * 10 // 1 / 10:.1f}"


def _speed(end: End | None, units: Units) -> str:
    assert end is not None
    return plain(round(end.pump_speed.likely * 60.0) / 60.0, kind="rotational_speed", units=units)


def _binding(end: End) -> str:
    return "nothing as far as was looked" if end.binding is None else end.binding.label


def _clash(window: SpeedWindow) -> str:
    """Which two limits leave nothing between them."""
    floors = [r for r in window.ranges if r.lowest is not None and not r.nowhere]
    tops = [r for r in window.ranges if r.highest is not None and not r.nowhere]
    if not floors or not tops:
        return ""
    floor = max(floors, key=lambda r: r.lowest or 0.0)
    top = min(tops, key=lambda r: r.highest or 1e9)
    return f": {floor.limit.label} asks for {_up(floor.lowest or 0.0)} Hz and more, {top.limit.label} for {_down(top.highest or 0.0)} Hz and less"  # noqa: E501


def _rule(window: SpeedWindow, width: int) -> Iterator[RenderableType]:
    """A rule from the lowest to the highest frequency looked at, the window as a dimension line, settings as marks."""
    assert window.lowest is not None
    assert window.highest is not None
    low, high = window.looked
    length = max(30, min(width - 4, 96))

    def place(hertz: float) -> int:
        return round((hertz - low) / (high - low) * (length - 1))

    line = ["·"] * length
    a, b = place(window.lowest.frequency), place(window.highest.frequency)
    line[a : b + 1] = ["─"] * (b - a + 1)
    line[a], line[b] = "├", "┤"
    for hertz in window.used:
        line[place(hertz)] = "┼" if a <= place(hertz) <= b else "╳"
    yield Text("".join(line), style="bold")
    scale = [" "] * (length + 4)
    for tick in range(-(-int(low) // 10) * 10, int(high) + 1, 10):
        for i, letter in enumerate(str(tick)):
            scale[min(place(tick) + i, length + 3)] = letter
    yield Text("".join(scale).rstrip() + " Hz", style="dim")
    marks = ", ".join(f"{hertz:g}" for hertz in window.used)
    yield Text(f"┼ or ╳: set to {marks} Hz; ╳ lies outside.", style="dim")


def _remarks(window: SpeedWindow) -> Iterator[RenderableType]:
    """What speed does not cure, and settings outside the window."""
    if not window.direct:
        for r in window.nowhere:
            words = f"No speed cures this: {r.limit.label} holds in {r.holds_share:.0%} of the draw at best."
            yield Text(f"{words} {_sentence(r.limit.note)}".strip(), style="bold")
        outside = _outside(window)
        if outside:
            yield Text(f"Set outside the window: {outside}.", style="bold")
    if window.lowest is not None and window.highest is not None and window.lowest is not window.highest:
        shares = f"{window.lowest.together:.0%} and {window.highest.together:.0%}"
        yield Text(
            f"Each limit holds in {window.certainty:.1%} of the draw at the window's ends, at cut-in and cut-out; all "
            f"that speed can meet hold together in {shares} there."
        )


def _sentence(note: str) -> str:
    return f"{note[0].upper()}{note[1:]}." if note else ""


def _outside(window: SpeedWindow) -> str:
    if window.lowest is None or window.highest is None:
        return ""
    low, high = window.lowest.frequency, window.highest.frequency
    return ", ".join(f"{hertz:g} Hz" for hertz in window.used if not low - 0.05 <= hertz <= high + 0.05)


def _limits(window: SpeedWindow, draw: Draw) -> Table:
    """Every limit that applies with the frequencies between which it holds, tightest first."""
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 1, 0, 0), show_edge=False, header_style="bold")
    table.add_column("limit")
    if window.direct:
        table.add_column("holds in", justify="right")
        table.add_column("set by")
        for r in sorted(window.ranges, key=lambda r: r.holds_share):
            table.add_row(r.limit.label, f"{r.holds_share:.0%}", _set_by(window, r.limit, draw))
        return table
    table.add_column("from, Hz", justify="right")
    table.add_column("to, Hz", justify="right")
    table.add_column("")
    table.add_column("set by")
    for r in sorted(window.ranges, key=_tightness):
        if not _reached(r):
            continue
        if r.nowhere:
            table.add_row(
                r.limit.label, "", "", f"holds in {r.holds_share:.0%} at best", _set_by(window, r.limit, draw)
            )
        else:
            lowest, highest = (
                (FAR if r.lowest is None else _up(r.lowest)),
                (FAR if r.highest is None else _down(r.highest)),
            )
            table.add_row(r.limit.label, lowest, highest, _ends(window, r.limit), _set_by(window, r.limit, draw))
    return table


def _reached(r: LimitRange) -> bool:
    """Whether a limit ends anywhere among the frequencies looked at."""
    return r.nowhere or r.lowest is not None or r.highest is not None


def _unreached(window: SpeedWindow) -> Iterator[RenderableType]:
    names = [r.limit.label for r in window.ranges if not _reached(r)]
    if names and not window.direct:
        low, high = window.looked
        yield Text(f"Kept from {low:.0f} to {high:.0f} Hz: {', '.join(names)}.", style="dim")


def _tightness(r: LimitRange) -> tuple[int, float]:
    if r.nowhere:
        return (0, 0.0)
    return (1, min((r.highest or 1e9), 1e4 / r.lowest if r.lowest else 1e9))


def _ends(window: SpeedWindow, limit: Limit) -> str:
    low, high = window.lowest, window.highest
    ends = [word for end, word in ((low, "lowest"), (high, "highest")) if end is not None and end.binding is limit]
    return f"sets the {' and '.join(ends)}" if ends else ""


def _set_by(window: SpeedWindow, limit: Limit, draw: Draw) -> str:
    """What the limit's own entry reads, and how it is known; empty where the program sets it."""
    for entry in limit.entries:
        for path in (entry, f"train.{window.train}.{entry}"):
            span = draw.spans.get(path)
            if span is not None:
                return f"{span_text(span, units=draw.plant.about.units)}, {KNOWN_WORDS[span.known]}"
    return ""
