"""ISO 8573-1 classes, its reference conditions and designation, and what uses commonly ask for."""

import numpy as np
import pytest

from airfettle import tables
from airfettle.parts import air_quality as quality

SOURCE = "iso-8573-1"
SURE = "A"
CELSIUS = 273.15


@pytest.mark.parametrize(
    ("row", "number", "limits"),
    [
        ("Q01", 1, (20_000, 400, 10)),
        ("Q02", 2, (400_000, 6_000, 100)),
        ("Q03", 3, (None, 90_000, 1_000)),
        ("Q03", 4, (None, None, 10_000)),
        ("Q03", 5, (None, None, 100_000)),
    ],
)
def test_particles_by_count(published, row, number, limits):
    """At the printed limits the class is as printed; one particle more in any size makes it the next."""
    table = tables.load("iso_8573_particles")
    for column, limit in zip(("0.1 to 0.5 um", "0.5 to 1 um", "1 to 5 um"), limits, strict=True):
        read = table.numbers(column)[number - 1]
        if limit is None:
            assert np.isnan(read)
        else:
            published(row, printed=limit, computed=read, unit="1/m3", abs=0.0)
    small, middle, large = (0.0 if limit is None else float(limit) for limit in limits)
    published(row, printed=number, computed=quality.particle_class(small, middle=middle, large=large), unit="class",
              abs=0.0)  # fmt: skip
    following = quality.particle_class(small, middle=middle, large=large + 1.0)
    published(row, printed=number + 1 if number < 5 else quality.CLASS_X, computed=following, unit="class", abs=0.0)


@pytest.mark.parametrize(("content", "number"), [(5, 6), (5.01, 7), (10, 7), (10.01, quality.CLASS_X)])
def test_particles_by_mass(published, content, number):
    computed = quality.particle_class_by_mass(content * 1e-6)
    published("Q04", printed=number, computed=computed, unit="class", abs=0.0)


@pytest.mark.parametrize(("number", "dew"), list(enumerate([-70, -40, -20, 3, 7, 10], start=1)))
def test_water_by_dew_point(published, number, dew):
    published("Q05", printed=number, computed=quality.water_class(dew + CELSIUS), unit="class", abs=0.0)
    above = quality.water_class(dew + 0.01 + CELSIUS)
    published("Q05", printed=number + 1, computed=above, unit="class", abs=0.0)


@pytest.mark.parametrize(("content", "number"), [(0.5, 7), (5, 8), (10, 9), (10.01, quality.CLASS_X)])
def test_water_by_liquid(published, content, number):
    computed = quality.water_class(3.0 + CELSIUS, liquid=content * 1e-3)
    published("Q06", printed=number, computed=computed, unit="class", abs=0.0)


@pytest.mark.parametrize(("content", "number"), [(0.01, 1), (0.1, 2), (1, 3), (5, 4), (5.01, quality.CLASS_X)])
def test_oil(published, content, number):
    published("Q07", printed=number, computed=quality.oil_class(content * 1e-6), unit="class", abs=0.0)


def test_reference_conditions(published):
    """A kilogram of dry air at 20 degC and 1 bar fills R T/p: 1 mg in it is so much in a cubic metre."""
    volume = 287.055 * (20.0 + CELSIUS) / 1e5
    computed = quality.content_at_reference(1e-6, dry_air_flow=1.0)
    published("Q08", printed=1e-6 / volume, computed=computed, unit="kg/m3", rel=1e-12)
    published("Q08", printed=20.0, computed=quality.REFERENCE_TEMPERATURE - CELSIUS, unit="degC", abs=1e-9)
    published("Q08", printed=1.0, computed=quality.REFERENCE_PRESSURE / 1e5, unit="bar absolute", abs=0.0)


def test_designation(published):
    written = quality.designation(1, water=4, oil=2)
    for place, printed in enumerate((1, 4, 2)):
        computed = int(written.partition("[")[2].rstrip("]").split(":")[place])
        published("Q09", printed=printed, computed=computed, unit="class", abs=0.0)
    assert quality.designation(4, water=4, oil=quality.NOT_SAID) == "ISO 8573-1:2010 [4:4:-]"
    assert quality.designation(quality.CLASS_X, water=7, oil=quality.CLASS_X) == "ISO 8573-1:2010 [X:7:X]"


def test_dew_points_in_fahrenheit(published):
    printed = (-94.0, -40.0, -4.0, 37.4, 44.6, 50.0)
    for value, celsius in zip(printed, tables.load("iso_8573_water_vapour").numbers("dew point"), strict=True):
        published("Q10", printed=value, computed=celsius * 1.8 + 32.0, unit="degF", abs=0.1, sure="C")


@pytest.mark.parametrize(
    ("use", "particles", "water", "oil"),
    [
        ("blast cabinet", None, (4, 6), None),
        ("general tools", (4, 4), (4, 6), (4, 4)),
        ("spray finishing", (1, 2), (4, 4), (1, 2)),
        ("plasma or laser assist", (1, 2), (2, 4), (1, 2)),
    ],
)
def test_what_uses_ask_for(published, use, particles, water, oil):
    need = quality.need_of(use)
    for what, printed in (("particles", particles), ("water", water), ("oil", oil)):
        ends = printed or (quality.NOT_SAID, quality.NOT_SAID)
        for end, computed in zip(ends, getattr(need, what), strict=True):
            published("Q21", printed=end, computed=computed, unit="class", abs=0.0, sure="CP", source="practice")


def test_uses_that_want_a_dryer(published):
    printed = {"paint spraying", "sandblasting", "air-operated tools", "pneumatic controls", "pipe through cold places"}
    kept = set(tables.load("dryer_needed").words("use"))
    published("Q22", printed=0, computed=len(printed ^ kept), unit="uses that differ", abs=0.0,
              source="ufc-3-420-02fa")  # fmt: skip
