"""Rules about a plant run through its days: each holds, is clear, may hold, and does not apply."""

import numpy as np
import pytest
from plant_cases import PATHS, findings_of, plant_of, states_of, weeks_of
from told_plants import SI, US, changed

from airfettle.findings.case import Case
from airfettle.findings.pumps_in_use import busiest_hour, winding_limit
from airfettle.findings.register import RULES
from airfettle.findings.through_the_day import flowing_time, hours_of_use
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach

LOOM = """
[[use]]
name = "loom"
tool = "automatic machine"
air = "140..150 L/min ANR at 5 bar by maker"
pressure = "4.5 bar"
lost_on_the_way = "0.2 bar"
when = "Mon-Fri 08:00-12:00 13:00-17:00"
on = "15 min"
off = "5 min"
attended = "no"
"""
"""A use that takes half of what the pump of the loom shed delivers."""
GUN = """
[[use]]
name = "gun"
air = "8..9 cfm at 60 psi by maker"
lost_on_the_way = "3 psi"
when = "Mon-Fri 08:00-16:00"
on = "10 min"
off = "10 min"
people = ["weaver"]
"""
"""A use of half of the time, half of what the pump of the bell frame joinery delivers at full speed."""
_RECEIVER = 'receiver = { volume = "900 L by plate", plate_pressure = "11 bar by plate" }\n'
SHED = SI.replace(_RECEIVER, "") + '\n[receiver]\nvolume = "900 L by plate"\nplate_pressure = "11 bar by plate"\n'
DIRECT, DRIVEN = SHED + LOOM, US + GUN
OURS = (
    "starts_too_often", "restarts_before_vented", "runs_too_long", "pump_stays_cold", "idles_too_long",
    "winding_hot_in_use", "air_runs_short", "use_without_pauses", "dryer_overloaded_in_bursts", "drain_forgotten",
    "sound_dose", "quiet_hours_unmet",
)  # fmt: skip


def ran(rule, text, **lines):
    """States and signals of one rule over days, of a plant with lines changed."""
    return states_of(changed(text, **lines), rule, through_days=True)


def section(text, head, **entries):
    """A plant with a section more."""
    lines = "".join(f'{name} = "{value}"\n' for name, value in entries.items())
    return f"{text}\n{head}\n{lines}"


def used(text, **entries):
    """A plant whose one use has entries changed; None takes one out."""
    before, mark, use = text.partition("\n[[use]]\n")
    for name, value in entries.items():
        lines = [line for line in use.splitlines() if not line.startswith(f"{name} = ")]
        use = "\n".join([*lines, *([] if value is None else [f'{name} = "{value}"'])]) + "\n"
    return before + mark + use


@pytest.mark.parametrize("rule", OURS)
def test_without_days_nothing_is_said(rule):
    assert states_of(DIRECT, rule) == []
    assert RULES[rule].why.endswith(".")


@pytest.mark.parametrize("rule", sorted(set(OURS) - {"use_without_pauses", "quiet_hours_unmet"}))
def test_nothing_is_a_danger(rule):
    assert RULES[rule].signal in ("warning", "caution")


# Verdicts from paths.


@pytest.mark.parametrize(("many", "state"), [(0, "clear"), (1, "may hold"), (15, "may hold"), (16, "holds")])
def test_the_share_of_paths_is_the_chance(many, state):
    case = Case(reach(draw(plant_of(SHED), rows=64)))
    verdict = case.over_days(np.arange(32) < many, says="so", parts=("pump",), rests_on=("motor.power",))
    assert (verdict.state, verdict.probability) == (state, many / 32)
    assert verdict.says == ("" if state == "clear" else "so")
    assert (verdict.point, verdict.rows) == (None, None)
    assert verdict.decided_by == verdict.rests_on == ("motor.power",)


def test_numbers_that_lean_to_one_side_are_shown_as_a_range():
    case = Case(reach(draw(plant_of(SHED), rows=8)))
    assert case.band(np.array([60.0, 60.0, 60.0]), kind="minutes") == "1 min"
    assert case.band(np.linspace(0.0, 1.0, 101), kind="fraction") == "5..95 %"
    assert case.band(np.array([1234.0]), kind="number") == "1230"


# Air.


def test_air_runs_short():
    assert ran("air_runs_short", DIRECT) == [("clear", "caution")]
    found = findings_of(used(DIRECT, air="500 L/min ANR at 5 bar by maker"), "air_runs_short", through_days=True)
    assert [(f.state, f.signal, f.probability, f.parts) for f in found] == [("holds", "caution", 1.0, ("use.loom",))]
    assert "drawn in shortages: loom 100" in found[0].says
    assert "airfettle resize" in found[0].do


