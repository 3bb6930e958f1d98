"""Wiring drawings of plants made at random, and of plants whose every fact about wiring is: they say what is joined."""

import netlist
from hypothesis import given, settings
from hypothesis import strategies as st
from properties.plants_at_random import owners_plant, seeded
from properties.test_circuits import wired_at_random

from airfettle.drawings.wiring import wiring_drawing, wiring_sheets
from airfettle.studies.draw import draw
from airfettle.studies.wiring.circuits import circuits
from airfettle.studies.wiring.wired import WireWords, trains_of

SIZES = st.sampled_from(
    ("", "2.5 mm2", "14 AWG Cu needed", "8 AWG Cu, 75 °C (125 % of 34 A)", "two of 3/0 AWG Cu, 90 °C, in one conduit")
)


def right(circuit, there, *, narrow=True):
    """A drawing joins what its circuit joins; no wire passes a device or words, and no words lie on others."""
    drawings = [[wiring_drawing(circuit, draw=there)]]
    if narrow:
        drawings.append(wiring_sheets(circuit, draw=there, width=640, tallest=800.0))
    for sheets in drawings:
        read = [netlist.read(svg) for svg, _, _ in sheets]
        assert netlist.netlist(*read) == {frozenset(net.pins) for net in circuit.nets}
        for each in read:
            assert not netlist.loose_ends(each)
            assert not netlist.misread(each)
            assert not netlist.wires_through_devices(each)
            assert not netlist.lines_through_words(each)
            assert not netlist.touching(each)
        all_said(circuit, read)


def all_said(circuit, read):
    """Sizes of wires stand on a power drawing, and the number of every remark also at what it is about."""
    words = {word for each in read for text, _ in each.words for word in text.split()}
    given = [number for each in read for number, _ in each.rounds]
    if circuit.sort == "power":
        assert not [net for net in circuit.nets if not set(net.wire.split()) <= words]
    for number, remark in enumerate(circuit.remarks, start=1):
        assert given.count(str(number)) >= (2 if remark.about else 1), remark


def test_drawings_of_random_plants():
    for seed in range(200):
        there = draw(owners_plant(seeded(seed)), rows=8)
        for circuit in circuits(there):
            right(circuit, there, narrow=seed % 4 == 0)


@given(wired_at_random(), st.builds(WireWords, SIZES, SIZES, SIZES, SIZES))
@settings(max_examples=60, deadline=None)
def test_drawings_of_any_answers(case, words):
    there, held = case
    for circuit in circuits(there, held=held, wires=[words] * len(trains_of(there))):
        right(circuit, there)
