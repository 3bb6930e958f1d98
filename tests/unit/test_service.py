"""Care: what which pump needs, and when it is due at a use."""

import numpy as np
import pytest

from airfettle import tables
from airfettle.parts.service import NEVER, ServiceItem, service_due, service_items

DAY, HOUR = 86_400.0, 3600.0
EVERYTHING = {"belt", "relief valve", "receiver", "drain by hand", "separator", "filter", "drive", "no drive"}


def names(lubrication, fitted=EVERYTHING):
    return {item.name for item in service_items(lubrication, fitted=fitted)}


def test_oil_is_changed_where_there_is_oil_by_how_it_is_oiled():
    assert {"oil level", "oil, splash"} <= names("splash")
    assert "oil, pressure pump" not in names("splash")
    assert {"oil level", "oil, pressure pump"} <= names("pressure")
    assert "oil, splash" not in names("pressure")
    assert not {name for name in names("oil-free") if name.startswith("oil")}
    assert "piston rings" in names("oil-free") - names("splash")


def test_where_nobody_told_the_pump_is_cared_for_as_splash_oiled():
    assert names("unknown") == names("splash")


@pytest.mark.parametrize(
    ("part", "item"),
    [("belt", "belt"), ("drive", "drive's fan and fins"), ("no drive", "contacts"), ("filter", "filter element"),
     ("drain by hand", "receiver's drain, open"), ("relief valve", "relief valve, lift")],
)  # fmt: skip
def test_what_is_not_fitted_needs_no_care(part, item):
    assert item in names("splash", {part})
    assert item not in names("splash", EVERYTHING - {part})


def test_every_item_has_an_interval_and_every_word_of_the_table_is_known():
    table = tables.load("service_intervals")
    assert set(table.words("fitted")) == EVERYTHING | {"any"}
    assert set(table.words("lubrication")) == {"any", "oiled", "splash", "pressure", "oil-free"}
    for lubrication in ("splash", "pressure", "oil-free"):
        for item in service_items(lubrication, fitted=EVERYTHING):
            assert min(item.running, item.starts, item.calendar) < NEVER
            assert item.do
            assert "danger" not in item.do


def test_whichever_comes_first():
    item = ServiceItem("oil", "change it", running=500 * HOUR, starts=1e4, calendar=182 * DAY)
    due = service_due(item, running_share=[0.5, 0.01, 0.01], start_rate=[1e-6, 1e-6, 0.01])
    assert due.first / DAY == pytest.approx([500 / 24 / 0.5, 182, 1e4 / 0.01 / DAY])
    assert due.by_running / DAY == pytest.approx([500 / 12, 500 / 0.24, 500 / 0.24])
    assert np.all(due.by_calendar == 182 * DAY)


def test_what_never_runs_is_due_by_the_calendar_alone():
    item = ServiceItem("belt", "look", running=500 * HOUR, starts=NEVER, calendar=91 * DAY)
    due = service_due(item, running_share=0.0, start_rate=0.0)
    assert due.first == 91 * DAY
    assert due.by_running == pytest.approx(NEVER)
    assert due.by_starts == NEVER


def test_twice_the_running_halves_the_time():
    item = ServiceItem("valves", "look", running=2000 * HOUR, starts=NEVER, calendar=NEVER)
    once, twice = service_due(item, running_share=[0.2, 0.4], start_rate=0.0).first
    assert once == pytest.approx(2.0 * twice)
