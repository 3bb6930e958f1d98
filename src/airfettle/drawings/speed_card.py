"""The card by the knob: a steel rule with hertz on one edge and pump rpm on the other, and what each mark gives."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from airfettle.drawings.charts.style import apart
from airfettle.drawings.sheet import Sheet
from airfettle.drawings.space import cut, folded, text_width
from airfettle.quantity import Units, in_unit, shown_unit, toleranced
from airfettle.studies.bands import Band
from airfettle.studies.limits.declared import Limit
from airfettle.studies.speed_card import MOSTLY, CardPoint, SpeedCard

WIDTH, HEIGHT = 900.0, 600.0
"""Of a card of 150 by 100 mm, at 6 px for a millimetre. [px]"""
EDGE, LEFT, RIGHT, PAST = 16.0, 140.0, 856.0, 22.0
"""Free edge, first and last mark of the rule, and how far the rule goes past them. [px]"""
HUGE, LARGE, MIDDLE, SMALL = 32.0, 24.0, 18.0, 15.0
"""Sizes of type: 5.3, 4, 3 and 2.5 mm. [px]"""
RULE_TOP, RULE_FOOT = 208.0, 276.0
"""Edges of the steel rule. [px]"""
HATCH = 10.0
"""Height of the hatching over what lies outside the window. [px]"""
TABLE_TOP, ROW = 308.0, 44.0
"""Head of the table, and one row. [px]"""
FOOT_TOP = 538.0
"""Line over caution and title block. [px]"""
COLUMN = 60.0
"""Least from one column to the next. [px]"""
CAUTION = (
    "It starts without warning: lock it off before a hand goes in. These numbers belong to this pump, motor and belt "
    "alone, and only compute."
)
"""Said on every card."""
ROWS = (
    ("delivered_air", "air", "intake_flow"), ("motor_current", "motor", "current"),
    ("supply_current", "supply", "current"), ("sound_level", "sound, 1 m", "sound_level"),
)  # fmt: skip
"""Rows of the table: answer, label, kind."""


@dataclass(frozen=True)
class CardHead:
    """What the card tells of its plant besides numbers.

    Attributes
    ----------
    plant, date, revision : str
        Its name, and those of its file where they are told.
    units : str
        US or SI.
    stopped : str
        Why it must not run as it is; empty where nothing is in the way. It is said first, in place of the speeds.
    """

    plant: str
    units: Units
    date: str = ""
    revision: str = ""
    stopped: str = ""


def speed_card(card: SpeedCard, head: CardHead, *, width: float = WIDTH) -> tuple[str, float, float]:
    """Return the card of a train as SVG, with its width and height [px].

    Parameters
    ----------
    card : SpeedCard
        Its numbers. [SI]
    head : CardHead
        The plant it belongs to.
    width : float
        The height goes with it. [px]
    """
    sheet = Sheet(WIDTH)
    sheet.box((4.0, 4.0, WIDTH - 4.0, HEIGHT - 4.0), width=2.5)
    _headline(sheet, card, head)
    if card.direct:
        _one_speed(sheet, card, head)
    else:
        _rule(sheet, card)
        _table(sheet, card, head.units)
    _limits(sheet, card)
    _foot(sheet, card, head)
    title = f"Speed card of {head.plant}{f', {card.train}' if card.train else ''}"
    svg = sheet.svg(
        HEIGHT, title=title, about=f"Do not run it yet. {head.stopped}" if head.stopped else answer(card, head.units)
    )
    high = HEIGHT * width / WIDTH
    return _resized(svg, width, high), width, high


def _resized(svg: str, width: float, height: float) -> str:
    old = f'width="{WIDTH:g}" height="{HEIGHT:g}"'
    return svg if width == WIDTH else svg.replace(old, f'width="{width:g}" height="{height:g}"', 1)


def answer(card: SpeedCard, units: Units) -> str:
    """Return what the card says first."""
    if card.direct:
        point = card.points[0]
        return f"One speed: {point.frequency:g} Hz, pump {_whole(point.pump_speed.likely)} rpm"
    if card.lowest is None or card.highest is None:
        return "No safe speed: settle the limits first"
    if card.nowhere:
        many = "one limit" if len(card.nowhere) == 1 else f"{len(card.nowhere)} limits"
        return f"Settle {many} first; then {_low(card)} to {_high(card)} Hz"
    return f"Run it between {_low(card)} and {_high(card)} Hz"


def _low(card: SpeedCard) -> str:
    """The window's lower end, in parentheses where it rests on what nobody told."""
    return f"({card.lowest:g})" if card.low_assumed else f"{card.lowest:g}"


