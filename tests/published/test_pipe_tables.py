"""Stock pipe, its ratings and supports, and fittings against printed tables."""

from dataclasses import replace

import fluids
import numpy as np
import pytest

from airfettle import tables
from airfettle.parts.fittings import fittings_length, fittings_loss, turbulent_friction
from airfettle.parts.pipe_stock import rated_pressure, read_pipe, sizes, support_spacing, tube_pressure

SOURCE = "asme-b36-10"
SURE = "A"

PSI, FOOT, INCH, POUND = 6894.757293168361, 0.3048, 0.0254, 0.45359237
SIX = ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2")


def fahrenheit(degrees):
    return (degrees + 459.67) / 1.8


BORES = [
    ("P25", "steel 40", (0.622, 0.824, 1.049, 1.380, 1.610, 2.067), "asme-b36-10"),
    ("P26", "steel 80", (0.546, 0.742, 0.957, 1.278, 1.500, 1.939), "asme-b36-10"),
    ("P27", "copper L", (0.545, 0.785, 1.025, 1.265, 1.505, 1.985), "astm-b88"),
    ("P28", "copper M", (0.569, 0.811, 1.055, 1.291, 1.527, 2.009), "astm-b88"),
]


@pytest.mark.parametrize(("row", "material", "printed", "source"), BORES)
def test_bores(published, row, material, printed, source):
    for size, bore in zip(SIX, printed, strict=True):
        stock = read_pipe(f"{material} {size} in")
        published(f"{row}, {size} in", printed=bore, computed=stock.bore / INCH, unit="in", abs=0.001, source=source)
        assert stock.outside - 2.0 * stock.wall == pytest.approx(stock.bore, abs=0.0011 * INCH)


def test_outsides_and_walls(published):
    printed = ((0.840, 0.109), (1.050, 0.113), (1.315, 0.133), (1.660, 0.140), (1.900, 0.145), (2.375, 0.154))
    for size, (outside, wall) in zip(SIX, printed, strict=True):
        steel = read_pipe(f"steel 40 {size} in")
        published(f"P25 outside, {size} in", printed=outside, computed=steel.outside / INCH, unit="in", abs=0.001)
        published(f"P25 wall, {size} in", printed=wall, computed=steel.wall / INCH, unit="in", abs=0.001)
    for size, nominal in zip(SIX, (0.5, 0.75, 1.0, 1.25, 1.5, 2.0), strict=True):
        for kind in "LM":
            copper = read_pipe(f"copper {kind} {size} in")
            published(f"P27 outside of type {kind}, {size} in", printed=nominal + 0.125,
                      computed=copper.outside / INCH, unit="in", abs=0.001, source="astm-b88")  # fmt: skip


def test_pex(published):
    table = tables.load("pipe_pex")
    printed = {
        "1/2": (0.625, 0.070, 0.485, 0.475),
        "3/4": (0.875, 0.097, 0.681, 0.671),
        "1": (1.125, 0.125, 0.875, 0.863),
    }
    for size, (outside, wall, thin, usual) in printed.items():
        stock, row = read_pipe(f"PEX {size} in"), table.words("size").index(f"{size} in")
        for name, inches, computed, sure in (
            ("outside", outside, stock.outside, "A"), ("wall", wall, stock.wall, "A"),
            ("bore at least wall", thin, float(table.numbers("bore at least wall")[row]) * INCH, "A"),
            ("average bore", usual, stock.bore, "B" if size == "1/2" else "M"),
        ):  # fmt: skip
            published(f"P29 {name}, {size} in", printed=inches, computed=computed / INCH, unit="in", abs=0.001,
                      sure=sure, source="astm-f876")  # fmt: skip
    bores = np.array([read_pipe(f"PEX {size}").bore for size in sizes("PEX")]) / INCH
    assert np.all(bores < table.numbers("bore at least wall")), "a wall is never thinner than the least"


def test_pex_rating(published):
    for degrees, psi in ((73.0, 160.0), (180.0, 100.0)):
        rated = float(rated_pressure(read_pipe("PEX 3/4 in"), temperature=fahrenheit(degrees)))
        published(f"P30 at {degrees:g} degF", printed=psi, computed=rated / PSI, unit="psi", rel=1e-9, sure="B",
                  source="astm-f876")  # fmt: skip


