"""The reader: every form it takes, what each means, and every refusal with what would be right."""

import re

import pytest

from airfettle.errors import (
    AirfettleError,
    AmbiguousUnit,
    BackwardRange,
    MissingUnit,
    OutOfBounds,
    UnreadableQuantity,
    WrongUnit,
)
from airfettle.quantity import read_span
from airfettle.quantity.kinds import AWG, CFM, INCH
from airfettle.quantity.tolerance import INSTRUMENTS, WORDS_FOR_KNOWN

PSI = 6894.757293168361


def numbers(text, kind, factor):
    span = read_span(text, kind=kind)
    return span.form, *(pytest.approx(n) for n in (span.low / factor, span.likely / factor, span.high / factor))


FLOWS = [
    ("14..18 cfm", "flat", 14, 16, 18), ("14-18 cfm", "flat", 14, 16, 18), ("14 - 18 cfm", "flat", 14, 16, 18),
    ("14–18 cfm", "flat", 14, 16, 18), ("14—18 cfm", "flat", 14, 16, 18), ("14 … 18 cfm", "flat", 14, 16, 18),
    ("14...18 cfm", "flat", 14, 16, 18), ("14 to 18 cfm", "flat", 14, 16, 18), ("14 TO 18 cfm", "flat", 14, 16, 18),
    ("14 cfm to 18 cfm", "flat", 14, 16, 18), ("14 cfm - 18 cfm", "flat", 14, 16, 18),
    ("14cfm..18cfm", "flat", 14, 16, 18), ("14 cfm .. 18", "flat", 14, 16, 18), ("16..16 cfm", "exact", 16, 16, 16),
    ("14..18 cfm likely 15", "triangular", 14, 15, 18), ("14..18 likely 15 cfm", "triangular", 14, 15, 18),
    ("14..18 cfm likely 15 cfm", "triangular", 14, 15, 18), ("14..18 cfm likely 14", "triangular", 14, 14, 18),
    ("16 cfm +/- 2 cfm", "normal", 14, 16, 18), ("16 cfm +/- 2", "normal", 14, 16, 18),
    ("16 +/- 2 cfm", "normal", 14, 16, 18), ("16±2 cfm", "normal", 14, 16, 18),
    ("16 cfm +/- 10 %", "normal", 14.4, 16, 17.6), ("16 cfm +/-10%", "normal", 14.4, 16, 17.6),
    ("16 cfm +/- 0", "exact", 16, 16, 16), ("about 16 cfm", "normal", 14.4, 16, 17.6),
    ("About 16 cfm", "normal", 14.4, 16, 17.6), ("16 cfm +2/-1", "two_halves", 15, 16, 18),
    ("16 +2/-1 cfm", "two_halves", 15, 16, 18), ("16 +2/-1cfm", "two_halves", 15, 16, 18),
    ("16 cfm + 2 / - 1", "two_halves", 15, 16, 18), ("16 cfm +10/-5 %", "two_halves", 15.2, 16, 17.6),
    ("16 cfm +2/-0", "two_halves", 16, 16, 18), ("16 cfm", "normal", 14.4, 16, 17.6),
    ("16cfm", "normal", 14.4, 16, 17.6), ("  16   cfm ", "normal", 14.4, 16, 17.6),
    ("16\u00a0cfm", "normal", 14.4, 16, 17.6), ("+16 cfm", "normal", 14.4, 16, 17.6),
    (".5 cfm", "normal", 0.45, 0.5, 0.55), ("1.6e1 cfm", "normal", 14.4, 16, 17.6), ("0 cfm", "exact", 0, 0, 0),
]  # fmt: skip


@pytest.mark.parametrize(("text", "form", "low", "likely", "high"), FLOWS)
def test_forms(text, form, low, likely, high):
    assert numbers(text, "intake_flow", CFM) == (form, low, likely, high)
    span = read_span(text, kind="intake_flow")
    assert (span.text, span.unit, span.kind) == (text, "cfm", "intake_flow")


