"""A power circuit drawn: from the supply down to the motor, each wire of its own, taps to the right."""

from __future__ import annotations

from dataclasses import dataclass, field

from airfettle.drawings.space import Box, Point, text_width
from airfettle.drawings.symbols import symbol_named
from airfettle.drawings.wiring.pen import ROUND, WORDS, Pen
from airfettle.drawings.wiring.power_places import BESIDE, POLE, places_of
from airfettle.drawings.wiring.power_sizes import MOST_WIRE, sizes_high, taken, write_earths, write_sizes, write_states
from airfettle.studies.wiring.circuit import Device, Net, Pin

HALF = 30.0
"""From a device's middle to its upper and lower terminals. [px]"""
LABEL = 156.0
"""Room of words to the left of a device. [px]"""
NAMES = 29.0
"""Room below and above a row for terminal marks and wire numbers. [px]"""
TRACK = 14.0
"""Between wires beside each other. [px]"""
SHIELD = 70.0
"""Room of a shield round wires, with what it is. [px]"""
SHIELDED = 114.0
"""From a motor's first wire to the right end of the shield round its wires. [px]"""
EARTHS = 150.0
"""Room at the right of the first column's earth wire, for its words. [px]"""
APART = 46.0
"""Between two columns. [px]"""


@dataclass
class Plan:
    """Where rows, columns and channels lie. [px]

    Attributes
    ----------
    left : list of float
        Origin of each column.
    lane : list of float
        Where each column's earth runs down.
    middle : list of float
        Middle of each row.
    channel : list of (float, float)
        Below each row: from where to where wires may run across.
    edge : float
        Right of everything, where wires that pass rows begin.
    foot : float
        Where the drawing ends.
    """

    left: list[float] = field(default_factory=list)
    lane: list[float] = field(default_factory=list)
    middle: list[float] = field(default_factory=list)
    channel: list[tuple[float, float]] = field(default_factory=list)
    edge: float = 0.0
    foot: float = 0.0