@pytest.mark.parametrize("text", ["PVC 3/4 in", "CPVC 1/2 in", "PVC 21 mm bore"])
def test_pvc_is_not_for_air(published, text):
    stock = read_pipe(text)
    rated = float(rated_pressure(stock, temperature=293.15))
    published(f"P35: {text} may carry", printed=0.0, computed=rated, unit="Pa", abs=0.0, source="osha-plastic-pipe")
    assert stock.refused


@pytest.mark.parametrize(("material", "schedule"), [("steel 40", "40"), ("steel 80", "80"), ("stainless 10S", "10S")])
def test_schedules_of_a_library(published, material, schedule):
    for size in sizes(material):
        stock = read_pipe(f"{material} {size}")
        whole, _, part = size.removesuffix(" in").rpartition("-")
        top, _, bottom = part.partition("/")
        nominal = float(whole or 0.0) + float(top) / float(bottom or 1.0)
        _, bore, outside, wall = fluids.nearest_pipe(NPS=nominal, schedule=schedule)
        for name, library, ours in (("bore", bore, stock.bore), ("outside", outside, stock.outside),
                                    ("wall", wall, stock.wall)):  # fmt: skip
            published(f"PT01 {name} of {material} {size}", printed=library * 1e3, computed=ours * 1e3, unit="mm",
                      abs=0.08, sure="C", source="fluids")  # fmt: skip


DEGREES = (100.0, 150.0, 200.0, 250.0, 300.0, 350.0, 400.0)
TYPE_M = {
    "3/8": (570, 485, 466, 456, 447, 380, 285), "1/2": (494, 420, 403, 395, 387, 329, 247),
    "3/4": (407, 346, 332, 326, 319, 271, 204), "1": (337, 286, 275, 270, 264, 225, 169),
    "1-1/4": (338, 287, 276, 271, 265, 225, 169), "1-1/2": (331, 282, 270, 265, 259, 221, 166),
    "2": (299, 254, 244, 239, 234, 199, 149),
}  # fmt: skip
TYPE_L_AT_150 = {"1/4": 775, "3/8": 662, "1/2": 613, "5/8": 537, "3/4": 495, "1": 420, "1-1/4": 373, "1-1/2": 347,
                 "2": 309}  # fmt: skip


@pytest.mark.parametrize("size", TYPE_M)
def test_annealed_type_m(published, size):
    found = tube_pressure(read_pipe(f"copper M brazed {size} in"), temperature=fahrenheit(np.array(DEGREES))) / PSI
    for degrees, printed, computed in zip(DEGREES, TYPE_M[size], found, strict=True):
        published(f"PT02 type M {size} in at {degrees:g} degF", printed=printed, computed=computed, unit="psi", abs=1.0,
                  source="copper-tube-handbook")  # fmt: skip


def test_annealed_type_l(published):
    for size, printed in TYPE_L_AT_150.items():
        computed = float(tube_pressure(read_pipe(f"copper L {size} in"), temperature=fahrenheit(150.0))) / PSI
        published(f"PT03 type L {size} in at 150 degF", printed=printed, computed=computed, unit="psi", abs=1.0,
                  sure="B", source="copper-tube-handbook")  # fmt: skip


def test_the_formula_for_tube_in_millimetres(published):
    """The printed ratings of types L and M come from this formula and the thinnest wall that the standard lets pass."""
    metric = read_pipe("copper EN 22 x 1")
    for size, printed in TYPE_M.items():
        dressed = read_pipe(f"copper M {size} in")
        made = replace(metric, outside=dressed.outside, wall=dressed.wall)
        computed = float(tube_pressure(made, temperature=fahrenheit(100.0))) / PSI
        published(f"PT04 formula for type M {size} in", printed=printed[0], computed=computed, unit="psi", rel=0.03,
                  source="copper-tube-handbook")  # fmt: skip


