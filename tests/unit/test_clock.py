"""The hours of a shop: what can be read, and what is sent away with what would be right."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airfettle.errors import UnreadableHours
from airfettle.quantity.clock import DAY, DAYS, WEEK, clock_text, read_hours

HOUR = 3600.0


def windows(text):
    return [(a / HOUR, b / HOUR) for a, b in read_hours(text).windows]


READ = [
    ("Mon 08:00-12:00", [(8, 12)]),
    ("monday 8:00-12:00", [(8, 12)]),
    ("TUE 08:00 - 12:00", [(32, 36)]),
    ("Tue 08:00–12:00", [(32, 36)]),
    ("Mon, Wed 08:00-09:00", [(8, 9), (56, 57)]),
    ("Mon Wed 08:00-09:00", [(8, 9), (56, 57)]),
    ("Mon 08:00-09:00 10:00-11:00, Tue 08:00-09:00", [(8, 9), (10, 11), (32, 33)]),
    ("Tue 08:00-09:00, Mon 08:00-09:00", [(8, 9), (32, 33)]),
    ("Sun-Mon 08:00-09:00", [(8, 9), (152, 153)]),
    ("Mon 08:00-12:00 11:00-13:00", [(8, 13)]),
    ("Mon 08:00-12:00 12:00-13:00", [(8, 13)]),
    ("Mon 08:00-12:00 09:00-10:00", [(8, 12)]),
    ("Mon 22:00-06:00", [(22, 30)]),
    ("Mon 22:00-00:00", [(22, 24)]),
    ("Mon 22:00-24:00", [(22, 24)]),
    ("Sun 22:00-06:00", [(0, 6), (166, 168)]),
    ("Mon-Tue 22:00-24:00 00:00-06:00", [(0, 6), (22, 30), (46, 48)]),
    ("always", [(0, 168)]),
    ("daily 00:00-24:00", [(0, 168)]),
    ("Mon-Mon 08:00-09:00", [(8, 9)]),
    ("Mon-Sun 08:00-09:00", [(24 * day + 8, 24 * day + 9) for day in range(7)]),
    ("daily 08:00-09:00", [(24 * day + 8, 24 * day + 9) for day in range(7)]),
]


@pytest.mark.parametrize(("text", "hours"), READ, ids=[text for text, _ in READ])
def test_what_is_read(text, hours):
    assert windows(text) == hours
    assert read_hours(text).open_share() == pytest.approx(sum(b - a for a, b in hours) / 168)


REFUSED = [
    ("", "leave the line out"), ("Mon", "say from when to when"), ("Mon-Fri", "say from when to when"),
    ("08:00-12:00", "Mon-Fri 08:00-12:00"), ("Mon 8-12", "24-hour clock"), ("Mon 08:00", "both ends"),
    ("Mon-Fri 8 to 5", "24-hour clock"), ("Mon 8am-5pm", "24-hour clock"), ("Mon 08.00-12.00", "24-hour clock"),
    ("Mon,, Tue 08:00-09:00", "comma"), ("Mon 08:00-09:00,", "comma"), ("Funday 08:00-09:00", "'funday' is no day"),
    ("Mon-Fry 08:00-09:00", "'fry' is no day"), ("Mon 24:00-06:00", "00:00 to 23:59"),
    ("Mon 08:60-09:00", "00:00 to 23:59"), ("Mon 08:00-24:01", "00:00 to 23:59"), ("Mon 08:00-25:00", "00:00 to 23:59"),
    ("Mon 08:00-08:00", "no length"), ("Mon always", "stands alone"), ("Mon 08:00-09:00 Tue", "say from when to when"),
    ("Mon 08:00-09:00 " * 100, "400 characters"), ("sometimes", "'sometimes' is no day"), ("Mon 8:0-9:00", "24-hour"),
    ("-", "is no day"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "try_"), REFUSED, ids=[text[:30] for text, _ in REFUSED])
def test_what_is_sent_away_with_what_would_be_right(text, try_):
    with pytest.raises(UnreadableHours) as caught:
        read_hours(text, where="plant.toml, line 3, use.when")
    assert try_ in caught.value.instead
    assert "Mon-Fri 08:00-12:00" in caught.value.wanted
    assert caught.value.where == "plant.toml, line 3, use.when"
    assert text[:50] in caught.value.read


@given(st.text(alphabet="MonTueFri ,-:0189andilyws", max_size=40))
def test_any_text_is_read_or_sent_away(text):
    try:
        hours = read_hours(text)
    except UnreadableHours:
        return
    flat = np.array(hours.windows).ravel()
    assert np.all(np.diff(flat) > 0)
    assert flat[0] >= 0
    assert flat[-1] <= WEEK
    assert read_hours(hours.text).windows == hours.windows


stretches = st.lists(
    st.tuples(st.integers(0, 6), st.integers(0, 1439), st.integers(0, 1440)).filter(lambda s: s[1] != s[2]),
    min_size=1, max_size=6,
)  # fmt: skip


def minutes_open(each):
    """Minutes of the week that are open, counted one by one."""
    found = np.zeros(10_080, dtype=bool)
    for day, begin, end in each:
        length = end - begin if end > begin else end + 1440 - begin
        found[(day * 1440 + begin + np.arange(length)) % 10_080] = True
    return found


def written(each):
    return ", ".join(f"{DAYS[d]} {a // 60:02d}:{a % 60:02d}-{b // 60:02d}:{b % 60:02d}" for d, a, b in each)


@given(stretches, st.integers(0, 3 * 10_080), st.integers(1, 2 * 10_080))
def test_windows_are_the_minutes_that_are_written(each, start, length):
    hours, minutes = read_hours(written(each)), minutes_open(each)
    assert hours.open_share() == pytest.approx(minutes.mean(), rel=1e-12)
    wanted = minutes[(start + np.arange(length)) % 10_080]
    found = np.zeros(length, dtype=bool)
    opened = hours.opened(60.0 * start, length=60.0 * length)
    for a, b in opened / 60.0 - start:
        found[round(a) : round(b)] = True
    assert np.array_equal(found, wanted)
    assert np.all(np.diff(opened.ravel()) > 0)  # a window over the end of a week is one, and none touch


def test_windows_are_cut_at_the_ends_of_a_stretch_of_time():
    hours = read_hours("Mon-Fri 08:00-16:00")
    assert hours.opened(12 * HOUR, length=DAY).tolist() == [[12 * HOUR, 16 * HOUR], [32 * HOUR, 36 * HOUR]]
    assert hours.opened(5 * DAY, length=DAY).shape == (0, 2)
    assert read_hours("always").opened(WEEK / 2, length=3 * WEEK).tolist() == [[WEEK / 2, 3.5 * WEEK]]


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0, "Mon 00:00"), (28_799.9999999, "Mon 08:00"), (28_799, "Mon 07:59"), (WEEK, "Mon 00:00"), (-60, "Sun 23:59"),
     (DAY + 14 * HOUR + 5 * 60 + 59, "Tue 14:05"), (10 * WEEK + 6 * DAY, "Sun 00:00")],
)  # fmt: skip
def test_a_time_as_day_and_clock(seconds, text):
    assert clock_text(seconds) == text
