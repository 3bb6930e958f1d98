"""The things a plant is made of, section by section, in its owner's words: what each is, and how many."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from airfettle.findings.case import Case, Part
from airfettle.parts.belt import belt_length
from airfettle.parts.fittings import read_fittings
from airfettle.quantity import in_unit
from airfettle.studies.pipework.from_plant import has_network, network_of
from airfettle.studies.pipework.network import Network

WORDS = {1: "one", 2: "two", 3: "three", 4: "four"}


@dataclass(frozen=True)
class Thing:
    """One thing that a section of the plant file stands for.

    Attributes
    ----------
    part, what : str
        Its name in the trade, and size and rating as far as they are told.
    quantity : str
        How many or how much.
    """

    part: str
    what: str = ""
    quantity: str = "1"


def things_of(case: Case, part: Part) -> Iterator[Thing]:
    """Yield what a section stands for, the thing itself first, then what belongs to it."""
    section = part.path.partition(".")[0] if not part.path.startswith("train.") else part.path.rpartition(".")[2]
    yield from THINGS[section](case, part)


def joined(*words: str) -> str:
    """Return words with commas between, those that are not told left out."""
    return ", ".join(word for word in words if word and word not in ("unknown", "not told"))


def _told(part: Part, name: str, after: str = "", before: str = "") -> str:
    return f"{before}{bare(part, name)}{after}" if part.told(name) else ""


def bare(part: Part, name: str) -> str:
    """Return an entry as told, without the words that say by what it is known."""
    return re.sub(r"\s+by\s+[A-Za-z ]+$", "", part.shown(name))


def _supply(case: Case, part: Part) -> Iterator[Thing]:
    device = str(part.fact("breaker_kind"))
    yield Thing(
        "breaker" if device == "breaker" else device, joined(_told(part, "breaker"), str(part.fact("kind") or ""))
    )
    yield Thing(
        "supply wire", joined(_told(part, "wire", " copper")), _told(part, "wire_length", " of run") or "not told"
    )
    if part.fact("protective_earth") == "yes":
        yield Thing("earth wire", "run with the live wires", _told(part, "wire_length", " of run") or "not told")
    if part.fact("ground_fault") not in ("none", "unknown"):
        yield Thing("ground-fault device", str(part.fact("ground_fault")))


def _drive(case: Case, part: Part) -> Iterator[Thing]:
    phases = part.fact("input_phases")
    feed = f"built for {'three phases' if phases == 3 else 'one phase'} in" if phases else ""
    yield Thing("variable-frequency drive",
                joined(_told(part, "rated_power"), _told(part, "rated_output_current", " out"), feed))  # fmt: skip
    if part.fact("reactor") == "yes":
        yield Thing("line reactor or bus choke")


def _motor_lead(case: Case, part: Part) -> Iterator[Thing]:
    shield = {"yes": "shielded", "no": "not shielded"}.get(str(part.fact("shielded")), "")
    yield Thing("motor lead", joined(_told(part, "wire", " copper"), shield), _told(part, "wire_length") or "not told")


def _motor(case: Case, part: Part) -> Iterator[Thing]:
    phases = "three phases" if part.fact("phases") == 3 else "single phase"
    frame = f"frame {part.fact('frame')}" if part.fact("frame") else ""
    plate = (_told(part, name) for name in ("power", "voltage", "speed", "current"))
    yield Thing("motor", joined(*plate, phases, frame, str(part.fact("enclosure"))))
    if part.fact("disconnect") == "yes":
        yield Thing("lockable disconnect", "in sight of the motor")


def _belt(case: Case, part: Part) -> Iterator[Thing]:
    section, diameters = str(part.fact("section")), str(part.fact("diameters"))
    grooves = f"{part.fact('count')} grooves {section}" if part.fact("count") and section != "unknown" else ""
    yield Thing("motor sheave", joined(_told(part, "motor_sheave", f" {diameters}"), grooves))
    yield Thing("pump flywheel", joined(_told(part, "pump_sheave", f" {diameters}"), grooves))
    count = part.fact("count")
    yield Thing("belts", joined(section if section != "unknown" else "", _belt_length(case, part)),
                str(count) if count else "not told")  # fmt: skip
    if part.fact("guard") == "yes":
        mesh = ", lets the air through" if part.fact("guard_lets_air_through") == "yes" else ""
        yield Thing("belt guard", f"over belt, sheaves and flywheel{mesh}")


def _belt_length(case: Case, part: Part) -> str:
    """Length on the belt, or about what the sheaves and their distance ask for."""
    if part.fact("belt_length"):
        return f"marked {part.fact('belt_length')}"
    sizes = [part.rows(name) for name in ("motor_sheave", "pump_sheave", "centre_distance")]
    if not all(part.told(name) for name in ("motor_sheave", "pump_sheave", "centre_distance")):
        return ""
    first, second, apart = (float(np.median(size)) for size in sizes if size is not None)
    length = float(belt_length(small_diameter=min(first, second), large_diameter=max(first, second),
                               centre_distance=apart))  # fmt: skip
    unit = "in" if case.units == "US" else "mm"
    return f"about {in_unit(length, kind='length', unit=unit):.0f} {unit} round both sheaves"


def _intake(case: Case, part: Part) -> Iterator[Thing]:
    yield Thing("intake filter", joined(str(part.fact("place"))))


def _pump(case: Case, part: Part) -> Iterator[Thing]:
    stages = "two stage" if part.fact("stages") == 2 else "single stage"
    sizes = "; ".join(words for name in ("first_stage", "second_stage") if (words := _stage(case, part, name)))
    oil = part.fact("lubrication")
    oiled = "" if oil == "unknown" else oil if oil == "oil-free" else f"oiled by {oil}"
    yield Thing("pump head", joined(str(part.fact("size_class")), stages, sizes, oiled))
    if part.fact("unloader") not in ("none", "unknown"):
        yield Thing("unloader", str(part.fact("unloader")))


def _stage(case: Case, part: Part, name: str) -> str:
    stage = part.fact(name)
    inner = Part(f"{part.path}.{name}", stage, case) if stage is not None else None
    if inner is None or not inner.told("bore"):
        return ""
    count = stage.cylinders
    number = f"{WORDS.get(count, str(count))} cylinder{'s' if count > 1 else ''} " if count else "cylinders "
    return f"{number}{bare(inner, 'bore')}{_told(inner, 'stroke', before=' x ')}"


def _hot_line(case: Case, part: Part) -> Iterator[Thing]:
    ratings = (_told(part, name) for name in ("pressure_rating", "temperature_rating"))
    flexible = "with a piece that gives" if part.fact("flexible_piece") == "yes" else ""
    yield Thing("hot line", joined(str(part.fact("material")), flexible, *ratings))


def _cooler(case: Case, part: Part) -> Iterator[Thing]:
    ratings = (_told(part, name) for name in ("pressure_rating", "temperature_rating"))
    yield Thing("aftercooler", joined(str(part.fact("kind")), *ratings))
    if part.fact("fan") not in ("none", "unknown", "pump flywheel"):
        yield Thing("cooler fan", joined(str(part.fact("fan")), _told(part, "fan_power")))


def _separator(case: Case, part: Part) -> Iterator[Thing]:
    bowl = "" if part.fact("bowl") == "unknown" else f"bowl {part.fact('bowl')}"
    flows = "..".join(word for name in ("lowest_flow", "highest_flow") if (word := _told(part, name)))
    yield Thing("water separator", joined(flows, _told(part, "pressure_rating"), bowl))
    yield from _drained(part)


def _drained(part: Part) -> Iterator[Thing]:
    if part.fact("drain") not in ("none", "unknown"):
        yield Thing("drain", str(part.fact("drain")))


def _check_valve(case: Case, part: Part) -> Iterator[Thing]:
    yield Thing("check valve", joined(str(part.fact("place"))))


def _receiver(case: Case, part: Part) -> Iterator[Thing]:
    wall = _told(part, "wall_thickness", before="wall ")
    yield Thing("receiver", joined(_told(part, "volume"), _told(part, "plate_pressure", before="plate "), wall))
    if part.fact("gauge") == "yes":
        yield Thing("pressure gauge", "on the receiver")
    yield from _drained(part)


PROTECTS = {"receiver": "on the receiver", "pump discharge": "on the pump's outlet", "interstage": "between the stages"}
"""Where a relief valve stands, by what it protects. [text]"""


def _relief_valve(case: Case, part: Part) -> Iterator[Thing]:
    where = PROTECTS.get(str(part.fact("protects")), "")
    yield Thing("relief valve", joined(where, _told(part, "set_pressure", before="set "), _told(part, "capacity")))


def _control(case: Case, part: Part) -> Iterator[Thing]:
    kind = str(part.fact("kind"))
    switches = joined(_told(part, "cut_in", before="in at "), _told(part, "cut_out", before="out at "))
    yield Thing("pressure switch" if kind == "unknown" else kind, switches)
    if part.fact("independent_pressure_stop") == "yes":
        yield Thing("second pressure switch", "stops at too high a pressure")
    if part.fact("emergency_stop") == "yes":
        yield Thing("emergency stop", "latching")
    if part.fact("starts_sign") == "yes":
        yield Thing("sign", "may start without warning")


def _dryer(case: Case, part: Part) -> Iterator[Thing]:
    yield Thing("dryer", joined(str(part.fact("kind")), _told(part, "rated_flow")))


def _filter(case: Case, part: Part) -> Iterator[Thing]:
    purpose = str(part.fact("purpose"))
    name = "regulator" if purpose == "regulator" else "filter"
    bowl = "" if part.fact("bowl") == "unknown" else f"bowl {part.fact('bowl')}"
    yield Thing(name, joined(part.fact("name"), purpose if name == "filter" else "", _told(part, "rated_flow"), bowl))


def _shop_pipe(case: Case, part: Part) -> Iterator[Thing]:
    if part.path != "shop_pipe":  # a run or drop that tells a price of its own
        yield Thing(
            "drop" if hasattr(part.model, "coupler") else "run of pipe", joined(part.fact("name"), part.fact("pipe"))
        )
        return
    if not has_network(case.plant):
        yield Thing("pipe round the shop", joined(part.fact("pipe"), str(part.fact("material"))), "not told")
    else:
        yield from _lengths(case)
    yield from _drops(case, part)


def _lengths(case: Case) -> Iterator[Thing]:
    """Pipe by size with its length, and fittings, as the network has them."""
    network = network_of(case.reach.draw, case.reach.numbers)
    length: dict[str, float] = {}
    for place, line in enumerate(network.lines):
        length[line.stock.text] = length.get(line.stock.text, 0.0) + float(np.median(network.length[:, place]))
    unit = "ft" if case.units == "US" else "m"
    for stock, metres in length.items():
        number = in_unit(metres, kind="length", unit=unit)
        yield Thing("pipe", stock, f"{number:.{0 if number >= 10.0 else 1}f} {unit}")
    yield from (Thing("fitting", kind, str(count)) for kind, count in _fittings(case, network).items() if count)


def _fittings(case: Case, network: Network) -> Counter[str]:
    """Fittings told of runs and drops, elbows counted at corners where none are told, and a tee for each drop."""
    pipe, counted = case.plant.shop_pipe, Counter[str]()
    told = {run.name: run.fittings for run in pipe.runs if run.fittings} if pipe is not None else {}
    for words in told.values():
        counted.update(read_fittings(words))
    for line in network.lines:
        if line.fittings and line.run not in told:
            counted.update(read_fittings(line.fittings))
    counted["tee"] += len(network.drops)
    return counted


def _drops(case: Case, part: Part) -> Iterator[Thing]:
    """Couplers, hoses and drain legs, those alike counted together."""
    couplers: Counter[str] = Counter()
    hoses: Counter[str] = Counter()
    drains = 0
    for place, drop in enumerate(d for d in part.fact("drops") if not d.absent):
        inner = Part(f"{part.path}.drops.{drop.name or place + 1}", drop, case)
        couplers[str(drop.coupler)] += drop.coupler != "none"
        bore, length = _told(inner, "hose_bore"), _told(inner, "hose_length")
        hoses[joined(bore, length) or "bore and length not told"] += drop.hose != "none"
        drains += drop.drain == "yes"
    yield from (Thing("coupler with plug", kind, str(count)) for kind, count in couplers.items() if count)
    yield from (Thing("hose", size, str(count)) for size, count in hoses.items() if count)
    if drains:
        yield Thing("drain leg", "at the foot of a drop", str(drains))


def _use(case: Case, part: Part) -> Iterator[Thing]:
    yield Thing("tool or job", joined(part.fact("name"), str(part.fact("tool"))), str(part.fact("count")))


THINGS: dict[str, Callable[[Case, Part], Iterator[Thing]]] = {
    "supply": _supply, "drive": _drive, "motor_lead": _motor_lead, "motor": _motor, "belt": _belt, "intake": _intake,
    "pump": _pump, "hot_line": _hot_line, "cooler": _cooler, "separator": _separator, "check_valve": _check_valve,
    "receiver": _receiver, "relief_valve": _relief_valve, "control": _control, "dryer": _dryer, "filter": _filter,
    "shop_pipe": _shop_pipe, "use": _use,
}  # fmt: skip
"""What each section stands for, in the order that power and air meet them."""