JOINTS = [
    ("copper L 1 in", (200, 150, 100, 85), "copper-tube-handbook", "A"),
    ("copper L 1-1/4 in", (175, 125, 90, 75), "copper-tube-handbook", "A"),
    ("copper M 2 in", (175, 125, 90, 75), "copper-tube-handbook", "A"),
    ("copper L lead-free 3/8 in", (500, 400, 300, 200), "asme-b31-9-solder", "B"),
    ("copper L lead-free 1-1/4 in", (400, 350, 250, 175), "asme-b31-9-solder", "B"),
]


@pytest.mark.parametrize(("pipe", "printed", "source", "sure"), JOINTS)
def test_soldered_joints(published, pipe, printed, source, sure):
    found = rated_pressure(read_pipe(pipe), temperature=fahrenheit(np.array(DEGREES[:4]))) / PSI
    for degrees, psi, computed in zip(DEGREES[:4], printed, found, strict=True):
        published(f"PT05 {pipe} at {degrees:g} degF", printed=psi, computed=computed, unit="psi", rel=1e-9, sure=sure,
                  source=source)  # fmt: skip


def test_threaded_fittings(published):
    degrees = np.array([-20.0, 150.0, 200.0, 250.0, 300.0, 350.0])
    for pipe in ("steel 40 1 in", "steel 80 2 in"):
        found = rated_pressure(read_pipe(pipe), temperature=fahrenheit(degrees)) / PSI
        for warm, printed, computed in zip(degrees, (300, 300, 265, 225, 185, 150), found, strict=True):
            published(f"PT06 {pipe} at {warm:g} degF", printed=printed, computed=computed, unit="psi", rel=1e-9,
                      source="asme-b16-3")  # fmt: skip


def test_weights(published):
    for size, printed in zip(
        sizes("copper L"), (0.126, 0.198, 0.285, 0.362, 0.455, 0.655, 0.884, 1.14, 1.75), strict=True
    ):
        computed = read_pipe(f"copper L {size}").mass_per_length / (POUND / FOOT)
        published(f"PT07 type L {size}", printed=printed, computed=computed, unit="lb/ft", rel=0.01,
                  source="copper-tube-handbook")  # fmt: skip
    for size, printed in (("1/2", 0.058), ("3/4", 0.110), ("1", 0.1706)):
        computed = read_pipe(f"PEX {size} in").mass_per_length / (POUND / FOOT)
        published(f"PT07 PEX {size} in", printed=printed, computed=computed, unit="lb/ft", rel=0.1, sure="B",
                  source="astm-f876")  # fmt: skip


SUPPORTS = [
    ("mss-sp-58", "steel 40", {"1/2 in": 7, "3/4 in": 7, "1 in": 7, "1-1/2 in": 9, "2 in": 10, "3 in": 12}, "B"),
    ("mss-sp-58", "copper L", {"1/2 in": 5, "3/4 in": 5, "1 in": 6, "1-1/4 in": 7, "1-1/2 in": 8, "2 in": 8}, "B"),
    ("irc-p2605", "PEX", {"1/2 in": 32 / 12, "1 in": 32 / 12, "1-1/4 in": 4, "2 in": 4}, "A"),
]


@pytest.mark.parametrize(("source", "material", "printed", "sure"), SUPPORTS)
def test_supports(published, source, material, printed, sure):
    for size, feet in printed.items():
        computed = support_spacing(read_pipe(f"{material} {size}")) / FOOT
        published(f"PT08 {material} {size}", printed=feet, computed=computed, unit="ft", rel=1e-9, sure=sure,
                  source=source)  # fmt: skip


@pytest.mark.parametrize(
    ("pipe", "printed"), [("steel 40 1 in", 11.7), ("copper L 1 in", 16.8), ("aluminium 25 mm", 23.1)]
)
def test_expansion(published, pipe, printed):
    published(f"PT09 {pipe}", printed=printed, computed=read_pipe(pipe).expansion * 1e6, unit="1e-6/K", rel=1e-9,
              source="pipe-expansion-tables")  # fmt: skip