def _high(card: SpeedCard) -> str:
    return f"({card.highest:g})" if card.high_assumed else f"{card.highest:g}"


def _headline(sheet: Sheet, card: SpeedCard, head: CardHead) -> None:
    words = "Do not run it yet" if head.stopped else answer(card, head.units)
    sheet.text(EDGE + 8.0, 46.0, words, size=HUGE, bold=True)
    plant = f"{head.plant}: {card.train}" if card.train else head.plant
    room = WIDTH - 2.0 * EDGE - 16.0
    unit = shown_unit("pressure", head.units)
    gauge = in_unit(card.gauge, kind="pressure", unit=unit)
    at = f"; numbers at {gauge:.{0 if head.units == 'US' else 1}f} {unit}"
    sheet.text(EDGE + 8.0, 71.0, cut(plant, room - text_width(at, MIDDLE), MIDDLE) + at, size=MIDDLE, ink="pale")
    if head.stopped:
        sheet.text(
            EDGE + 8.0, 94.0, _at_most(f"DANGER: {head.stopped}", room, 16.0, 1)[0], size=16.0, ink="red", bold=True
        )
    elif card.nowhere and not card.direct:
        past = f"No speed cures this: {', '.join(r.limit.label for r in card.nowhere)}."
        sheet.text(EDGE + 8.0, 94.0, _at_most(past, room, 16.0, 1)[0], size=16.0, ink="red", bold=True)


# The rule.


@dataclass(frozen=True)
class _Scale:
    low: float
    high: float

    def at(self, hertz: float) -> float:
        """Return where a frequency stands. [px]"""
        share = (hertz - self.low) / (self.high - self.low)
        return LEFT + share * (RIGHT - LEFT)


def _scale(card: SpeedCard) -> _Scale:
    """Return a scale that goes a little past every mark, from one round number to another. [Hz]"""
    hertz = [p.frequency for p in card.points]
    low, high = min(hertz), max(hertz)
    step = 5.0 if high - low > 10.0 else 1.0
    past = 0.04 * max(high - low, step)
    return _Scale(max(floor((low - past) / step) * step, 0.0), ceil((high + past) / step) * step)


def _rule(sheet: Sheet, card: SpeedCard) -> None:
    scale = _scale(card)
    sheet.box((LEFT - PAST, RULE_TOP, RIGHT + PAST, RULE_FOOT), width=2.0)
    _outside(sheet, card, scale)
    span = scale.high - scale.low
    fine = 1.0 if span <= 80.0 else 5.0
    label = 5.0 if 10.0 < span <= 60.0 else 10.0 if span > 60.0 else 1.0
    for count in range(round(span / fine) + 1):
        hertz = scale.low + count * fine
        x = scale.at(hertz)
        numbered = abs(hertz / label - round(hertz / label)) < 1e-9
        tall = 18.0 if numbered else 9.0
        sheet.line((x, RULE_TOP), (x, RULE_TOP + tall), width=1.6 if numbered else 1.0)
        if numbered:
            sheet.text(x, RULE_TOP + 37.0, f"{hertz:g}", size=MIDDLE, anchor="middle", bold=True)
    sheet.text(LEFT - PAST - 8.0, RULE_TOP + 37.0, "Hz", size=MIDDLE, anchor="end", bold=True)
    _turns(sheet, card, scale)
    _window(sheet, card, scale)
    _flags(sheet, card, scale)


def _outside(sheet: Sheet, card: SpeedCard, scale: _Scale) -> None:
    """Hatch what lies outside the window along the rule's middle edge, where no numbers stand."""
    if card.lowest is None or card.highest is None:
        return
    for start, end in ((scale.low, card.lowest), (card.highest, scale.high)):
        left = LEFT - PAST if start == scale.low else scale.at(start)
        right = RIGHT + PAST if end == scale.high else scale.at(end)
        x = left
        while x < right - 1.0:
            reach = min(HATCH, right - x)
            sheet.line((x, RULE_TOP), (x + reach, RULE_TOP - reach), width=1.4)
            x += 5.0
        sheet.line((left, RULE_TOP - HATCH), (right, RULE_TOP - HATCH), width=1.0)