@pytest.mark.parametrize(
    ("text", "inches"),
    [('4-5/8 in', 4.625), ("4 5/8 in", 4.625), ('4-5/8"', 4.625), ("5/8 in", 0.625), ("12-1/2 in", 12.5),
     ("0.18 in", 0.18), ("117.475 mm", 4.625), ("11.7475 cm", 4.625), ("1/4 in", 0.25)],
)  # fmt: skip
def test_lengths_by_fractions_and_in_metric(text, inches):
    assert read_span(text, kind="length").likely == pytest.approx(inches * INCH)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [("4-5/8..4-3/4 in", 4.625, 4.75), ("4-5/8 in - 4-3/4 in", 4.625, 4.75), ("4-5/8 to 5 in", 4.625, 5),
     ("1/4..1/2 in", 0.25, 0.5), ("4-5/8 in +/- 1/16", 4.5625, 4.6875), ("4-5/8 in +1/8/-1/16", 4.5625, 4.75),
     ("4 in to 120 mm", 4, 120 / 25.4), ("4 in +/- 2 mm", 4 - 2 / 25.4, 4 + 2 / 25.4)],
)  # fmt: skip
def test_fractions_and_mixed_units_in_ranges(text, low, high):
    span = read_span(text, kind="length")
    assert (span.low / INCH, span.high / INCH) == (pytest.approx(low), pytest.approx(high))


def test_a_tolerance_in_another_unit_never_changes_the_values_own():
    span = read_span("16 cfm +/- 20 L/min", kind="intake_flow")
    assert span.likely == pytest.approx(16 * CFM)
    assert span.high - span.likely == pytest.approx(20e-3 / 60)
    warm = read_span("20 degC +/- 2 K", kind="temperature")
    assert (warm.low, warm.likely, warm.high) == pytest.approx((291.15, 293.15, 295.15))
    us = read_span("68 degF +/- 9 degF", kind="temperature")
    assert (us.low, us.likely, us.high) == pytest.approx((288.15, 293.15, 298.15))


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [("-5..5 degC", 268.15, 278.15), ("-5 to -3 degC", 268.15, 270.15), ("-5 - -3 degC", 268.15, 270.15),
     ("-5 degC..3 degC", 268.15, 276.15), ("40..60 °F", 277.594, 288.706)],
)  # fmt: skip
def test_negative_temperatures(text, low, high):
    span = read_span(text, kind="temperature")
    assert (span.low, span.high) == pytest.approx((low, high), abs=1e-3)


@pytest.mark.parametrize(
    ("text", "low", "likely", "high"),
    [("40..70 %", 0.4, 0.55, 0.7), ("0.4..0.7", 0.4, 0.55, 0.7), ("4..8 % likely 6", 0.04, 0.06, 0.08),
     ("80 % +/- 5 %", 0.75, 0.8, 0.85), ("80 % +/- 5", 0.75, 0.8, 0.85), ("0.8 +/- 0.05", 0.75, 0.8, 0.85),
     ("0.85 +0.02/-0.03", 0.82, 0.85, 0.87)],
)  # fmt: skip
def test_shares_with_and_without_percent_and_tolerances_in_points(text, low, likely, high):
    span = read_span(text, kind="fraction")
    assert (span.low, span.likely, span.high) == pytest.approx((low, likely, high))


@pytest.mark.parametrize("text", ["unknown", "Unknown", "UNKNOWN", "?", " unknown "])
def test_unknown_is_not_a_span(text):
    assert read_span(text, kind="length") is None


@pytest.mark.parametrize(
    ("text", "kind"),
    [("100 psi", "pressure"), ("100 psig", "pressure"), ("7 bar", "pressure"), ("7 bar(g)", "pressure"),
     ("700 kPa", "pressure"), ("114.5 psia", "absolute_pressure"), ("8 bara", "absolute_pressure"),
     ("100..120 psia likely 110", "absolute_pressure")],
)  # fmt: skip
def test_a_pressures_unit_says_gauge_or_absolute(text, kind):
    assert read_span(text, kind="pressure").kind == kind


