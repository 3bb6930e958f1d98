"""What stands on a plant's air path, in order, as things to draw; nothing that the plant does not have."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from airfettle.drawings.air_path.words import Words, cooler_name, filter_name
from airfettle.findings.finding import Finding
from airfettle.plant.part import Part
from airfettle.studies.stations import StationAt, StationsAt

REGULATING = "regulator"
"""Purpose of a filter that is a regulator. [text]"""
GATHERS = ("coalescing", "particles")
"""Purposes of filters that catch liquid. [text]"""
WATER = "#water"
"""Key of the line that drained water falls to. [text]"""


@dataclass(frozen=True)
class Fixture:
    """A valve, gauge, switch or drain that stands on something.

    Attributes
    ----------
    key, symbol : str
        What findings' numbers are kept under, and the symbol's name.
    words : tuple of str
        Lines beside it.
    missing : bool
        Drawn dashed: a finding says that there is none, or that nobody told.
    blocked : bool
        A shut-off valve stands before it.
    """

    key: str
    symbol: str
    words: tuple[str, ...] = ()
    missing: bool = False
    blocked: bool = False


@dataclass(frozen=True)
class Item:
    """One thing on the air's way.

    Attributes
    ----------
    key, path, symbol : str
        What findings' numbers are kept under, the part's path, and the symbol's name; hot_line, vessel, pipe and
        tools are drawn otherwise.
    name : str
        In the trade's words; in parentheses where nobody told of it.
    words : tuple of str
        What is known of it.
    station : StationAt or None
        The air behind it.
    above : tuple of Fixture
        What stands on it.
    drain : Fixture or None
        Its drain.
    falls : bool
        Water falls out here.
    motor, fan : str
        Words at the motor that turns it, and at its fan; empty for none.
    assumed, missing : bool
        Nobody told of it; it is not there, and a finding says so.
    """

    key: str
    path: str
    symbol: str
    name: str
    words: tuple[str, ...] = ()
    station: StationAt | None = None
    above: tuple[Fixture, ...] = ()
    drain: Fixture | None = None
    falls: bool = False
    motor: tuple[str, ...] = ()
    fan: str = ""
    assumed: bool = False
    missing: bool = False


@dataclass(frozen=True)
class Chain:
    """Things one behind the other: a train, or what all trains share; ``name`` is empty where there is one train."""

    name: str
    items: tuple[Item, ...]


class Plan:
    """A plant's air path as chains of things to draw.

    Attributes
    ----------
    chains : tuple of Chain
        Trains, then what all air passes; one chain in all where there is one train.
    """

    def __init__(self, at: StationsAt, findings: tuple[Finding, ...]) -> None:
        self.at, self.plant, self.words = at, at.draw.plant, Words(at)
        self.said = {(f.rule, part): f for f in findings if f.state != "clear" for part in (*f.parts, "")}
        self.reliefs = [(path, valve) for path, valve in self._several("relief_valve") if not valve.absent]
        self.outlet = self._outlet_reliefs("pump discharge")
        self.between = self._outlet_reliefs("interstage")
        trains = tuple(
            Chain(train.name if len(self.plant.trains) > 1 else "", tuple(self._train(place)))
            for place, train in enumerate(self.plant.trains)
        )
        common = Chain("", self._common())
        joined = (Chain("", (*trains[0].items, *common.items)),)
        self.chains = joined if len(trains) == 1 else (*trains, common)

    def keys(self) -> Iterator[str]:
        """Yield the key of everything that a finding may point at."""
        for chain in self.chains:
            for item in chain.items:
                yield item.key
                yield from (fixture.key for fixture in item.above)
                if item.drain is not None:
                    yield item.drain.key
        yield WATER

    # Trains.

    def _train(self, place: int) -> Iterator[Item]:
        """Things of one train, intake to cooler."""
        train, own = self.plant.trains[place], self.at.trains[place]
        at = {station.section: station for station in own}
        yield self._intake(train.intake, at["intake"])
        yield from self._pump(place, at)
        yield self._hot_line(place, train)
        moved = self._check_valve_moved()
        if moved and len(self.plant.trains) == 1:
            yield replace(self._common_item("check_valve", None), words=("before the cooler",))
        pump = at["pump"].path
        if "cooler" in at:
            yield self._cooler(train.cooler, at["cooler"])
        elif ("no_cooler", pump) in self.said:
            yield Item(f"{pump}#cooler", f"{pump}#cooler", "air_cooler", "no cooler", missing=True)
        cooler = at["cooler"].path if "cooler" in at else ""
        if cooler and ("no_separator", cooler) in self.said:
            asked = self.said["no_separator", cooler].state == "not told"
            name = "separator not told" if asked else "no separator"
            yield Item(f"{cooler}#separator", f"{cooler}#separator", "water_separator", name, missing=True)

    def _intake(self, part: Any, station: StationAt) -> Item:
        if part is None or part.absent:
            return Item(station.path, station.path, "hot_line", "air drawn in, no filter", station=station)
        return self._named(Item(station.path, station.path, "air_filter", "intake filter", station=station))

    def _pump(self, place: int, at: dict[str, StationAt]) -> Iterator[Item]:
        station = at["pump"]
        motor, speed = self.words.motor(place), self.words.pump(place)
        if "between" in at:
            first = Item(f"{station.path}#first", station.path, "air_compressor", "first stage")
            yield self._named(first)
            middle = Item(
                f"{station.path}#between", station.path, "air_cooler", "intercooler", station=at["between"],
                falls=self.words.drops(at["between"]), above=tuple(self._interstage(place, station.path)),
            )  # fmt: skip
            yield self._named(middle)
        name = "pump, second stage" if "between" in at else "pump"
        yield self._named(Item(station.path, station.path, "air_compressor", name, speed, station, motor=motor))

    def _interstage(self, place: int, pump: str) -> Iterator[Fixture]:
        found = [self._relief(path, valve) for path, valve in self.between.get(place, ())]
        line = self.plant.trains[place].hot_line
        if not found and line is not None and line.interstage_relief == "yes":
            found = [Fixture(f"{pump}#interstage relief", "relief_valve", ("relief",))]
        if not found and ("interstage_relief", pump) in self.said:
            found = [self._dashed(f"{pump}#interstage relief", "relief_valve", "relief", "interstage_relief", pump)]
        yield from found

    def _hot_line(self, place: int, train: Any) -> Item:
        """The line from the pump, with what stands on the pump's outlet."""
        pump, path = self.at.trains[place][-1].path.rpartition(".")[0], "hot_line"
        pump, path = (f"{pump}.pump", f"{pump}.hot_line") if pump else ("pump", "hot_line")
        above = [self._relief(key, valve) for key, valve in self.outlet.get(place, ())]
        if not above and ("pump_side_relief", pump) in self.said:
            above = [self._dashed(f"{pump}#outlet relief", "relief_valve", "relief", "pump_side_relief", pump)]
        line = train.hot_line
        there = line is not None and not line.absent
        if there and line.stop_valve == "yes":
            above.append(Fixture(f"{path}#stop valve", "shut_off_valve", ("stop valve",)))
        if not there:
            return Item(path, path, "hot_line", "", above=tuple(above))
        words = () if line.material == "unknown" else (line.material,)
        return self._named(Item(path, path, "hot_line", "hot line", words, above=tuple(above)))

    def _cooler(self, part: Any, station: StationAt) -> Item:
        fan = {"none": "", "unknown": "fan, feed not told"}.get(part.fan, f"fan: {part.fan}")
        return self._named(Item(station.path, station.path, "air_cooler", cooler_name(part),
                                self.words.cooler(station.path, part), station, fan=fan))  # fmt: skip

    # What all air passes.

    def _common(self) -> tuple[Item, ...]:
        found = []
        moved = self._check_valve_moved() and len(self.plant.trains) == 1
        for station in self.at.common:
            if station.section == "joined":
                found.append(Item("#joined", "plant", "hot_line", "air of all pumps", station=station))
            elif station.section == "shop_pipe":
                found += self._pipe(station)
            elif not (station.section == "check_valve" and moved):
                found.append(self._common_item(station.path, station))
        if not any(item.path == "shop_pipe" for item in found):
            found.append(self._tools())
        return self._with_control(found)

    def _check_valve_moved(self) -> bool:
        """Whether the owner says that the check valve stands ahead of the cooler, and tells no order of his own."""
        valve = self.plant.check_valve
        return valve is not None and not valve.absent and valve.place == "before the cooler" and (
            not self.plant.about.air_path)  # fmt: skip

    def _common_item(self, path: str, station: StationAt | None) -> Item:
        section, part = path.partition(".")[0], self.plant.station(path)
        own = f" {part.name}" if part.name else ""
        drain = self._drain(path, part)
        falls = station is not None and self.words.drops(station)
        if section == "receiver":
            return self._named(Item(path, path, "vessel", f"receiver{own}", self.words.receiver(path, part), station,
                                    tuple(self._on_receiver(path, part)), drain, falls))  # fmt: skip
        if section == "filter":
            symbol = {REGULATING: "filter_regulator", "coalescing": "coalescing_filter"}.get(
                str(getattr(part, "purpose", "")), "air_filter")  # fmt: skip
            return self._named(Item(path, path, symbol, filter_name(part), (), station, falls=falls))
        if section == "separator":
            words = self.words.drain(part)
            return self._named(Item(path, path, "water_separator", f"water separator{own}", words, station,
                                    drain=drain, falls=falls))  # fmt: skip
        if section == "dryer":
            return self._named(Item(path, path, "air_dryer", f"dryer{own}", (str(getattr(part, "kind", "")),), station,
                                    falls=falls))  # fmt: skip
        return self._named(Item(path, path, "check_valve", f"check valve{own}", (), station))

    def _drain(self, path: str, part: Part[Any]) -> Fixture | None:
        """The drain of a separator or receiver, dashed where there is none or none is told, and a finding says so."""
        told = getattr(part, "drain", None)
        if told is None:
            return None
        key = f"{path}#drain"
        if told in ("automatic", "by hand"):
            return Fixture(key, "drain_automatic" if told == "automatic" else "drain_by_hand")
        if any((rule, path) in self.said for rule in ("no_drain", "receiver_drain")):
            return Fixture(key, "drain_any", missing=True)
        return None

    def _on_receiver(self, path: str, part: Part[Any]) -> Iterator[Fixture]:
        """Gauge and relief valves of a receiver; relief valves stand on the first, as the pipes join all."""
        gauge = getattr(part, "gauge", "unknown")
        if gauge == "yes":
            yield Fixture(f"{path}#gauge", "pressure_gauge", ("gauge",))
        elif ("receiver_gauge", path) in self.said:
            yield self._dashed(f"{path}#gauge", "pressure_gauge", "gauge", "receiver_gauge", path)
        if path != next((s.path for s in self.at.common if s.section == "receiver"), ""):
            return
        for key, valve in self.reliefs:
            if valve.protects in ("receiver", "unknown"):
                yield self._relief(key, valve)
        if ("relief_missing", path) in self.said and not any(v.protects == "receiver" for _, v in self.reliefs):
            yield self._dashed(f"{path}#relief", "relief_valve", "relief", "relief_missing", path)

    def _with_control(self, found: list[Item]) -> tuple[Item, ...]:
        """Put switch or transducer on the first receiver, or where there is none on the pipe."""
        control = self.plant.control
        assert control is not None
        kind = "" if control.kind in ("transducer", "pressure switch") else "kind not told"
        symbol, name = {"transducer": ("pressure_transducer", "transducer"),
                        "pressure switch": ("pressure_switch", "switch")}.get(
                            control.kind, ("pressure_switch", "switch"))  # fmt: skip
        switch = Fixture("control", symbol, (name, *filter(None, (kind, *self.words.switch()))))
        on = [n for n, item in enumerate(found) if item.symbol == "vessel"] or [0]
        if found[on[0]].symbol == "tools":  # nothing that it could stand on
            return tuple(found)
        found[on[0]] = replace(found[on[0]], above=(switch, *found[on[0]].above))
        return tuple(found)

    def _pipe(self, station: StationAt) -> list[Item]:
        pipe = Item("shop_pipe", "shop_pipe", "quick_coupler", "shop pipe", self.words.pipe(), station)
        return [self._named(pipe), self._tools()]

    def _tools(self) -> Item:
        return Item("use", "use", "tools", "tools", self.words.tools())

    # Valves.

    def _several(self, section: str) -> Iterator[tuple[str, Any]]:
        parts = getattr(self.plant, section)
        for place, part in enumerate(parts):
            own = part.name or (str(place + 1) if len(parts) > 1 else "")
            yield (f"{section}.{own}" if own else section), part

    def _outlet_reliefs(self, protects: str) -> dict[int, list[tuple[str, Any]]]:
        """Relief valves of a sort by train: those named after one go to it, others to trains that have none yet."""
        found: dict[int, list[tuple[str, Any]]] = {}
        names = [train.name for train in self.plant.trains]
        of_sort = [(path, valve) for path, valve in self.reliefs if valve.protects == protects]
        rest = []
        for path, valve in of_sort:
            if len(names) > 1 and valve.name in names:
                found.setdefault(names.index(valve.name), []).append((path, valve))
            else:
                rest.append((path, valve))
        for path, valve in rest:
            place = min(range(len(names)), key=lambda n: len(found.get(n, ())))
            found.setdefault(place, []).append((path, valve))
        return found

    def _relief(self, path: str, valve: Any) -> Fixture:
        words: tuple[str, ...] = ("relief", self.words.entry(f"{path}.set_pressure", missing="setting not told"))
        if valve.protects == "unknown":
            words = (*words, "place not told")
        return Fixture(path, "relief_valve", words, blocked=valve.valve_before == "yes")

    def _dashed(self, key: str, symbol: str, name: str, rule: str, part: str) -> Fixture:
        asked = self.said[rule, part].state == "not told"
        return Fixture(key, symbol, (name, "not told") if asked else (f"no {name}",), missing=True)

    def _named(self, item: Item) -> Item:
        """Put the name of a part in parentheses where nobody told of it."""
        if item.path in self.at.told or item.path.startswith("#"):
            return item
        return replace(item, name=f"({item.name})", assumed=True)