def _turns(sheet: Sheet, card: SpeedCard, scale: _Scale) -> None:
    """Pump rpm along the lower edge, by the likely speed at each mark that the motor holds."""
    marks = sorted((p.frequency, 60.0 * p.pump_speed.likely) for p in card.points if p.runs_share >= MOSTLY)
    if not marks:
        return
    hertz, rpm = [m[0] for m in marks], [m[1] for m in marks]
    low, high = (_along(edge, hertz, rpm) for edge in (scale.low, scale.high))
    step = next((s for s in (10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 500.0) if (high - low) / s <= 9.0), 1000.0)
    for count in range(ceil(low / step), floor(high / step) + 1):
        at = _along(count * step, rpm, hertz)
        x = scale.at(at)
        if LEFT - 1.0 <= x <= RIGHT + 1.0:
            sheet.line((x, RULE_FOOT), (x, RULE_FOOT - 8.0), width=1.4)
            sheet.text(x, RULE_FOOT - 12.0, f"{count * step:.0f}", size=SMALL, anchor="middle")
    sheet.text(LEFT - PAST - 8.0, RULE_FOOT - 8.0, "pump rpm", size=SMALL, anchor="end")


def _along(at: float, places: list[float], values: list[float]) -> float:
    """Value on the line through points, carried on straight past both ends; in proportion through a single one."""
    if len(places) == 1 or places[-1] - places[0] < 1e-9:
        return values[0] * at / places[0]
    upper = next((i for i, place in enumerate(places) if place >= at), len(places) - 1)
    i = min(max(upper, 1), len(places) - 1)
    share = (at - places[i - 1]) / (places[i] - places[i - 1])
    return values[i - 1] + share * (values[i] - values[i - 1])


def _window(sheet: Sheet, card: SpeedCard, scale: _Scale) -> None:
    """The safe window as a dimension line over the rule, and what lies on either side of it."""
    if card.lowest is None or card.highest is None:
        sheet.text(LEFT, 122.0, "no safe window: the limits under the table clash", size=MIDDLE, bold=True)
        return
    a, b, y = scale.at(card.lowest), scale.at(card.highest), 116.0
    for x in (a, b):
        sheet.line((x, y - 10.0), (x, RULE_TOP), width=1.2)
    words = f"{'then' if card.nowhere else 'safe'} {_low(card)} – {_high(card)} Hz"
    wide = text_width(words, MIDDLE, bold=True)
    if b - a > wide + 60.0:
        middle = 0.5 * (a + b)
        sheet.text(middle, y + 6.0, words, size=MIDDLE, anchor="middle", bold=True)
        sheet.line((a, y), (middle - 0.5 * wide - 8.0, y), width=1.4)
        sheet.line((middle + 0.5 * wide + 8.0, y), (b, y), width=1.4)
    else:
        sheet.line((a, y), (b, y), width=1.4)
        right = b + 14.0 + wide < WIDTH - EDGE
        sheet.text(b + 14.0 if right else a - 14.0, y + 6.0, words, size=MIDDLE, anchor="start" if right else "end",
                   bold=True)  # fmt: skip
    if b - a > 30.0:
        _beside(sheet, "too slow", a - 10.0, "end", EDGE)
        if b - a > wide + 60.0:
            _beside(sheet, "too fast", b + 10.0, "start", WIDTH - EDGE)
        for x, way in ((a, 1.0), (b, -1.0)):
            sheet.path(f"M{x:.1f} {y} L{x + 13 * way:.1f} {y - 4.5} V{y + 4.5} Z", fill="ink", width=0.5)


def _beside(sheet: Sheet, words: str, x: float, anchor: str, edge: float) -> None:
    """Write words beside the dimension line where there is room up to an edge."""
    if abs(edge - x) > text_width(words, SMALL) + 4.0:
        sheet.text(x, 121.0, words, size=SMALL, anchor=anchor, ink="pale")


def _flags(sheet: Sheet, card: SpeedCard, scale: _Scale) -> None:
    """Speeds by name on flags over the rule, moved apart, each with a leader to its mark."""
    if not card.speeds:
        return
    size = LARGE if len(card.speeds) < 3 else MIDDLE + 2.0
    words = [f"{s.name} {s.frequency:g}" for s in card.speeds]
    widths = [text_width(word, size, bold=True) + 20.0 for word in words]
    widest = max(widths)
    places = apart([scale.at(s.frequency) for s in card.speeds], least=widest + 6.0,
                   top=EDGE + 0.5 * widest + 6.0, bottom=WIDTH - EDGE - 0.5 * widest - 6.0)  # fmt: skip
    for speed, word, wide, x in zip(card.speeds, words, widths, places, strict=True):
        at = scale.at(speed.frequency)
        sheet.box((x - 0.5 * wide, 140.0, x + 0.5 * wide, 172.0), width=1.8, fill="paper")
        sheet.text(x, 164.0, word, size=size, anchor="middle", bold=True)
        sheet.line((x, 172.0), (at, RULE_TOP - 12.0), width=1.4)
        sheet.path(f"M{at - 8:.1f} {RULE_TOP - 14} H{at + 8:.1f} L{at:.1f} {RULE_TOP} Z", fill="ink", width=0.5)