@pytest.mark.parametrize("size", AWG)
@pytest.mark.parametrize("form", ["{} AWG", "AWG {}", "{}awg", "{} AWG by plate"])
def test_wire_gauges(size, form):
    span = read_span(form.format(size), kind="wire_size")
    assert (span.form, span.likely, span.unit) == ("exact", AWG[size], "AWG")


@pytest.mark.parametrize("text", ["14 1/s", "14 1/min", "840 r/min"])
def test_turns_by_time(text):
    assert read_span(text, kind="rotational_speed").likely == pytest.approx(14 / (60 if "1/min" in text else 1))


# how it is known


@pytest.mark.parametrize("word", [*INSTRUMENTS, *WORDS_FOR_KNOWN])
def test_by_says_how_it_is_known(word):
    span = read_span(f"4.6 in by {word}", kind="length")
    assert span.by == word
    assert span.known == ("measured" if word in INSTRUMENTS else WORDS_FOR_KNOWN[word])
    assert span.likely == pytest.approx(4.6 * INCH)
    assert read_span(f"4.6 in By {word.title()}", kind="length").by == word


def test_by_follows_every_form():
    for text in ("4.5..4.7 in", "4.6 in +/- 0.1 in", "4.6 in +0.1/-0.2", "4..5 in likely 4.6", "about 4.6 in"):
        plain, told = read_span(text, kind="length"), read_span(f"{text} by tape", kind="length")
        assert (told.low, told.likely, told.high, told.form) == (plain.low, plain.likely, plain.high, plain.form)
        assert (told.known, told.by, plain.known, plain.by) == ("measured", "tape", "told", "")


BARE = [
    ("100 in by tape", "length", 0.2 * INCH), ("1 in by tape", "length", 1e-3), ("1 in by caliper", "length", 1e-4),
    ("850 rpm by tachometer", "rotational_speed", 4.25 / 60), ("100 rpm by tachometer", "rotational_speed", 1 / 60),
    ("20 A by clamp meter", "current", 0.6), ("2 A by clamp meter", "current", 0.2),
    ("20 degC by thermometer", "temperature", 2.0), ("20 psi by gauge", "pressure", 7000.0),
    ("20 bar by gauge", "pressure", 0.6e5), ("29 inHg by barometer", "absolute_pressure", 300.0),
    ("60 s by stopwatch", "time", 0.6), ("50 % by hygrometer", "fraction", 0.05),
    ("84 dBA by sound meter", "sound_level", 2),
    ("18 cfm by plate", "intake_flow", 0.02 * 18 * CFM), ("18 cfm by maker", "intake_flow", 0.03 * 18 * CFM),
    ("18 cfm by seller", "intake_flow", 0.10 * 18 * CFM), ("18 cfm by guess", "intake_flow", 0.25 * 18 * CFM),
    ("18 cfm", "intake_flow", 0.10 * 18 * CFM), ("20 degC", "temperature", 4.0),
    ("20 degC by eye", "temperature", 10.0),
    ("84 dBA", "sound_level", 4.0), ("about 84 dBA", "sound_level", 4.0), ("about 20 degC", "temperature", 4.0),
    ("0 m", "altitude", 30.0), ("about 5 K", "temperature_difference", 0.5), ("about 3 kW", "power", 300.0),
]  # fmt: skip
EXACT = [("60 Hz", "frequency"), ("230 V", "voltage"), ("5 hp by plate", "power"), ("150 psi by plate", "pressure"),
         ("120", "money"), ("6 mm2", "wire_size"), ("40 degC by plate", "temperature")]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "spread"), BARE)