class PowerView:
    """A power circuit as it is laid out and drawn."""

    def __init__(self, pen: Pen, *, left: float, top: float) -> None:
        self.pen, self.places = pen, places_of(pen.circuit)
        self.shields = [device for device in pen.circuit.devices if device.symbol == "shield"]
        self.wires = [net for net in pen.circuit.nets if net.sort not in BESIDE]
        self.tracks = self._tracks()
        self.said = self._to_say()
        self.plan = self._plan(left, top)

    def draw(self) -> Box:
        """Draw it; return the room it took. [px]"""
        for device in self.pen.circuit.devices:
            if device.tag in self.places.row:
                self._device(device)
        for shield in self.shields:
            self._shield(shield)
        for net in self.wires:
            self._net(net)
        self._earths()
        self._sizes()
        return self.plan.left[0] - LABEL - 20.0, 0.0, self.plan.edge, self.plan.foot

    # Layout.

    def _channels(self, net: Net) -> list[int]:
        """Channels, by the row above each, that a net's terminals leave into."""
        places = self.places
        upright = [pin for pin in net.pins if places.side.get(pin) in ("up", "down")]
        return sorted({places.row[pin[0]] - (places.side[pin] == "up") for pin in upright})

    def _across(self, pin: Pin) -> tuple[int, float]:
        return self.places.column[pin[0]], self.places.offset[pin]

    def _straight(self, net: Net) -> bool:
        """Whether a net is one straight wire from a terminal to the one below it, beside devices between them."""
        places = self.places
        if len(net.pins) != 2 or any(places.side.get(pin) not in ("up", "down") for pin in net.pins):
            return False
        upper, lower = sorted(net.pins, key=lambda pin: places.row[pin[0]])
        sides = (places.side[upper], places.side[lower])
        if self._across(upper) != self._across(lower) or sides != ("down", "up"):
            return False
        column, offset = self._across(upper)
        between = [self.pen.circuit.device(tag) for tag, row in places.row.items()
                   if places.row[upper[0]] < row < places.row[lower[0]] and places.column[tag] == column]  # fmt: skip
        return all(self._extent(device)[1] + NAMES < offset for device in between)

    def _passes(self, net: Net) -> bool:
        """Whether a net goes round rows, by a lane at the right."""
        return len(self._channels(net)) > 1 and not self._straight(net)

    def _tracks(self) -> dict[tuple[str, int], int]:
        """(Net, channel) -> its place among the wires that run across there; those that come from above first."""
        found: dict[tuple[str, int], int] = {}
        for channel in range(-1, self.places.rows):
            nets = [net for net in self.wires if channel in self._channels(net) and not self._straight(net)]
            for place, net in enumerate(_ordered([(net.number, *self._drops(net, channel)) for net in nets])):
                found[(net, channel)] = place
        return found

    def _drops(self, net: Net, channel: int) -> tuple[set[tuple[int, float]], set[tuple[int, float]]]:
        """Where a net comes into a channel from above, and where it leaves it below."""
        above, below = set(), set()
        for pin in net.pins:
            side = self.places.side.get(pin)
            if side == "down" and self.places.row[pin[0]] == channel:
                above.add(self._across(pin))
            elif side == "up" and self.places.row[pin[0]] - 1 == channel:
                below.add(self._across(pin))
        return above, below

    def _plan(self, left: float, top: float) -> Plan:
        plan, circuit = Plan(), self.pen.circuit
        x = left
        for column in range(max(self.places.column.values(), default=0) + 1):
            tags = [tag for tag, at in self.places.column.items() if at == column]
            boxes = [self._extent(circuit.device(tag)) for tag in tags]
            plan.left.append(x + self._label(tags) + 14.0 - min(min(box[0] for box in boxes), 0.0))
            right = max(box[1] for box in boxes)
            right = max(right, SHIELDED) if self._shields_in(tags) else right
            plan.lane.append(plan.left[-1] + right + 12.0)
            x = plan.lane[-1] + APART
        y = self._plan_rows(plan, top + 16.0)
        if any(net.sort in BESIDE for net in circuit.nets):
            x = max(x, plan.lane[0] + EARTHS)
        plan.edge = x - APART + 16.0 + TRACK * sum(map(self._passes, self.wires))
        plan.foot = y - (2.0 * NAMES - 12.0 if plan.channel and self._ends_free() else 0.0)
        return plan

    def _plan_rows(self, plan: Plan, y: float) -> float:
        """Lay rows and the channels below them one below the other; return where they end. [px]"""
        for row in range(self.places.rows):
            tags = self.places.devices_at(row)
            up, down = self._reach(tags)
            devices = map(self.pen.circuit.device, tags)
            words = max((0.5 * self.pen.room_of(device, LABEL) for device in devices), default=0.0)
            up, down = max(up, words + 2.0), max(down, words + 2.0)
            plan.middle.append(y + up)
            y += up + down
            room = self._channel_room(row)
            plan.channel.append((y + NAMES, y + room - NAMES))
            y += room
        return y

    def _channel_room(self, row: int) -> float:
        """Height below a row: marks, wires across, a shield, and sizes of wires clear of all that. [px]"""
        count = sum(channel == row for _, channel in self.tracks)
        below = self.places.devices_at(row + 1)
        room = 2.0 * NAMES + TRACK * count + (SHIELD if self._shields_in(below) else 0.0)
        lacking = [0.0]
        for (column, channel), nets in self.said.items():
            if channel == row:
                shields = self._shields_in([tag for tag in below if self.places.column[tag] == column])
                high = sizes_high(self.pen, nets) + sum(self.pen.room_of(shield, LABEL) for shield in shields) + 10.0
                lacking.append(high - (NAMES if column and count else room))  # wires run across beside other columns
        return room + max(lacking)

    def _ends_free(self) -> bool:
        """Whether no wire runs below the last row."""
        last = self.places.rows - 1
        return not any(channel == last for _, channel in self.tracks)

    def _label(self, tags: list[str]) -> float:
        """Room that the words of a column take, with the numbers of remarks. [px]"""
        devices = [self.pen.circuit.device(tag) for tag in tags] + self._shields_in(tags)
        wide = [MOST_WIRE if any(self.pen.nets[pin].wire for pin in self.pen.nets if pin[0] in tags) else 0.0]
        for device in devices:
            lines = self.pen.lines(device, LABEL)
            wide += [text_width(text, WORDS, bold=bold) for text, bold in lines]
            numbers = len(self.pen.about.get(device.tag, ()))
            wide[-len(lines)] += numbers * (2.0 * ROUND + 4.0) + (6.0 if numbers else 0.0)
        return max(wide)

    def _motor_of(self, shield: Device) -> str:
        """Tag of the motor whose wires a shield lies round: that of its own number, as W11 of M11."""
        motors = [tag for tag in self.places.row if self.pen.circuit.device(tag).symbol.startswith("motor")]
        own = f"M{shield.tag.lstrip('W')}"
        return own if own in motors else motors[0]

    def _shields_in(self, tags: list[str]) -> list[Device]:
        """Shields round the wires of those motors."""
        return [shield for shield in self.shields if self._motor_of(shield) in tags]

    def _extent(self, device: Device) -> tuple[float, float]:
        """How far a device reaches to the left and right of its origin. [px]"""
        if device.symbol != "box":
            box = symbol_named(device.symbol).box
            return box[0], box[2]
        return -20.0, POLE * max(self._poles(device) - 1, 1) + 20.0

    def _poles(self, device: Device) -> int:
        sides = [self.places.side[(device.tag, name)] for name in device.terminals]
        return max(sides.count("up"), sides.count("down"))

    def _reach(self, tags: list[str]) -> tuple[float, float]:
        """How far the devices of a row reach above and below its middle. [px]"""
        boxes = [symbol_named(d.symbol).box for d in map(self.pen.circuit.device, tags) if d.symbol != "box"]
        return max([HALF, *(-box[1] for box in boxes)]), max([HALF, *(box[3] for box in boxes)])

    # Drawing.

    def _device(self, device: Device) -> None:
        x, y = self.plan.left[self.places.column[device.tag]], self.plan.middle[self.places.row[device.tag]]
        left, _ = self._extent(device)
        if device.symbol == "box":
            self._box(device, (x, y))
        else:
            self.pen.device(device, (x, y))
            for name in device.terminals:
                side = self.places.side[(device.tag, name)]
                if side != "right":
                    self.pen.mark(device, name, above=side == "up")
        self.pen.words(device, (x + left - 10.0, y), room=LABEL, to_left=True)

    def _box(self, device: Device, at: Point) -> None:
        pen, (x, y) = self.pen, at
        left, right = self._extent(device)
        box = (x + left, y - HALF, x + right, y + HALF)
        pen.rooms.append(box)
        with pen.sheet.group(tag=device.tag):
            pen.sheet.box(box, width=1.8, ink=pen.ink(device), dash="4 3" if device.state == "missing" else "")
            pen.framed(device, box)
            for name in device.terminals:
                pin = (device.tag, name)
                side = self.places.side[pin]
                place = (box[2], y) if side == "right" else (
                    x + self.places.offset[pin], box[1] if side == "up" else box[3])  # fmt: skip
                pen.at[pin] = place
                pen.sheet.circle(place, 2.2, width=1.2, fill="paper", data={"pin": name})
        for name in device.terminals:
            px, py = pen.at[(device.tag, name)]
            side = self.places.side[(device.tag, name)]
            if side == "right":
                pen.sheet.text(px - 6.0, py + 4.0, name, size=WORDS, anchor="end", bold=True)
            else:
                pen.sheet.text(px, py + (14.0 if side == "up" else -6.0), name, size=WORDS, anchor="middle", bold=True)

    def _shield(self, device: Device) -> None:
        """Lay a shield round the wires above its motor."""
        motor = self._motor_of(device)
        at = (self.plan.left[self.places.column[motor]], self.plan.channel[self.places.row[motor] - 1][1] - 10.0)
        self.pen.device(device, at)
        self.pen.words(device, (at[0] - 30.0, at[1]), room=LABEL - 10.0, to_left=True)

    def _net(self, net: Net) -> None:
        if self._straight(net):
            one, other = sorted((self.pen.at[pin] for pin in net.pins), key=lambda at: at[1])
            self.pen.wire(net, one, other)
            self.pen.number(net, (one[0], one[1] + 25.0))
            return
        channels = self._channels(net)
        lane = self._lane(net) if len(channels) > 1 else None
        for channel in channels:
            self._trunk(net, channel, lane)
        if lane is not None:
            heights = [self._level(net, channel) for channel in channels]
            self.pen.wire(net, (lane, heights[0]), (lane, heights[-1]))
            for height in heights[1:-1]:
                self.pen.dot(net, (lane, height))

    def _lane(self, net: Net) -> float:
        """Where a net that passes rows runs down, right of everything. [px]"""
        passing = [each.number for each in self.wires if self._passes(each)]
        return self.plan.edge - TRACK * (passing.index(net.number) + 1)

    def _level(self, net: Net, channel: int) -> float:
        top = self.plan.channel[channel][0] if channel >= 0 else self.plan.middle[0] - HALF - NAMES
        return top + TRACK * (self.tracks[(net.number, channel)] + 0.5)

    def _trunk(self, net: Net, channel: int, lane: float | None) -> None:
        """Draw a net in one channel: a wire across, and one to each of its terminals."""
        level = self._level(net, channel)
        pins = [pin for pin in net.pins if self.places.side.get(pin) in ("up", "down")
                and self.places.row[pin[0]] - (self.places.side[pin] == "up") == channel]  # fmt: skip
        ends = [self.pen.at[pin] for pin in pins]
        xs = sorted({at[0] for at in ends} | ({lane} if lane is not None else set()))
        self.pen.wire(net, (xs[0], level), (xs[-1], level))
        for at in ends:
            self.pen.wire(net, at, (at[0], level))
        for x in xs:
            meets = sum(at[0] == x for at in ends) + (1 if x in (xs[0], xs[-1]) else 2)
            meets -= 1 if len(xs) == 1 else 0
            if meets > 2:
                self.pen.dot(net, (x, level))
        from_above = [at for at in ends if at[1] < level]
        first = min(from_above or ends, key=lambda at: at[0])
        self.pen.number(net, (first[0], first[1] + 25.0) if from_above else (first[0], first[1] - 16.0))

    def _earths(self) -> None:
        """Draw earth and shields: from each terminal to the right, down a lane beside its column."""
        for place, net in enumerate(net for net in self.pen.circuit.nets if net.sort in BESIDE):
            lanes: dict[float, list[float]] = {}
            for pin in net.pins:
                at = self.pen.at[pin]
                lane = min(lane for lane in self.plan.lane if lane > at[0] - 1.0) + 5.0 * place
                lanes.setdefault(lane, []).append(at[1])
                self.pen.wire(net, at, (lane, at[1]))
            foot = self.plan.foot + TRACK * place
            several = len(lanes) > 1
            for lane, heights in lanes.items():
                low = foot if several else max(heights)
                self.pen.wire(net, (lane, min(heights)), (lane, low))
                inner = sorted(set(heights))[1:] if several else sorted(set(heights))[1:-1]
                for height in inner:
                    self.pen.dot(net, (lane, height))
            if several:
                xs = sorted(lanes)
                self.pen.wire(net, (xs[0], foot), (xs[-1], foot))
                for lane in xs[1:-1]:
                    self.pen.dot(net, (lane, foot))
            lane, heights = min(lanes.items())
            self.pen.number(net, (lane, min(heights) + 12.0))

    def _to_say(self) -> dict[tuple[int, int], list[Net]]:
        """(Column, channel) -> nets of which the size is written there, at their highest terminal."""
        said: dict[tuple[int, int], list[Net]] = {}
        for net in self.wires:
            pins = [pin for pin in net.pins if pin in self.places.side]
            highest = min(pins, key=lambda pin: (self.places.row[pin[0]], self.places.side[pin] == "down"))
            column = self.places.column[highest[0]]
            known = {each.wire for (at, _), several in said.items() if at == column for each in several}
            channel = self._channels(net)[0]
            if net.wire and net.wire not in known and channel >= 0:
                said.setdefault((column, channel), []).append(net)
        return said

    def _sizes(self) -> None:
        """Write size and kind of the wires beside the channel they run in, once each."""
        space = taken(self.pen, right=self.plan.edge)
        for (column, channel), several in self.said.items():
            top, bottom = self.plan.channel[channel]
            shielded = self._shields_in(self.places.devices_at(channel + 1))
            middle = top - NAMES + 20.0 if shielded else 0.5 * (top + bottom)
            pins = [pin for net in several for pin in net.pins if self.places.column.get(pin[0]) == column]
            left = self.plan.left[column]
            right = left + max(self.places.offset.get(pin, 0.0) for pin in pins) + NAMES
            write_sizes(self.pen, space, several, beside=(left - 20.0, right), middle=middle,
                        reach=(top - 2.0 * NAMES, bottom + NAMES))  # fmt: skip
        write_states(self.pen, space)
        write_earths(self.pen, space)


def _ordered(nets: list[tuple[str, set[tuple[int, float]], set[tuple[int, float]]]]) -> list[str]:
    """Numbers of nets in an order in which one that comes from above at a place lies over one that leaves there."""
    left, found = list(nets), []
    while left:
        for net in left:
            over = any(other is not net and other[1] & net[2] for other in left)
            if not over:
                break
        else:
            net = left[0]
        left.remove(net)
        found.append(net[0])
    return found