# The table.


def _table(sheet: Sheet, card: SpeedCard, units: Units) -> None:
    scale = _scale(card)
    marks = [scale.at(p.frequency) for p in card.points]
    places = apart(marks, least=COLUMN + 2.0, top=LEFT + 4.0, bottom=RIGHT - 6.0)
    for point, mark, x in zip(card.points, marks, places, strict=True):
        sheet.line((mark, RULE_FOOT), (mark, RULE_FOOT + 4.0), (x, TABLE_TOP - 16.0), width=1.0, ink="pale")
        named = bool(point.names)
        sheet.text(x, TABLE_TOP, f"{point.frequency:g}", size=MIDDLE, anchor="middle", bold=named)
    sheet.text(EDGE + 8.0, TABLE_TOP, "Hz", size=MIDDLE)
    sheet.line((EDGE, TABLE_TOP + 8.0), (WIDTH - EDGE, TABLE_TOP + 8.0), width=1.6)
    for n, (name, label, kind) in enumerate(ROWS):
        top = TABLE_TOP + 8.0 + n * ROW
        sheet.text(EDGE + 8.0, top + 22.0, label, size=MIDDLE)
        sheet.text(EDGE + 8.0, top + 39.0, shown_unit(kind, units), size=SMALL, ink="pale")
        for point, x in zip(card.points, places, strict=True):
            _cell(sheet, point, name, kind, units, x, top)
        sheet.line((EDGE, top + ROW), (WIDTH - EDGE, top + ROW), ink="rule", width=1.0)


def _cell(sheet: Sheet, point: CardPoint, name: str, kind: str, units: Units, x: float, top: float) -> None:
    if point.runs_share < MOSTLY:
        sheet.text(x, top + 24.0, "stalls", size=SMALL, anchor="middle", ink="red", bold=True)
        return
    value, spread = number_and_spread(getattr(point, name), kind=kind, units=units)
    if text_width(spread, 13.0) > COLUMN:
        spread = larger_side(spread)
    sheet.text(x, top + 23.0, value, size=LARGE - 2.0 if len(value) < 5 else MIDDLE, anchor="middle",
               bold=bool(point.names))  # fmt: skip
    sheet.text(x, top + 40.0, spread, size=13.0, anchor="middle", ink="pale")


def number_and_spread(band: Band, *, kind: str, units: Units) -> tuple[str, str]:
    """Return a likely number without its unit, and how far it may lie off, apart."""
    text = toleranced(band.low, band.likely, band.high, kind=kind, units=units)
    text = text.removesuffix(shown_unit(kind, units)).strip()
    value, _, spread = text.partition(" ")
    return value, spread


def larger_side(spread: str) -> str:
    """Return ``±1.3`` for ``+1.1/-1.3``: the larger of both sides, where both have no room."""
    sides = spread.removeprefix("+").split("/-")
    return f"±{max(sides, key=float)}" if len(sides) == 2 else spread


def _one_speed(sheet: Sheet, card: SpeedCard, head: CardHead) -> None:
    """A motor on the line: four numbers, large."""
    point, units = card.points[0], head.units
    sheet.text(EDGE + 8.0, 116.0, "Straight on the line: no knob changes its speed.", size=MIDDLE)
    wide = (WIDTH - 2.0 * EDGE) / 4.0
    for n, (name, label, kind) in enumerate(ROWS):
        left = EDGE + n * wide + 8.0
        value, spread = number_and_spread(getattr(point, name), kind=kind, units=units)
        if point.runs_share < MOSTLY:
            value, spread = "stalls", ""
        size = 64.0 if text_width(value, 64.0, bold=True) < wide - 16.0 else HUGE
        sheet.text(left, 196.0, label, size=LARGE - 4.0, ink="pale")
        sheet.text(left, 266.0, value, size=size, bold=True)
        sheet.text(left, 302.0, f"{spread} {shown_unit(kind, units)}".strip(), size=LARGE - 4.0)
        if n:
            sheet.line((left - 8.0, 176.0), (left - 8.0, 316.0), ink="rule")
    speed = toleranced(point.pump_speed.low, point.pump_speed.likely, point.pump_speed.high, kind="rotational_speed",
                       units=units)  # fmt: skip
    sheet.text(EDGE + 8.0, 376.0, f"Pump {speed}, motor on {point.frequency:g} Hz.", size=LARGE, bold=True)
    for n, line in enumerate(_at_most(limit_words(card)[0], WIDTH - 2.0 * EDGE - 16.0, LARGE, 3)):
        sheet.text(EDGE + 8.0, 424.0 + n * 30.0, line, size=LARGE, bold=True, ink="red" if card.nowhere else "ink")