def test_a_bare_value_is_as_good_as_what_it_was_read_with(text, kind, spread):
    span = read_span(text, kind=kind)
    assert span.form == "normal"
    assert span.high - span.likely == pytest.approx(spread)
    assert span.likely - span.low == pytest.approx(spread)


@pytest.mark.parametrize(("text", "kind"), EXACT)
def test_ratings_and_choices_are_exact(text, kind):
    span = read_span(text, kind=kind)
    assert (span.form, span.low, span.high) == ("exact", span.likely, span.likely)


def test_the_caller_says_how_it_is_known_unless_the_text_does():
    assert read_span("18 cfm", kind="intake_flow", known="guess").high == pytest.approx(1.25 * 18 * CFM)
    assert read_span("18 cfm", kind="intake_flow", known="assumed").form == "exact"
    by = read_span("18 cfm by maker", kind="intake_flow", known="guess")
    assert (by.known, by.high) == ("maker", pytest.approx(1.03 * 18 * CFM))
    assert read_span("4 in", kind="length", known="measured", by="tape").high == pytest.approx(4 * INCH + 1e-3)


def test_better_knowledge_never_means_a_wider_span():
    widths = [read_span("18 cfm", kind="intake_flow", known=k) for k in ("nameplate", "maker", "told", "guess")]
    assert [s.high for s in widths] == sorted(s.high for s in widths)


# refusals


REFUSED = [
    ("16", "intake_flow", MissingUnit, "with one of: cfm"),
    ("14..18", "intake_flow", MissingUnit, "with one of: cfm"),
    ("about 16", "intake_flow", MissingUnit, "with one of: cfm"),
    ("16 +/- 10 %", "intake_flow", MissingUnit, "with one of: cfm"),
    ("16 +2/-1", "intake_flow", MissingUnit, "with one of: cfm"),
    ("16 by flow meter", "intake_flow", MissingUnit, "with one of: cfm"),
    ("16 psi", "intake_flow", WrongUnit, "in one of: cfm"),
    ("16 cfm +/- 2 psi", "intake_flow", WrongUnit, "in one of: cfm"),
    ("14 cfm .. 18 psi", "intake_flow", WrongUnit, "in one of: cfm"),
    ("14..18 cfm likely 15 V", "intake_flow", WrongUnit, "in one of: cfm"),
    ("12 EUR", "money", WrongUnit, "without a unit"),
    ("1,5 bar", "pressure", UnreadableQuantity, "a point for decimals"),
    ("1,500 rpm", "rotational_speed", UnreadableQuantity, "no sign between thousands"),
    ("8..9,5 bar", "pressure", UnreadableQuantity, "a point for decimals"),
    ("400 NL/min", "intake_flow", AmbiguousUnit, "0 degC and for 20 degC"),
    ("16 scfm", "intake_flow", AmbiguousUnit, "at the intake"),
    ("4-9/8 in", "length", AmbiguousUnit, "two ends of a range"),
    ("0-1/2 psi", "pressure", AmbiguousUnit, "two ends of a range"),
    ("16 cfm -1", "intake_flow", BackwardRange, "lower number first"),
    ("16 cfm; 17 cfm", "intake_flow", WrongUnit, "in one of: cfm"),
    ("18..14 cfm", "intake_flow", BackwardRange, "lower number first"),
    ("18 to 14 cfm", "intake_flow", BackwardRange, "lower number first"),
    ("14..18 cfm likely 20", "intake_flow", BackwardRange, "between the two"),
    ("14..18 cfm likely 12", "intake_flow", BackwardRange, "between the two"),
    ("-0.5 L", "swept_volume", OutOfBounds, "at least 0 L"),
    ("-1..1 L", "swept_volume", OutOfBounds, "at least 0 L"),
    ("0.1 L +/- 0.2 L", "swept_volume", OutOfBounds, "at least 0 L"),
    ("0.1 L +0.1/-0.2", "swept_volume", OutOfBounds, "at least 0 L"),
    ("0.1 L +/- 200 %", "swept_volume", OutOfBounds, "at least 0 L"),
    ("5999..6001 m", "altitude", OutOfBounds, "at most 6,000 m"),
    ("100 psi to 120 psia", "pressure", WrongUnit, "all numbers of a range gauge, or all absolute"),
    ("100..120 psi likely 110 psia", "pressure", WrongUnit, "all numbers of a range gauge, or all absolute"),
    ("20 degC +/- 10 %", "temperature", WrongUnit, "a percentage of it means nothing"),
    ("20 degC +10/-5 %", "temperature", WrongUnit, "a percentage of it means nothing"),
    ("84 dBA +/- 3 %", "sound_level", WrongUnit, "a percentage of it means nothing"),
    ("1e400 cfm", "intake_flow", OutOfBounds, "at most"), ("1e300 cfm", "intake_flow", OutOfBounds, "at most"),
    ("1..1e400 cfm", "intake_flow", OutOfBounds, "at most"),
    ("5/8 in by hearsay", "length", UnreadableQuantity, "after 'by'"),
    ("2 AWG to 4 AWG", "wire_size", WrongUnit, "a wire size in one of"),
    ("7 AWG", "wire_size", UnreadableQuantity, "one of AWG 14"),
    ("x AWG", "wire_size", UnreadableQuantity, "6 mm2"),
]  # fmt: skip
UNREADABLE = [
    "", " ", "cfm", "inf cfm", "nan cfm", "-inf cfm", "infinity cfm", "sixteen cfm", "16 17 cfm", "1.2.3 cfm", "1. cfm",
    "--16 cfm", "16 to cfm", "to 16 cfm", "16 cfm to", "16..", "..16 cfm", "16 cfm likely 17", "16 cfm +/-",
    "16 cfm +/- cfm", "16 cfm +/- -2", "16 cfm +-2/-1", "16 cfm +2/--1", "16 cfm +2", "<16 cfm", "16+ cfm",
    "~16 cfm", "about 14..18 cfm", "about unknown", "16/0 cfm", "4-5/0 cfm", "1_000 cfm", "16 cfm by", "by tape", "#",
    "\u0661\u0666 cfm", "[16 cfm]", "16 cfm = 17 cfm", "\x00",
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "error", "match"), REFUSED)
def test_refusals(text, kind, error, match):
    with pytest.raises(error, match=re.escape(match)) as caught:
        read_span(text, kind=kind, where="plant.toml, line 3, pump.x")
    assert type(caught.value) is error
    assert text in caught.value.read
    assert match in caught.value.wanted
    assert str(caught.value).startswith("plant.toml, line 3, pump.x: ")


