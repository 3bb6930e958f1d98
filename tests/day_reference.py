"""A second way through a day: the equations of decision 15 by an eighth-order method, restarted at every event.

Physics comes from ``studies.instant`` on a dense grid of its own; neither the kernel's fits nor its control are used.
For one train, and no dryer before the receiver. Settings, slow numbers and the script are the kernel's, for they say
which day is run.

The integral of the speed control runs on while the frequency is clamped, as far as half the range of frequencies, and
is held there. Decision 15 says it is held while the frequency is clamped; taken by the letter that has no solution
where the pressure rises at an edge of the clamp: free it would clamp at once, clamped it would come free at once.
"""

from dataclasses import dataclass, field, replace

import numpy as np
from scipy.integrate import DOP853
from scipy.optimize import brentq

from airfettle.air.constants import CP_DRY_AIR, R_DRY_AIR
from airfettle.air.moist import saturation_humidity_ratio
from airfettle.studies.day.machine import PRESSURE, STEPS
from airfettle.studies.instant.path import stream_before_receiver
from airfettle.studies.instant.state import Slow
from airfettle.studies.instant.whole import instant

KAPPA = CP_DRY_AIR / (CP_DRY_AIR - R_DRY_AIR)
COLD = 293.15
"""Temperature at which a choked flow is stated. [K]"""
PRESSURE_NODES, WALL_NODES, FREQUENCY_NODES = 40, 9, 17
"""Nodes over receiver pressure, warmth of the walls, and each side of where the flux weakens. [-]"""
LEAST_PRESSURE = 4.0e5
"""Lowest receiver pressure of the grid. [Pa]"""
SETTLED = 1e-12
"""Relative change between passes of the instant at which a node is settled. [-]"""
TOLERANCE, LONGEST = 1e-11, 30.0
"""Relative error of a step [-], and the longest step [s]."""
ON_IT = 1e-5
"""Pressures this near count as one; located crossings come nearer. [Pa]"""
OFF, FILLING, RUNNING, IDLING = "off", "filling", "running", "idling"
STATE = ("p", "m", "wall", "humidity", "liquid", "pump", "warmth", "crankcase", "winding", "integral", "energy",
         "between", "caught", "carried", "condensed", "air_in", "air_out", "heat_in", "heat_out")  # fmt: skip
ABSOLUTE = np.array([1e-5, 1e-11, 1e-8, 1e-10, 1e-9, 1e-8, 1e-10, 1e-7, 1e-7, 1e-9, 1e-2,
                     1e-9, 1e-9, 1e-9, 1e-9, 1e-9, 1e-9, 1e-4, 1e-4])  # fmt: skip
"""Error of a step that counts as none, in the order of STATE. [SI]"""
P, M, WALL, W, LIQUID, PUMP, WARMTH, CRANKCASE, WINDING, INTEGRAL, ENERGY = range(11)
OUTPUTS = ("log_flow", "cooler_outlet", "to_walls", "log_conductance", "power", "log_between", "log_limit", "drop",
           "caught_share", "winding")  # fmt: skip


class Grid:
    """Values at Chebyshev nodes of several axes, interpolated by the barycentric formula."""

    def __init__(self, ends, counts, values):
        self.values = values
        self.axes = [_axis(*pair, count) for pair, count in zip(ends, counts, strict=True)]
        self.ends = ends

    def __call__(self, *point):
        found = self.values
        for (nodes, weights), (low, high), at in zip(self.axes, self.ends, point, strict=True):
            away = min(max(at, low), high) - nodes  # a step may try states beyond an edge, and then ends before it
            if (exact := np.flatnonzero(away == 0.0)).size:
                found = found[exact[0]]
                continue
            share = weights / away
            found = ((share / share.sum()) @ found.reshape(len(nodes), -1)).reshape(found.shape[1:])
        return found


def _axis(low, high, count):
    """Nodes and barycentric weights; a single one where both ends are the same."""
    at = np.arange(count)
    weights = (-1.0) ** at * np.sin((2 * at + 1) * np.pi / (2 * count))
    return 0.5 * (low + high) - 0.5 * (high - low) * np.cos((2 * at + 1) * np.pi / (2 * count)), weights