def test_air_may_run_short():
    assert ran("air_runs_short", used(DIRECT, air="230..420 L/min ANR at 5 bar")) == [("may hold", "notice")]


def test_one_small_tool_that_is_always_short_is_found():
    air = {"name": "stamp", "air": "1 L/min ANR at 9 bar", "pressure": "8.9 bar", "when": "Mon 08:00-08:30",
           "on": "1 min", "off": "1 min", "attended": "no"}  # fmt: skip
    found = findings_of(section(DIRECT, "[[use]]", **air), "air_runs_short", through_days=True)
    assert [(f.state, f.parts) for f in found] == [("holds", ("use.stamp",))]


def test_where_no_tool_runs_nothing_is_short():
    assert ran("air_runs_short", used(DIRECT, on="1 s", off="9000 h")) == []


def test_a_use_without_pauses():
    attended = used(DIRECT, attended="yes")
    assert ran("use_without_pauses", attended) == [("clear", "notice")]
    assert ran("use_without_pauses", DIRECT) == []
    found = findings_of(used(attended, on=None, off=None), "use_without_pauses", through_days=True)
    assert [(f.state, f.signal, f.decided_by) for f in found] == [
        ("holds", "notice", ("use.loom.on", "use.loom.off")),
    ]  # fmt: skip
    assert "Mon-Fri 08:00-12:00 13:00-17:00" in found[0].says


# Dryer and drains.


def dried(flow, **more):
    """The loom shed with a dryer behind its receiver."""
    kind = {"rated_flow": flow, "rated_pressure": "7 bar", "rated_inlet_temperature": "35 degC"} if flow else {}
    return used(section(SHED, "[dryer]", **kind, **more) + LOOM, air="600 L/min ANR at 5 bar", on="2 min", off="15 min")


BURSTS = "dryer_overloaded_in_bursts"


@pytest.mark.parametrize(
    ("flow", "states"),
    [
        ("900 L/min ANR by plate", [("clear", "caution")]),
        ("380 L/min ANR by plate", [("holds", "caution")]),
        ("300..750 L/min ANR", [("may hold", "notice")]),
        ("80 L/min ANR by plate", []),  # the pump alone overloads it
        (None, []),
    ],
)
def test_a_dryer_in_bursts(flow, states):
    assert ran(BURSTS, dried(flow)) == states


def test_a_dryer_before_the_receiver_has_no_bursts():
    path = (
        'units = "SI", air_path = ["check_valve", "dryer", "receiver"] }\ncheck_valve = { place = "at the receiver" }'
    )
    before = dried("380 L/min ANR by plate").replace('units = "SI" }', path)
    assert ran(BURSTS, before) == []
    assert ran(BURSTS, DIRECT) == []


def test_hours_in_which_some_tool_may_run_are_counted_once():
    more = section(DIRECT, "[[use]]", name="press", air="10 L/min ANR at 5 bar", when="Mon 07:00-09:00", attended="no")
    days = weeks_of(more, 256)
    assert hours_of_use(days) == pytest.approx((5 * 8 + 1) * 3600.0)
    assert np.all(flowing_time(days) <= days.tally.length * (1 + 1e-9))


def drains(*, separator="automatic", receiver="automatic", bowl="0.05 L by plate", share="1 %"):
    """The loom shed with drains of some sort."""
    text = changed(DIRECT, receiver__drain=receiver, receiver__water_share=share, receiver__volume="300 L by plate")
    return section(text, "[cooler]", kind="finned pipe", conductance="12 W/K") + (
        f'\n[separator]\ndrain = "{separator}"\nbowl_volume = "{bowl}"\n'
    )


DRAIN = "drain_forgotten"


@pytest.mark.parametrize("drain", ["by hand", "none"])
def test_a_bowl_that_fills_within_a_shift(drain):
    assert ran(DRAIN, drains(separator=drain)) == [("holds", "caution")]
    assert ran(DRAIN, drains(separator=drain, bowl="5 L by plate")) == [("clear", "caution")]
    assert ran(DRAIN, drains(separator=drain, bowl="0.05..0.3 L")) == [("may hold", "notice")]


@pytest.mark.parametrize("drain", ["automatic", "unknown"])
def test_drains_that_nobody_opens_are_left_alone(drain):
    assert ran(DRAIN, drains(separator=drain, receiver=drain)) == []


