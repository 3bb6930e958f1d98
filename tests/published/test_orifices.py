"""Holes, nozzles, couplers and leaks against printed values."""

import fluids
import numpy as np
import pytest

from airfettle import tables
from airfettle.air import nozzle

SOURCE = "orifice-sheet"
SURE = "A"

PSI = 6894.757293
INCH = 0.0254
CFM = 0.3048**3 / 60.0
GALLON = 231.0 * INCH**3
ATM = 14.7 * PSI
SEVENTY = 273.15 + (70.0 - 32.0) / 1.8
GAUGES = (70, 80, 90, 100, 125)


def leak(inches, gauge, coefficient=1.0):
    """Free air at 70 degF from air at 70 degF, in cubic feet a minute."""
    flow = nozzle.orifice_leak(
        inches * INCH,
        pressure=gauge * PSI + ATM,
        temperature=SEVENTY,
        discharge_coefficient=coefficient,
        atmosphere=ATM,
    )
    return flow / CFM


SHEET = [
    ("L01", 1 / 64, (100,), (0.406,)),
    ("L02", 1 / 32, (100,), (1.62,)),
    ("L03", 1 / 16, GAUGES, (4.79, 5.36, 5.92, 6.49, 7.90)),
    ("L04", 1 / 8, GAUGES, (19.2, 21.4, 23.7, 26.0, 31.6)),
    ("L06", 3 / 8, GAUGES, (173, 193, 213, 234, 284)),
    ("L07 half inch", 1 / 2, (100,), (415,)),
    ("L07 one inch", 1, (100,), (1661,)),
]


@pytest.mark.parametrize(("row", "inches", "gauges", "printed"), SHEET)
def test_reference_sheet(published, row, inches, gauges, printed):
    for gauge, flow in zip(gauges, printed, strict=True):
        published(f"{row} at {gauge} psig", printed=flow, computed=leak(inches, gauge), unit="cfm", rel=0.01)


def test_edges(published):
    table = tables.load("orifice_edges")
    rows = zip(table.words("edge"), table.words("printed in"), table.numbers("multiplier"), strict=True)
    found = {(edge, source): multiplier for edge, source, multiplier in rows}
    wanted = [
        ("well rounded", "orifice-sheet", 0.97, "A"),
        ("sharp", "orifice-sheet", 0.65, "A"),
        ("sharp", "doe-air-tip-3", 0.61, "M"),
    ]
    for edge, source, printed, sure in wanted:
        published(f"L09 {edge}, {source}", printed=printed, computed=found[edge, source], unit="-", rel=0.0, sure=sure,
                  source=source)  # fmt: skip


SHARP = [
    ("L10", 1 / 16, (3.2, 3.5, 3.8)),
    ("L11", 1 / 8, (12.7, 14.1, 15.4)),
    ("L12", 1 / 4, (51, 56, 62)),
]


@pytest.mark.parametrize(("row", "inches", "printed"), SHARP)
def test_sharp_holes(published, row, inches, printed):
    """The estimates are the tip sheet's flows, which have 0.97 in them already, times 0.61."""
    for gauge, flow in zip((80, 90, 100), printed, strict=True):
        published(
            f"{row} at {gauge} psig", printed=flow, computed=leak(inches, gauge, 0.61 * 0.97), unit="cfm", rel=0.03,
            sure="B", source="orifice-sharp-estimates",
        )  # fmt: skip


ODD = "from memory, and a quarter of the same sheet's 1/16 in flow is 1.31"
TIP_SHEET = [
    ("L13", 1 / 64, (0.29, 0.32, 0.36, 0.40, 0.48)),
    ("L14", 1 / 32, (1.16, 1.26, 1.46, 1.55, 1.94)),
    ("L15", 1 / 16, (4.66, 5.24, 5.72, 6.31, 7.66)),
    ("L16", 1 / 8, (18.62, 20.76, 23.1, 25.22, 30.65)),
    ("L17", 1 / 4, (74.4, 83.1, 92.0, 100.9, 122.2)),
    ("L18", 3 / 8, (167.8, 187.2, 206.6, 227, 275.5)),
]


@pytest.mark.parametrize(("row", "inches", "printed"), TIP_SHEET)
def test_tip_sheet(published, row, inches, printed):
    for gauge, flow in zip(GAUGES, printed, strict=True):
        published(
            f"{row} at {gauge} psig", printed=flow, computed=leak(inches, gauge, 0.97), unit="cfm", rel=0.03,
            sure="M", source="doe-air-tip-3", disagrees=ODD if (row, gauge) == ("L14", 80) else "",
        )  # fmt: skip


def test_ideal_nozzle(published):
    published("L19", printed=6.512, computed=leak(1 / 16, 100), unit="cfm", rel=0.005, sure="C", source="physics")
    mass = nozzle.nozzle_mass_flow(
        np.pi / 4 * (INCH / 16) ** 2, pressure=114.7 * PSI, temperature=SEVENTY, downstream_pressure=ATM
    )
    published("L19 mass", printed=3.688e-3, computed=mass, unit="kg/s", rel=0.005, sure="C", source="physics")


