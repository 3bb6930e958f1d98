"""Whatever is written, the reader gives a span that makes sense, or one error of its own."""

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from airfettle.errors import AirfettleError
from airfettle.quantity import KINDS, drawn, read_span, span_text, toleranced
from airfettle.quantity.tolerance import INSTRUMENTS, WORDS_FOR_KNOWN

kinds = st.sampled_from(sorted(KINDS))
PIECES = [
    "1", "16", "0", "4-5/8", "5/8", ".5", "-3", "+2", "1e3", "1e400", "1,5", "..", "-", "–", "to", "+/-", "±", "+",
    "/", "likely", "about", "by", "tape", "clamp meter", "plate", "unknown", "?", "%", " ", "  ", "\t", "\n", "(",
    ")", "°", "AWG", "NL/min", "scfm", *sorted({unit for kind in KINDS.values() for unit in kind.units}),
]  # fmt: skip
from_pieces = st.lists(st.sampled_from(PIECES), max_size=9).map(lambda parts: "".join(parts))
from_spaced_pieces = st.lists(st.sampled_from(PIECES), max_size=7).map(lambda parts: " ".join(parts))


def makes_sense(span, kind):
    entry = KINDS[span.kind]
    assert span.kind == kind or span.kind in KINDS[kind].flavours.values()
    assert span.low <= span.likely <= span.high
    assert entry.low <= span.likely <= entry.high
    assert np.isfinite([span.low, span.likely, span.high]).all()
    assert (span.form == "exact") == (span.low == span.high)
    rows = drawn(span, path="x", rows=64, seed=1)
    assert np.isfinite(rows).all()
    assert entry.low <= rows.min()
    assert rows.max() <= entry.high
    assert rows[0] == span.likely
    assert span_text(span, units="US") == span.text
    assert toleranced(span.low, span.likely, span.high, kind=span.kind, units="SI")


@settings(max_examples=300)
@given(st.one_of(from_pieces, from_spaced_pieces, st.text(max_size=60)), kinds)
@example("9" * 5000 + "/7 cfm", "intake_flow")
@example("4-5/0 in", "length")
@example("16 cfm +/- -2", "intake_flow")
@example("16 cfm +-2/-1", "intake_flow")
@example("1..1e999 m", "length")
@example("AWG AWG", "wire_size")
def test_anything_is_a_span_that_makes_sense_or_one_error(text, kind):
    try:
        span = read_span(text, kind=kind, where="somewhere")
    except AirfettleError as error:
        said = error
    else:
        if span is not None:
            makes_sense(span, kind)
            assert span.text == text
        return
    assert said.wanted
    assert said.where == "somewhere"
    assert len(str(said)) < 1_200


plain_numbers = st.decimals(min_value="0.01", max_value="999", places=2).map(float)
ratio_kinds = st.sampled_from(["intake_flow", "power", "length", "mass", "current", "volume"])


@given(plain_numbers, plain_numbers, ratio_kinds, st.data())
def test_ranges_keep_their_ends_in_every_form_and_unit(one, other, kind, data):
    low, high = sorted((one, other))
    assume(low < high)
    unit = data.draw(st.sampled_from(sorted(KINDS[kind].units)))
    factor, _ = KINDS[kind].units[unit]
    for text in (
        f"{low}..{high} {unit}",
        f"{low} to {high} {unit}",
        f"{low}–{high}{unit}",
        f"{low} {unit} - {high} {unit}",
    ):
        span = read_span(text, kind=kind)
        assert np.allclose((span.low, span.high), (low * factor, high * factor), rtol=1e-12)
        assert (span.form, span.unit) == ("flat", unit)


@given(plain_numbers, st.integers(1, 99), ratio_kinds, st.sampled_from([*INSTRUMENTS, *WORDS_FOR_KNOWN]))
def test_a_tolerance_is_the_same_said_in_percent_or_in_units(value, percent, kind, by):
    unit = KINDS[kind].us
    amount = value * percent / 100
    spans = [read_span(f"{text} by {by}", kind=kind) for text in (
        f"{value} {unit} +/- {percent} %", f"{value} {unit} +/- {amount:.12f}", f"{value} +/- {amount:.12f} {unit}",
        f"{value} {unit} +{percent}/-{percent} %")]  # fmt: skip
    for span in spans[1:]:
        assert np.allclose(
            (span.low, span.likely, span.high), (spans[0].low, spans[0].likely, spans[0].high), rtol=1e-6
        )
    assert len({span.known for span in spans}) == 1


@given(st.integers(0, 40), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_fractions_are_what_a_tape_says(whole, above, below):
    assume(above < below)
    expected = (whole + above / below) * 0.0254
    texts = [f"{whole}-{above}/{below} in", f'{whole} {above}/{below}"'] if whole else [f"{above}/{below} in"]
    for text in texts:
        assert np.isclose(read_span(text, kind="length").likely, expected, rtol=1e-12)


@given(plain_numbers, st.floats(0.05, 0.95))
def test_likely_stands_where_it_is_put(low, share):
    high = low * 2
    likely = low + share * (high - low)
    span = read_span(f"{low}..{high!r} rpm likely {likely!r}", kind="rotational_speed")
    assert span.form == "triangular"
    assert np.isclose(span.likely, likely / 60, rtol=1e-12)


@given(st.floats(-40, 200, allow_nan=False))
def test_temperatures_agree_in_three_scales(celsius):
    celsius = round(celsius, 3)
    texts = (f"{celsius:.3f} degC", f"{celsius * 1.8 + 32:.4f} degF", f"{celsius + 273.15:.3f} K")
    values = [read_span(text, kind="temperature").likely for text in texts]
    assert np.ptp(values) < 1e-3


@given(st.from_regex(r"[A-Za-z°%/]{1,12}", fullmatch=True), kinds)
def test_a_unit_that_is_not_in_the_list_is_never_guessed(unit, kind):
    assume(unit.lower() not in {known.lower() for known in KINDS[kind].units})
    with pytest.raises(AirfettleError):
        read_span(f"16 {unit}", kind=kind)