def outputs(numbers, *, frequency, pressure, wall, loaded):
    """What the reference takes from the instant, at row 0: shape (frequency, pressure, OUTPUTS)."""
    state = instant(
        numbers, frequency=np.reshape(frequency, (1, -1, 1)), receiver_pressure=np.reshape(pressure, (1, 1, -1)),
        slow=Slow((np.full((1, 1, 1), wall),)), loaded=loaded, close_enough=SETTLED,
    )  # fmt: skip
    (t,) = state.trains
    limit, share = np.full((1, 1, 1), 1e6), np.zeros((1, 1, 1))
    if t.interstage_absolute_pressure is not None:
        limit = saturation_humidity_ratio(t.last_stage_temperature, pressure=t.interstage_absolute_pressure)
    if loaded:
        start, end = stream_before_receiver(numbers, trains=state.trains, receiver_pressure=t.receiver_pressure)
        assert np.all(end.temperature == t.cooler_outlet_temperature), (
            "the reference knows no dryer before the receiver"
        )
        wet = replace(start, liquid=np.full((1, 1, 1), 1e-6))
        _, probe = stream_before_receiver(
            numbers, trains=state.trains, receiver_pressure=t.receiver_pressure, start=wet
        )
        share = 1.0 - probe.liquid / 1e-6
    none = np.full((1, 1, 1), 1e-30)
    columns = (
        np.log(np.maximum(t.delivered_dry_air, 1e-30) if loaded else none), t.cooler_outlet_temperature,
        t.wall_heat + t.friction_power, np.log(t.wall_conductance), t.electrical_power,
        np.log(np.maximum(t.interstage_dry_air, 1e-30) if loaded else none), np.log(limit), t.path_drop, share,
        t.winding_temperature,
    )  # fmt: skip
    shape = (len(np.ravel(frequency)), len(np.ravel(pressure)))
    return np.stack([np.broadcast_to(c, (c.shape[0], *shape))[0] for c in columns], axis=-1)


def weakening(numbers, low, high):
    """Frequency from which the drive can no longer raise the volts with it, between two others: there slopes break."""

    def share(frequency):
        (t,) = instant(
            numbers, frequency=np.full((1, 1, 1), frequency), receiver_pressure=np.full((1, 1, 1), 7e5)
        ).trains
        return float((t.available_torque_share / t.cooling_torque_share)[0, 0, 0])

    whole = share(low)
    if share(high) >= whole * (1.0 - 1e-9):
        return None
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if share(middle) >= whole * (1.0 - 1e-13) else (low, middle)
    return 0.5 * (low + high)


class Physics:
    """The instant of one plant on dense grids: loaded and idling, each range of frequency."""

    def __init__(self, prepared):
        numbers, one = prepared.numbers, prepared.one(0)
        settings, machine = one.settings, one.machine
        assert len(numbers.trains) == 1, "the reference is for one train"
        top = 1.03 * float(np.max(settings.cut_out))
        self.pressures, self.by_pressure = (LEAST_PRESSURE, top), settings.scheme == PRESSURE
        self.cooled = numbers.trains[0].cooler is not None
        self.ranges = prepared.ranges
        if self.by_pressure:
            ends = (prepared.ranges[0][0], prepared.ranges[-1][1])
            parted = weakening(numbers, *ends)
            self.ranges = (ends,) if parted is None else ((ends[0], parted), (parted, ends[1]))
        fastest = max(high for _, high in self.ranges)
        hot = instant(numbers, frequency=np.full((1, 1, 1), fastest), receiver_pressure=np.full((1, 1, 1), top))
        self.walls = (machine.room - 1.0, float(hot.trains[0].wall_temperature[0, 0, 0]) + 3.0)
        self.grids = {
            (loaded, part): self._grid(numbers, pair, loaded)
            for loaded in (True, False) for part, pair in enumerate(self.ranges)
        }  # fmt: skip

    def _grid(self, numbers, pair, loaded):
        many = FREQUENCY_NODES if pair[1] > pair[0] else 1
        ends, counts = (self.walls, pair, self.pressures), (WALL_NODES, many, PRESSURE_NODES)
        walls, frequencies, pressures = (_axis(*e, n)[0] for e, n in zip(ends, counts, strict=True))
        values = [
            outputs(numbers, frequency=frequencies, pressure=pressures, wall=wall, loaded=loaded) for wall in walls
        ]
        return Grid(ends, counts, np.stack(values))

    def __call__(self, loaded, part, frequency, wall, pressure):
        if self.by_pressure:
            part = next(i for i, (_, high) in enumerate(self.ranges) if frequency <= high or i == len(self.ranges) - 1)
        low, high = self.ranges[part]
        return self.grids[loaded, part](wall, min(max(frequency, low), high), pressure)