@pytest.mark.parametrize(
    ("share", "by_hand", "none"),
    [("0.01 %", "caution", "caution"), ("0.05 %", "notice", "caution")],
)
def test_a_receiver_that_fills_within_a_day_or_a_week(share, by_hand, none):
    assert ran(DRAIN, drains(receiver="by hand", share=share)) == [("holds", by_hand)]
    assert ran(DRAIN, drains(receiver="none", share=share)) == [("holds", none)]


def test_a_receiver_that_lasts_more_than_a_week():
    assert {state for state, _ in ran(DRAIN, drains(receiver="by hand", share="30 %"))} == {"clear"}


# Sound and quiet hours.


@pytest.mark.parametrize(
    ("level", "state"),
    [
        ("75 dBA by sound meter", ("clear", "notice")),
        ("86 dBA by sound meter", ("holds", "notice")),
        ("95 dBA by sound meter", ("holds", "caution")),
        ("76..90 dBA", ("may hold", "notice")),
    ],
)
def test_sound_dose(level, state):
    text = changed(DIRECT, pump__sound_level=level).replace("altitude =", 'nearest_place = "1 m by tape", altitude =')
    assert ran("sound_dose", text) == [state]


QUIET = "quiet_hours_unmet"


@pytest.mark.parametrize(
    ("hours", "on", "states"),
    [
        ("never", "always", []),
        ("daily 20:00-07:00", "always", [("holds", "notice")]),
        ("daily 20:00-07:00", "Mon-Fri 06:30-17:00", [("holds", "notice")]),
        ("daily 20:00-07:00", "Mon-Fri 07:00-17:00", [("clear", "notice")]),
    ],
)
def test_quiet_hours_on_the_line(hours, on, states):
    assert ran(QUIET, DIRECT, control__quiet_hours=hours, control__hours=on) == states


@pytest.mark.parametrize(("quiet", "state"), [(None, "not told"), ("45 Hz", "clear")])
def test_quiet_hours_on_a_drive(quiet, state):
    assert ran(QUIET, DRIVEN, control__quiet_hours="daily 20:00-10:00", control__quiet=quiet) == [(state, "notice")]


# The pump and its motor.

STARTS = "starts_too_often"


@pytest.mark.parametrize(
    ("volume", "inertia", "state"),
    [
        ("900 L by plate", "0.1 kg m2 by maker", ("clear", "caution")),
        ("60 L by plate", "0.1 kg m2 by maker", ("holds", "caution")),
        ("60 L by plate", None, ("holds", "caution")),  # too many whatever the flywheel
        ("900 L by plate", "12 kg m2", ("holds", "caution")),
        ("150..600 L", "0.1 kg m2 by maker", ("may hold", "notice")),
    ],
)
def test_starts(volume, inertia, state):
    assert ran(STARTS, DIRECT, receiver__volume=volume, pump__flywheel_inertia=inertia) == [state]


def test_starts_that_only_an_unweighed_flywheel_makes_too_many_are_a_notice():
    lines = {"receiver__volume": "600 L by plate", "pump__flywheel_inertia": None}
    assert ran(STARTS, DIRECT, **lines, pump__flywheel_factor="400..500") == [("holds", "notice")]


def test_starts_on_a_drive_or_of_one_phase_have_no_such_limit():
    assert ran(STARTS, DRIVEN.replace("120 gal", "20 gal")) == []
    assert ran(STARTS, DIRECT, motor__phases=1, receiver__volume="60 L by plate") == []


def line(volume, **lines):
    """The loom shed with a hot line of a volume and a small receiver."""
    return changed(section(SHED, "[hot_line]", volume=volume) + LOOM, receiver__volume="100 L by plate", **lines)


VENTED = "restarts_before_vented"


@pytest.mark.parametrize(
    ("volume", "state"),
    [
        ("0.5 L", ("clear", "caution")),
        ("30 L by plate", ("holds", "caution")),
        ("1..7 L", ("may hold", "notice")),
    ],
)
def test_a_start_before_the_head_is_empty(volume, state):
    assert ran(VENTED, line(volume)) == [state]


@pytest.mark.parametrize("wait", ["control__minimum_off", "control__idle_time"])
def test_waiting_or_idling_empties_the_head(wait):
    assert ran(VENTED, line("30 L by plate", **{wait: "10 min"})) == [("clear", "caution")]


@pytest.mark.parametrize("unloader", ["none", "unknown"])
def test_a_head_without_an_unloader_is_not_asked(unloader):
    assert ran(VENTED, line("30 L by plate", pump__unloader=unloader)) == []


LONG = "runs_too_long"


@pytest.mark.parametrize(
    ("duty", "state"),
    [
        ("90 % by maker", ("clear", "caution")),
        ("20 % by maker", ("holds", "caution")),
        ("40..80 %", ("may hold", "notice")),
        (None, ("clear", "notice")),
    ],
)
def test_running_time(duty, state):
    assert ran(LONG, DIRECT, pump__longest_duty=duty) == [state]