@pytest.mark.parametrize("text", UNREADABLE)
def test_unreadable(text):
    with pytest.raises(UnreadableQuantity, match="such as '12 cfm'") as caught:
        read_span(text, kind="intake_flow")
    assert caught.value.read
    assert caught.value.wanted


def test_a_decimal_comma_is_offered_both_readings():
    with pytest.raises(UnreadableQuantity) as caught:
        read_span("1,5 bar", kind="pressure")
    assert caught.value.instead == "'1.5 bar' or '15 bar', whichever is meant"


@pytest.mark.parametrize(
    "text", ["9" * 5000 + " cfm", "9" * 5000 + "/3 cfm", "1" + " to" * 9000, "1 " + "a " * 9000, "x" * 10**6]
)
def test_endless_text_is_refused_at_once_and_not_repeated(text):
    with pytest.raises(AirfettleError) as caught:
        read_span(text, kind="intake_flow")
    assert len(str(caught.value)) < 400


def test_every_message_has_its_three_lines():
    for text, kind, error, _ in REFUSED:
        with pytest.raises(error) as caught:
            read_span(text, kind=kind, where="here")
        first, *others = str(caught.value).splitlines()
        assert first == f"here: {error.title}"
        assert [line[:10] for line in others[:2]] == ["  read:   ", "  wanted: "]