@pytest.mark.parametrize(("coefficient", "printed"), [(0.97, 101.1), (0.61, 63.6)])
def test_quarter_inch(published, coefficient, printed):
    computed = leak(1 / 4, 100, coefficient)
    published(f"L20, coefficient {coefficient:g}", printed=printed, computed=computed, unit="cfm", rel=0.005, sure="C",
              source="physics")  # fmt: skip


def test_critical_ratio(published):
    computed = nozzle.critical_pressure_ratio(1.4)
    published("L21", printed=0.52828, computed=computed, unit="-", abs=1e-4, sure="A*", source="choked-flow-tutorial")
    expected = fluids.P_critical_flow(P=1.0, k=1.4)
    published("L21, open library", printed=expected, computed=computed, unit="-", abs=1e-9, sure="C", source="physics")


def test_highest_choked_back_pressure(published):
    computed = nozzle.critical_pressure_ratio() * 94.7 - 14.7
    published("L22", printed=35.30, computed=computed, unit="psig", abs=0.2, source="choked-flow-tutorial")


def sonic(ratio, **changes):
    given = {"pressure": 7e5, "temperature": 293.15, "critical_ratio": 0.3} | changes
    return nozzle.conductance_mass_flow(2e-8, downstream_pressure=ratio * given["pressure"], **given)


def test_form_of_the_standard(published):
    """L23: choked flow goes with pressure and the root of temperature, then an ellipse, then a straight line."""
    choked = 2e-8 * 5e5 * 1.185 * np.sqrt(293.15 / 320.0)
    ellipse = choked * np.sqrt(1 - ((0.7 - 0.2) / 0.8) ** 2)
    straight = choked * np.sqrt(1 - ((0.995 - 0.2) / 0.8) ** 2) * (1 - 0.998) / (1 - 0.995)
    for name, ratio, printed in (("choked", 0.1, choked), ("ellipse", 0.7, ellipse), ("laminar", 0.998, straight)):
        computed = sonic(ratio, pressure=5e5, temperature=320.0, critical_ratio=0.2, laminar_from=0.995)
        published(f"L23 {name}", printed=printed, computed=computed, unit="kg/s", rel=1e-12, source="iso-6358")


@pytest.mark.parametrize(("ratio", "printed"), [(0.3, 0.016590), (0.8, 0.011611), (0.9, 0.008545)])
def test_sonic_conductance(published, ratio, printed):
    published(f"L24 at {ratio:g}", printed=printed, computed=sonic(ratio), unit="kg/s", rel=0.001, sure="C",
              source="iso-6358")  # fmt: skip


def test_conductance_of_a_nozzle(published):
    computed = nozzle.nozzle_conductance(1.0)
    published("L25", printed=1.992e-3, computed=computed, unit="m3/(s Pa m2)", rel=0.005, sure="C", source="physics")
    computed = nozzle.nozzle_conductance(np.pi / 4 * (INCH / 16) ** 2)
    published(
        "L25, 1/16 in", printed=3.943e-9, computed=computed, unit="m3/(s Pa)", rel=0.005, sure="C", source="physics"
    )


@pytest.mark.parametrize(("b", "printed"), [(0.1, 4.689), (0.2, 4.421), (0.3, 4.135), (0.4, 3.829), (0.5, 3.495)])
def test_conductance_of_a_coupler(published, b, printed):
    computed = nozzle.conductance_of_cv(1.0, critical_ratio=b) * 1e8
    published(
        f"conductance of Cv 1, b {b:g}", printed=printed, computed=computed, unit="dm3/(s bar)", rel=2e-4, sure="C",
        source="airfettle-equations",
    )  # fmt: skip


def test_bleed_down(published):
    """L29: the rule itself, on numbers of its own; L30: the worked case and the exact decay."""
    computed = nozzle.bleed_down_leak(2.0, pressure_start=8e5, pressure_end=4e5, time=100.0, atmosphere=1e5)
    printed = 2.0 * (8e5 - 4e5) / (100.0 * 1e5) * 1.25
    published("L29", printed=printed, computed=computed, unit="m3/s", rel=1e-12, sure="B", source="doe-sourcebook")
    volume = 100.0 * GALLON
    rule = nozzle.bleed_down_leak(volume, pressure_start=100 * PSI, pressure_end=50 * PSI, time=600.0, atmosphere=ATM)
    published("L30", printed=5.68, computed=rule / CFM, unit="cfm", rel=0.01, sure="C", source="doe-sourcebook")
    exact = nozzle.decay_leak(volume, pressure_start=114.7 * PSI, pressure_end=64.7 * PSI, time=600.0, atmosphere=ATM)
    published("L30, decay", printed=5.97, computed=exact / CFM, unit="cfm", rel=0.01, sure="C", source="physics")
