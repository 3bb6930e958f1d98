"""The speed window: ends against trying every tenth of a hertz, what binds, and plants without one."""

from pathlib import Path

import numpy as np
import pytest
from plant_cases import plant_of

from airfettle.store.plant_file import read_plant
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.limits.declared import LIMITS
from airfettle.studies.limits.margins import margins
from airfettle.studies.speed_window import at_both_ends, speed_windows

ROOT = Path(__file__).parents[2]
STEP = 0.1
ROWS = 128


def tried(drawn, place, low, high, certainty):
    """Which limits hold at every tenth of a hertz, by trying: limit -> array of yes or no."""
    numbers = complete(drawn)
    hertz = np.round(np.arange(low, high + STEP / 2, STEP), 6)
    holds = {}
    for some in np.array_split(hertz, 12):
        state = at_both_ends(drawn, numbers, some)
        for name, margin in margins(drawn, numbers, state, place=place).items():
            worst = np.broadcast_to(margin.min(axis=2), (drawn.rows, some.size))
            holds.setdefault(name, []).append(np.mean(worst >= 0.0, axis=0) >= certainty - 1e-9)
    return hertz, {name: np.concatenate(parts) for name, parts in holds.items()}


@pytest.mark.parametrize(
    ("file", "certainty"),
    [("examples/canoe_works.toml", 0.95), ("examples/cycle_frames.toml", 0.8), ("tests/plants/kite_shed.toml", 0.95)],
)
def test_ends_agree_with_trying_every_tenth_of_a_hertz(file, certainty):
    drawn = draw(read_plant(ROOT / file), rows=ROWS)
    (window,) = speed_windows(drawn, certainty=certainty)
    hertz, holds = tried(drawn, 0, *window.looked, certainty)
    for r in window.ranges:
        if r.nowhere:
            assert not holds[r.limit.name].any()
            continue
        good = hertz[holds[r.limit.name]]
        inside = good[(good >= (r.lowest or 0.0) - STEP) & (good <= (r.highest or 1e9) + STEP)]
        assert inside.size
        if r.lowest is not None:
            assert inside.min() == pytest.approx(r.lowest, abs=STEP + 1e-6)
        if r.highest is not None:
            assert inside.max() == pytest.approx(r.highest, abs=STEP + 1e-6)
    curable = [r.limit.name for r in window.ranges if not r.nowhere]
    all_hold = np.all([holds[name] for name in curable], axis=0)
    inside = hertz[all_hold]
    assert inside.min() == pytest.approx(window.lowest.frequency, abs=STEP + 1e-6)
    assert inside.max() == pytest.approx(window.highest.frequency, abs=STEP + 1e-6)


def test_the_binding_limit_is_the_one_that_breaks_first_outside():
    drawn = draw(read_plant(ROOT / "examples/canoe_works.toml"), rows=ROWS)
    (window,) = speed_windows(drawn)
    numbers = complete(drawn)
    for end, outside in ((window.lowest, -0.15), (window.highest, 0.15)):
        state = at_both_ends(drawn, numbers, np.array([end.frequency + outside]))
        shares = {n: np.mean(m.min(axis=2) >= 0.0) for n, m in margins(drawn, numbers, state).items()}
        assert shares[end.binding.name] < 0.95
    assert window.lowest.binding.name == "pump_floor"
    assert window.highest.binding.name == "pump_overspeed"


def test_a_motor_on_the_line_has_one_speed():
    (window,) = speed_windows(draw(read_plant(ROOT / "examples/glass_studio.toml"), rows=ROWS))
    assert window.direct
    assert window.lowest.frequency == window.highest.frequency == 50.0


def test_an_overload_is_not_cured_by_speed():
    """A piston pump asks for the same torque at any speed: the limit is told apart, and the window goes on without."""
    text = """
    [motor]
    known = "nameplate"
    power = "1.5 kW"
    voltage = "400 V"
    frequency = "50 Hz"
    speed = "1440 rpm"
    [belt]
    ratio = "1.7"
    [pump]
    known = "nameplate"
    displacement = "1.2 L"
    maximum_speed = "1100 rpm"
    minimum_speed = "400 rpm"
    """
    (window,) = speed_windows(draw(plant_of(text), rows=ROWS))
    assert "motor_torque" in {r.limit.name for r in window.nowhere}
    assert window.highest is not None


def test_limits_that_exclude_each_other_leave_no_window():
    text = """
    [pump]
    known = "nameplate"
    displacement = "0.4 L"
    maximum_speed = "800 rpm"
    minimum_speed = "780 rpm"
    [belt]
    motor_sheave = "125 mm by tape"
    pump_sheave = "300 mm by tape"
    [motor]
    known = "nameplate"
    power = "4 kW"
    speed = "1450 rpm"
    """
    (window,) = speed_windows(draw(plant_of(text), rows=ROWS))
    assert window.lowest is None
    assert window.highest is None
    assert not window.nowhere


def test_more_certainty_never_widens():
    drawn = draw(read_plant(ROOT / "tests/plants/kite_shed.toml"), rows=ROWS)
    before = None
    for certainty in (0.5, 0.8, 0.95):
        (window,) = speed_windows(drawn, certainty=certainty)
        if window.lowest is None:
            break
        ends = (window.lowest.frequency, window.highest.frequency)
        if before:
            assert ends[0] >= before[0] - 0.05
            assert ends[1] <= before[1] + 0.05
        before = ends


def test_every_limit_has_what_an_owner_needs():
    assert len({limit.name for limit in LIMITS}) == len(LIMITS)
    assert all(limit.label and limit.equation and limit.sources for limit in LIMITS)