def test_running_time_where_no_duty_is_told():
    busy = used(DIRECT, air="290 L/min ANR at 5 bar by maker", on="50 min")
    assert ran(LONG, busy) == [("holds", "notice")]
    assert ran(LONG, busy, pump__lubrication="pressure") == []
    assert ran(LONG, busy, pump__lubrication="pressure", pump__longest_duty="60 % by maker") == [("holds", "caution")]


def test_the_busiest_hour_is_one_of_work_and_no_more_than_all_of_it():
    share, hour = busiest_hour(weeks_of(used(DIRECT, when="Mon-Fri 09:00-10:00"), 256), 0)
    assert hour == 9
    assert share.shape == (PATHS,)
    assert np.all((share > 0.2) & (share < 0.7))


COLD = "pump_stays_cold"
SELDOM = {"on": "1 min", "off": "50 min"}


def test_a_pump_that_stays_cold():
    assert ran(COLD, used(DIRECT, air="290 L/min ANR at 5 bar by maker", on="50 min")) == [("clear", "caution")]
    assert ran(COLD, used(DIRECT, **SELDOM)) == [("holds", "caution")]
    assert ran(COLD, used(DIRECT, **SELDOM), pump__lubrication="oil-free") == []


def test_a_pump_may_stay_cold():
    assert ran(COLD, used(DIRECT, on="6 min", off="9 min")) == [("may hold", "notice")]


IDLES = "idles_too_long"


@pytest.mark.parametrize(
    ("idle", "states"),
    [
        (None, []),
        ("10 s", [("clear", "caution")]),
        ("20 min", [("holds", "caution")]),
        ("1..4 min", [("may hold", "notice")]),
    ],
)
def test_idling(idle, states):
    assert ran(IDLES, DIRECT, control__idle_time=idle) == states


HOT = "winding_hot_in_use"


@pytest.mark.parametrize(
    ("kind", "rise", "state"),
    [
        ("F", "80 K by maker", ("clear", "warning")),
        ("A", "190 K by maker", ("holds", "warning")),
        ("unknown", "80 K by maker", ("clear", "notice")),
        ("H", "80..190 K", ("clear", "warning")),
        ("A", "80..190 K", ("may hold", "notice")),
    ],
)
def test_windings(kind, rise, state):
    busy = used(DIRECT, air="290 L/min ANR at 5 bar by maker", on="50 min")
    assert ran(HOT, busy, motor__insulation_class=kind, motor__winding_rise=rise) == [state]


def test_windings_of_an_unknown_class_count_as_b():
    hot = used(DIRECT, air="290 L/min ANR at 5 bar by maker", on="50 min")
    lines = {"motor__winding_rise": "200 K by maker", "motor__power": "3.7 kW by plate", "motor__current": "7.7 A"}
    found = findings_of(changed(hot, **lines), HOT, through_days=True)
    assert [(f.state, f.signal) for f in found] == [("holds", "notice")]
    assert "not told" in found[0].says


def test_windings_of_a_motor_whose_power_is_only_told_are_a_notice():
    busy = used(DIRECT, air="290 L/min ANR at 5 bar by maker", on="50 min")
    lines = {"motor__insulation_class": "A", "motor__winding_rise": "190 K by maker"}
    assert ran(HOT, busy, **lines) == [("holds", "warning")]
    assert ran(HOT, busy, **lines, motor__power="5.5 kW") == [("holds", "notice")]


@pytest.mark.parametrize(("kind", "celsius"), [("A", 100), ("B", 120), ("F", 145), ("H", 165)])
def test_the_mean_of_a_winding_stays_below_its_hottest_spot(kind, celsius):
    assert winding_limit(kind) == pytest.approx(celsius + 273.15)


# A dryer's purge, at any time.


@pytest.mark.parametrize(
    ("kind", "flow", "states"),
    [
        ("desiccant, heatless", "200 L/min ANR by plate", [("clear", "caution")]),
        ("desiccant, heatless", "900 L/min ANR by plate", [("holds", "caution")]),
        ("desiccant, heatless", "150..400 L/min ANR", [("may hold", "notice")]),
        ("membrane", "1200 L/min ANR by plate", [("holds", "caution")]),
        ("refrigerated", "900 L/min ANR by plate", []),
    ],
)
def test_purge(kind, flow, states):
    text = section(SHED, "[dryer]", kind=kind, rated_flow=flow, rated_pressure="7 bar")
    assert states_of(text, "purge_takes_much") == states