@dataclass
class Segment:
    """Between two events: steps' dense outputs."""

    begin: float
    end: float
    steps: list
    state: str


@dataclass
class Reference:
    """A day, done the second way."""

    segments: list = field(default_factory=list)
    starts: list = field(default_factory=list)
    loaded: float = 0.0
    idle: float = 0.0
    filling: float = 0.0
    short: float = 0.0
    final: np.ndarray | None = None
    calls: int = 0
    drained_water: float = 0.0

    def at(self, times):
        """The whole state at given times, shape (times, STATE)."""
        begins = np.array([s.t_old for s in self.steps])
        places = np.clip(np.searchsorted(begins, times, side="left") - 1, 0, len(begins) - 1)
        return np.array([self.steps[k](t) for k, t in zip(places, times, strict=True)])

    @property
    def steps(self):
        """Every dense output of the day, in order."""
        return [s for segment in self.segments for s in segment.steps]

    def total(self, name):
        """What an integral came to. [SI]"""
        return float(self.final[STATE.index(name)])


class Plant:
    """The plant of a day: its state, what its control does, and its rates."""

    def __init__(self, one, tools, physics):
        self.machine, self.settings, self.tools = one.machine, one.settings, tools
        self.physics, self.ranges = physics, physics.ranges
        self.state, self.until, self.stopped, self.fan_until = OFF, np.inf, -np.inf, -np.inf
        self.switched_on = self.quiet = self.boosted = self.held_integral = False
        self.fan, self.clamp, self.active = False, 0, np.zeros(tools.many)
        self.full_at, self.needs = tools.full_at, tools.needs
        self.throttled, self.short = np.zeros(tools.many, bool), np.zeros(tools.many, bool)
        self.out, self.calls = Reference(), 0
        m = self.machine
        self.middle = 0.5 * (self.settings.lowest + self.settings.highest)
        self.span = 0.5 * (self.settings.highest - self.settings.lowest)
        self.lag = {True: (float(m.cooler_lag[0, 0]), float(m.winding_lag[0, 0])),
                    False: (float(m.cooler_lag[0, 1]), float(m.winding_lag[0, 1]))}  # fmt: skip

    # --- speed -------------------------------------------------------------------------------------------------------

    @property
    def top(self):
        return self.settings.highest_quiet if self.quiet else self.settings.highest

    def asked(self, y):
        """Frequency the speed control asks for, before it is clamped."""
        return self.middle + self.settings.gain * (self.settings.held - y[P]) + y[INTEGRAL]

    def speed(self, y):
        """Range of frequency, and frequency."""
        s = self.settings
        if s.scheme != PRESSURE:
            quiet = self.quiet if s.scheme != STEPS else not self.boosted
            part = s.quiet if quiet else s.full
            return part, self.ranges[part][0]
        free = self.asked(y)
        return 0, (s.lowest if self.clamp < 0 else self.top if self.clamp > 0 else free)

    # --- rates -------------------------------------------------------------------------------------------------------

    def drawn(self, p, gas):
        """Air drawn by tools, leaks and purge. [kg/s]"""
        regulated = np.where(self.throttled, self.tools.regulated * p / self.full_at, self.tools.regulated)
        holes = self.active @ self.tools.choked + self.tools.steady
        return float(self.active @ regulated + holes * p * np.sqrt(COLD / gas))

    def rates(self, t, y):
        """Slopes of the whole state."""
        self.calls += 1
        machine, s, out = self.machine, self.settings, np.zeros(len(STATE))
        room, p, m, turns = machine.room, y[P], y[M], self.state != OFF
        gas = p * machine.volume / (m * R_DRY_AIR)
        flow = heat = vapour = made = share = 0.0
        if turns:
            loaded = self.state != IDLING
            part, frequency = self.speed(y)
            (log_flow, outlet, to_walls, log_ua, power, log_between, log_limit, drop, share, winding) = self.physics(
                loaded, part, frequency, y[PUMP], p
            )
            out[PUMP] = (to_walls - np.exp(log_ua) * (y[PUMP] - room)) / machine.pump_capacity[0]
            out[WINDING] = (winding - y[WINDING]) / self.lag[True][1]
            out[ENERGY] = power
            if s.scheme == PRESSURE and not self.held_integral:
                out[INTEGRAL] = s.gain * (s.held - p) / s.reset
            if self.state == RUNNING:
                flow = np.exp(log_flow)
                inlet = room + (y[WARMTH] if self.physics.cooled else 1.0) * (outlet - room)
                pumped = min(machine.humidity, np.exp(log_limit))
                held, most = saturation_humidity_ratio([y[WALL], inlet], pressure=[p, p + drop]).tolist()
                left = min(pumped, most)
                heat, vapour, made = CP_DRY_AIR * inlet * flow, flow * left, flow * (pumped - left)
                out[11] = np.exp(log_between) * (machine.humidity - pumped)
            out[WARMTH] = ((0.0 if self.state == IDLING else 1.0) - y[WARMTH]) / self.lag[True][0]
        else:
            out[PUMP] = -machine.still_conductance[0] * (y[PUMP] - room) / machine.pump_capacity[0]
            out[WINDING] = (room - y[WINDING]) / self.lag[False][1]
            out[WARMTH] = -y[WARMTH] / self.lag[self.fan][0]
        out[CRANKCASE] = (room + machine.crankcase_place[0] * (y[PUMP] - room) - y[CRANKCASE]) / machine.crankcase_lag[
            0
        ]
        leaving = self.drawn(p, gas)
        to_wall = machine.film * (gas - y[WALL])
        out[P] = (KAPPA - 1.0) / machine.volume * (heat - CP_DRY_AIR * gas * leaving - to_wall)
        out[M] = flow - leaving
        out[WALL] = (to_wall - machine.room_conductance * (y[WALL] - room)) / machine.wall_capacity
        if self.state != RUNNING:
            held = float(saturation_humidity_ratio(y[WALL], pressure=p))
        condensed = machine.film / CP_DRY_AIR * max(y[W] - held, 0.0)
        out[W] = (vapour - flow * y[W] - condensed) / m
        out[LIQUID] = condensed + made * (1.0 - share)
        out[12:] = (made * share, made * (1.0 - share), condensed, flow, leaving, heat, CP_DRY_AIR * gas * leaving)
        return out

    # --- control -----------------------------------------------------------------------------------------------------

    def starts_of_hour(self, t):
        return [s for s in self.out.starts if s > t - 3600.0]

    def load(self, t, y):
        """Fill the line, then deliver."""
        self.branch(t, y)
        held = self.machine.line_volume[0] * max(y[P] - self.machine.barometer, 0.0) / (R_DRY_AIR * self.machine.room)
        self.state, self.until = RUNNING, np.inf
        if held > 0.0:
            part, frequency = self.speed(y)
            flow = np.exp(self.physics(True, part, frequency, y[PUMP], y[P])[0])
            self.state, self.until = FILLING, t + held / flow

    def stop(self, t):
        self.state, self.until, self.stopped = OFF, np.inf, t
        self.fan_until = t + self.machine.fan_run_on[0]

    def decide(self, t, y):
        """What the train does at an event."""
        s, p = self.settings, y[P]
        if self.state == OFF:
            rested = t >= self.stopped + s.minimum_off - 1e-9
            if self.switched_on and rested and p <= s.cut_in[0] + ON_IT:
                self.out.starts.append(t)
                self.boosted = False
                y[INTEGRAL] = 0.0
                self.load(t, y)
        elif not self.switched_on:
            self.stop(t)
        elif self.state == IDLING:
            if p <= s.cut_in[0] + ON_IT:
                self.load(t, y)
            elif t >= self.until - 1e-9:
                self.stop(t)
        elif p >= s.cut_out[0] - ON_IT:
            wait, lately = s.idle_time, self.starts_of_hour(t)
            if s.most_starts > 0.0 and len(lately) >= s.most_starts:
                wait = max(wait, lately[-int(s.most_starts)] + 3600.0 - t)
            if wait > 0.0:
                self.state, self.until = IDLING, t + wait
            else:
                self.stop(t)
        elif self.state == FILLING and t >= self.until - 1e-9:
            self.state, self.until = RUNNING, np.inf
        if self.state == OFF:
            self.boosted, y[INTEGRAL], self.held_integral = False, 0.0, False
        elif s.scheme == STEPS:
            self.boosted = not self.quiet and (self.boosted or p <= s.full_below + ON_IT)

    def branch(self, t, y):
        """Which branch of the speed control: of a value on an edge, the side it moves to."""
        if self.settings.scheme != PRESSURE:
            return
        s, slope = self.settings, 0.0
        error = s.held - y[P]
        if self.state != OFF:
            free = self.rates(t, y)
            slope = -s.gain * free[P] + (0.0 if self.held_integral else s.gain * error / s.reset)
        asked, edge = self.asked(y), 1e-7
        above = asked > self.top + edge or (abs(asked - self.top) <= edge and slope > 0.0)
        below = asked < s.lowest - edge or (abs(asked - s.lowest) <= edge and slope < 0.0)
        self.clamp = 1 if above else -1 if below else 0
        at_limit = abs(y[INTEGRAL]) >= self.span - edge
        if at_limit and abs(error) < ON_IT and self.state != OFF:
            error = -self.rates(t, y)[P]
        self.held_integral = bool(at_limit and y[INTEGRAL] * error > 0.0)

    def demand(self, t, y):
        """Pressures at which tools have what they want, and which of them have it."""
        tools = self.tools
        total = float(self.active @ (tools.regulated + tools.choked * tools.full_at))
        at = [0.5 * (x + np.sqrt(x * x + 4.0 * tools.line_drop * total**2)) for x in (tools.full_at, tools.needs)]
        self.full_at, self.needs = at
        self.throttled = y[P] < self.full_at
        falling = self.rates(t, y)[P] < 0.0
        for flags, edges in ((self.throttled, self.full_at), (self.short, self.needs)):
            flags[:] = np.where(np.abs(y[P] - edges) < ON_IT, falling, y[P] < edges) & (self.active > 0)

    def guards(self, t, y):
        """Edges of this branch: (function of the state, positive as long as nothing changes)."""
        s, found = self.settings, []

        def above(edge):
            found.append(lambda y: y[P] - edge)

        def below(edge):
            found.append(lambda y: edge - y[P])

        rested = t >= self.stopped + s.minimum_off - 1e-9
        if (self.state == OFF and self.switched_on and rested) or self.state == IDLING:
            above(s.cut_in[0])
        if self.state in (FILLING, RUNNING):
            below(s.cut_out[0])
        if s.scheme == STEPS and self.state != OFF and not self.boosted and not self.quiet:
            above(s.full_below)
        for i in np.flatnonzero(self.active):
            (below if self.throttled[i] else above)(self.full_at[i])
            (below if self.short[i] else above)(self.needs[i])
        if s.scheme == PRESSURE and self.state != OFF:
            top, side = self.top, self.clamp
            if side == 0:
                found += [lambda y: top - self.asked(y), lambda y: self.asked(y) - s.lowest]
            else:
                edge = top if side > 0 else s.lowest
                found.append(lambda y: side * (self.asked(y) - edge))
            if self.held_integral:
                (above if y[P] > s.held else below)(s.held)
            else:
                found.append(lambda y: self.span + 2e-8 - abs(y[INTEGRAL]))
        return found

    # --- the loop ----------------------------------------------------------------------------------------------------

    def drain(self, y):
        """Open a timed drain for its moment."""
        gas = y[P] * self.machine.volume / (y[M] * R_DRY_AIR)
        lost = self.settings.drain_air * y[P] * np.sqrt(COLD / gas)
        left = 1.0 - lost / y[M]
        y[P], y[M] = y[P] * left**KAPPA, y[M] * left
        self.out.drained_water += y[LIQUID]
        y[LIQUID] = 0.0

    def clock(self, t, place, drain):
        """The next event of the clock."""
        tools = self.tools
        until = min(tools.end, self.until)
        if place < len(tools.times):
            until = min(until, tools.times[place])
        if self.settings.drain_every > 0.0:
            until = min(until, drain)
        ready = self.stopped + self.settings.minimum_off
        if self.state == OFF:
            until = min([until, *(e for e in (ready, self.fan_until) if e > t + 1e-9)])
        return until

    def run(self, pressure):
        """The whole stretch of time."""
        machine, tools = self.machine, self.tools
        y = np.zeros(len(STATE))
        y[P], y[M], y[WALL] = pressure, pressure * machine.volume / (R_DRY_AIR * machine.room), machine.room
        y[W] = min(machine.humidity, float(saturation_humidity_ratio(machine.room, pressure=pressure)))
        y[PUMP] = y[CRANKCASE] = y[WINDING] = machine.room
        t, place, drain = tools.begin, 0, tools.begin + self.settings.drain_every
        while True:
            while place < len(tools.times) and tools.times[place] <= t + 1e-9:
                self.toggle(tools.codes[place], tools.on[place])
                place += 1
            if self.settings.drain_every > 0.0 and t >= drain - 1e-9:
                self.drain(y)
                drain += self.settings.drain_every
            self.decide(t, y)
            self.fan = self.state == OFF and t < self.fan_until - 1e-9
            self.demand(t, y)
            self.branch(t, y)
            if t >= tools.end - 1e-9:
                break
            begin = t
            t, y = self.segment(t, y, self.clock(t, place, drain))
            self.inside(y)
            self.note(t - begin)
        self.out.final, self.out.calls = y, self.calls
        return self.out

    def inside(self, y):
        """Check that a state lies on the grids."""
        (cold, hot), (low, high) = self.physics.walls, self.physics.pressures
        assert cold <= y[PUMP] <= hot, f"walls of {y[PUMP]} K are off the reference's grid"
        assert low <= y[P] <= high, f"{y[P]} Pa is off the reference's grid"

    def note(self, span):
        if self.state in (FILLING, RUNNING):
            self.out.loaded += span
        if self.state == FILLING:
            self.out.filling += span
        if self.state == IDLING:
            self.out.idle += span
        if np.any(self.short):
            self.out.short += span

    def toggle(self, code, on):
        if code < self.tools.many:
            self.active[code] += on
        elif code == self.tools.many:
            self.switched_on = on > 0
        else:
            self.quiet = on > 0

    def segment(self, t, y, until):
        """Integrate to an event of the clock, or to the crossing before it."""
        guards = self.guards(t, y)
        segment = Segment(t, until, [], self.state)
        self.out.segments.append(segment)
        solver = DOP853(self.rates, t, y, until, rtol=TOLERANCE, atol=ABSOLUTE, max_step=LONGEST)
        while solver.status == "running":
            message = solver.step()
            assert solver.status != "failed", message
            dense = solver.dense_output()
            segment.steps.append(dense)
            when, which = self.first(guards, dense, solver.t_old, solver.t)
            if which is not None:
                segment.end, y = self.polished(which, solver.t_old, dense.y_old, when)
                return segment.end, y
        return until, solver.y.copy()

    @staticmethod
    def first(guards, dense, begin, end):
        """The first crossing within a step, looked for in four parts of it."""
        times = np.linspace(begin, end, 5)
        states = [dense(t) for t in times]
        found = (np.inf, None)
        for guard in guards:
            values = [guard(y) for y in states]
            for k in range(1, 5):
                if values[k] < -1e-9:
                    if values[k - 1] <= 0.0:
                        when = times[k - 1]
                    else:
                        when = brentq(lambda t, g=guard: g(dense(t)), times[k - 1], times[k], xtol=1e-12, rtol=1e-15)
                    found = min(found, (when, guard), key=lambda f: f[0])
                    break
        return found

    def polished(self, guard, begin, y, when):
        """When an edge is crossed, and the state there: a step up to it, ended anew by Newton's rule."""
        if when <= begin:
            return begin, y.copy()
        for _ in range(3):
            solver = DOP853(self.rates, begin, y, when, rtol=TOLERANCE, atol=ABSOLUTE)
            while solver.status == "running":
                solver.step()
            off, ahead = guard(solver.y), 1e-3
            slope = (guard(solver.y + ahead * self.rates(when, solver.y)) - off) / ahead
            if abs(off) < 1e-8 or slope == 0.0 or abs(off / slope) > 1e-3:
                break
            when = when - off / slope
        return when, solver.y.copy()


def reference(one, physics, *, start=0.0, length=86_400.0, seed=1, path=0):
    """Run row 0 of a plant through a stretch of time, the second way."""
    tools = one.tools(start=start, length=length, seed=seed, path=path)
    begin = float(np.mean([one.settings.cut_in[0], one.settings.cut_out[0]]))
    return Plant(one, tools, physics).run(begin)