def test_millimetre_tube(published):
    for material, source, printed, sure in (
        ("stainless", "en-10312", ((15, 1.0), (18, 1.0), (22, 1.2), (28, 1.2), (35, 1.5), (42, 1.5), (54, 1.5)), "A"),
        ("copper EN", "en-1057", ((15, 1.0), (22, 1.0), (28, 1.5), (35, 1.5), (42, 1.5), (54, 2.0)), "B"),
    ):
        for outside, wall in printed:
            stock = read_pipe(f"{material} {outside} mm")
            published(f"PT10 wall of {material} {outside} mm", printed=wall, computed=stock.wall * 1e3, unit="mm",
                      rel=1e-9, sure=sure, source=source)  # fmt: skip
            assert stock.bore * 1e3 == pytest.approx(outside - 2.0 * wall)


NEAR = (0.622, 0.824, 1.049, 1.380, 1.610, 2.067)
OTHER_SET = {
    "elbow": (0.8, 1.3, 1.7, 2.1, 2.6, 3.3),
    "tee side": (1.7, 2.3, 4.6, 5.9, 7.9, 8.9),
    "tee straight": (0.7, 1.0, 1.3, 1.7, 2.3, 2.8),
}


@pytest.mark.parametrize("kind", OTHER_SET)
def test_lengths_of_the_set_made_for_air(published, kind):
    """A second printed set says less; ours keeps to the longer one, so that it errs on the side of lost pressure."""
    why = "this set counts 15 to 19 bores for an elbow and less for tees too; which of the two was measured nobody says"
    for size, bore, printed in zip(SIX, NEAR, OTHER_SET[kind], strict=True):
        computed = fittings_length({kind: 1}) * bore / 12.0
        published(f"P23 {kind}, {size} in", printed=printed, computed=computed, unit="ft", rel=0.05,
                  source="air-fittings-table",
                  disagrees="" if (kind, size) == ("tee side", "1-1/2") else why)  # fmt: skip
        assert printed < computed


def test_a_ball_valve_is_no_gate_valve(published):
    why = "the table gives a ball valve the length of a gate valve; one of full bore has 3 bores"
    for size, bore, printed in zip(SIX, NEAR, (0.41, 0.55, 0.70, 0.92, 1.07, 1.38), strict=True):
        computed = fittings_length({"ball valve": 1}) * bore / 12.0
        published(f"P22 ball, {size} in", printed=printed, computed=computed, unit="ft", rel=0.03,
                  source="fitting-lengths", disagrees=why)  # fmt: skip


@pytest.mark.parametrize(("size", "printed"), [("1", 0.023), ("1-1/2", 0.021), ("2", 0.019), ("3", 0.018)])
def test_friction_of_full_turbulence(published, size, printed):
    bore = read_pipe(f"steel 40 {size} in").bore
    published(f"PT11 steel 40 {size} in", printed=printed, computed=float(turbulent_friction(bore)), unit="-", rel=0.05,
              source="crane")  # fmt: skip


BORE = 0.02664
LIBRARY = [
    ("elbow", fluids.fittings.bend_rounded(BORE, angle=90.0, method="Crane standard")),
    ("45 elbow", fluids.fittings.bend_rounded(BORE, angle=45.0, method="Crane standard")),
    ("ball valve", fluids.fittings.K_ball_valve_Crane(BORE, BORE, 0.0)),
    ("gate valve", fluids.fittings.K_gate_valve_Crane(BORE, BORE, 0.0)),
    ("globe valve", fluids.fittings.K_globe_valve_Crane(BORE, BORE)),
    ("plug cock", fluids.fittings.K_plug_valve_Crane(BORE, BORE, 0.0)),
    ("butterfly valve", fluids.fittings.K_butterfly_valve_Crane(BORE)),
    ("check valve", fluids.fittings.K_swing_check_valve_Crane(BORE)),
]


@pytest.mark.parametrize(("kind", "library"), LIBRARY)
def test_losses_of_a_library(published, kind, library):
    computed = float(fittings_loss(fittings_length({kind: 1}), bore=BORE))
    published(f"PT12 {kind} in 1 in steel", printed=library, computed=computed, unit="-", rel=0.01, sure="C",
              source="fluids")  # fmt: skip