# Limits and foot.


def _limits(sheet: Sheet, card: SpeedCard) -> None:
    """What ends the window on either side, in two columns."""
    if card.direct:
        return
    y = TABLE_TOP + 8.0 + len(ROWS) * ROW + 19.0
    half = 0.5 * (WIDTH - 2.0 * EDGE) - 20.0
    for left, words in zip((EDGE + 8.0, EDGE + 28.0 + half), limit_words(card), strict=False):
        for n, line in enumerate(_at_most(words, half, SMALL, 2)):
            sheet.text(left, y + n * 18.0, line, size=SMALL, bold=n == 0)


def limit_words(card: SpeedCard) -> tuple[str, ...]:
    """Return what is said of the window's two ends, or of a motor on the line."""
    if card.direct:
        past = ", ".join(r.limit.label for r in card.nowhere)
        return (f"Past its limit: {past}." if past else "Within every limit.",)
    if card.lowest is None or card.highest is None:
        clash = (*card.beyond_low[:1], *card.beyond_high[:1])
        asks = [f"{r.limit.label} asks for {_asks(r.lowest, r.highest)}" for r in clash]
        return tuple(f"{a[0].upper()}{a[1:]}." for a in asks) or ("No limit can be met.",)
    return (_end(f"Below {card.lowest:g} Hz", card.low_end, assumed=card.low_assumed),
            _end(f"Above {card.highest:g} Hz", card.high_end, assumed=card.high_assumed))  # fmt: skip


def _asks(lowest: float | None, highest: float | None) -> str:
    if lowest is not None:
        return f"{ceil(lowest * 10.0 - 1e-6) / 10.0:g} Hz and more"
    return f"{floor((highest or 0.0) * 10.0 + 1e-6) / 10.0:g} Hz and less"


def _end(where: str, limit: Limit | None, *, assumed: bool) -> str:
    if limit is None:
        return f"{where}: not looked at, not set."
    return f"{where}: {limit.label}{' (assumed)' if assumed else ''}."


def _at_most(words: str, width: float, size: float, lines: int) -> list[str]:
    """Words as a few lines at most, bold widths counted, the last cut."""
    found = folded(words, width, size, bold=True)
    return found if len(found) <= lines else [*found[: lines - 1], cut(" ".join(found[lines - 1 :]), width, size)]


def _foot(sheet: Sheet, card: SpeedCard, head: CardHead) -> None:
    """Caution and title block."""
    top = FOOT_TOP
    sheet.line((EDGE, top), (WIDTH - EDGE, top), width=1.6)
    sheet.box((EDGE + 8.0, top + 10.0, EDGE + 124.0, top + 38.0), width=2.0)
    sheet.text(EDGE + 66.0, top + 30.0, "WARNING", size=MIDDLE, anchor="middle", bold=True)
    note = CAUTION
    if card.warnings:
        note = f"{card.warnings[0]}. {CAUTION}"
    room = 0.66 * WIDTH - EDGE - 140.0
    for n, line in enumerate(_at_most(note, room, 13.5, 3)):
        sheet.text(EDGE + 136.0, top + 18.0 + n * 16.5, line, size=13.5)
    left = 0.66 * WIDTH + 10.0
    sheet.line((left - 8.0, top), (left - 8.0, HEIGHT - 4.0), width=1.6)
    block = WIDTH - EDGE - left
    for n, (label, text) in enumerate(_block(card, head)):
        y = top + 18.0 + n * 17.0
        sheet.text(left, y, label, size=13.5, ink="pale")
        sheet.text(left + 66.0, y, cut(text, block - 66.0, 13.5), size=13.5)


def _block(card: SpeedCard, head: CardHead) -> tuple[tuple[str, str], ...]:
    dated = ", ".join(text for text in (head.date, f"rev {head.revision}" if head.revision else "") if text)
    return (("plant", head.plant), ("shows", f"speed card{f', {card.train}' if card.train else ''}"),
            ("file of", dated or "no date told"))  # fmt: skip


def _whole(speed: float) -> str:
    return f"{60.0 * speed:.0f}"
