"""What each form of a half-known number means, against scipy's distributions."""

import numpy as np
import pytest
from scipy import stats

from airfettle.quantity import KINDS, Span, exactly, read_span

ROWS = 20_000
SHARES = (np.arange(ROWS) + 0.5) / ROWS


def values(text, kind="intake_flow"):
    """The quantiles of a text, in the unit it was written in."""
    span = read_span(text, kind=kind)
    factor, offset = KINDS[span.kind].units[span.unit]
    return (span.quantile(SHARES) - offset) / factor


CUT_NORMAL = stats.truncnorm(-3, 3)
FORMS = [
    ("14..18 cfm", stats.uniform(14, 4)),
    ("14..18 cfm likely 15", stats.triang(0.25, 14, 4)),
    ("14..18 cfm likely 14", stats.triang(0.0, 14, 4)),
    ("14..18 cfm likely 18", stats.triang(1.0, 14, 4)),
    ("16 cfm +/- 2", stats.truncnorm(-3, 3, 16, 1)),
    ("16 cfm +/- 10 %", stats.truncnorm(-3, 3, 16, 0.8)),
    ("about 16 cfm", stats.truncnorm(-3, 3, 16, 0.8)),
    ("16 cfm", stats.truncnorm(-3, 3, 16, 0.8)),
    ("16 cfm by flow meter", stats.truncnorm(-3, 3, 16, 0.4)),
]


@pytest.mark.parametrize(("text", "law"), FORMS)
def test_quantiles_and_moments(text, law):
    ours = values(text)
    assert ours == pytest.approx(law.ppf(SHARES), abs=2e-5)
    assert ours.mean() == pytest.approx(law.mean(), abs=1e-4)
    assert ours.std() == pytest.approx(law.std(), rel=1e-3)


def test_two_standard_deviations_hold_the_tolerance():
    ours = values("16 cfm +/- 2")
    assert np.mean(abs(ours - 16) <= 2) == pytest.approx(0.9545 / 0.9973, abs=1e-3)
    assert (ours.min(), ours.max()) == pytest.approx((13, 19), abs=0.02)


def test_two_half_normals_hold_half_the_probability_each():
    ours = values("16 cfm +3/-1")
    below, above = ours[: ROWS // 2], ours[ROWS // 2 :]
    assert below.max() <= 16 <= above.min()
    assert below == pytest.approx(16 + 0.5 * CUT_NORMAL.ppf(SHARES[: ROWS // 2]), abs=2e-5)
    assert above == pytest.approx(16 + 1.5 * CUT_NORMAL.ppf(SHARES[ROWS // 2 :]), abs=2e-5)


def test_a_side_without_tolerance_stays_at_the_likely_value():
    ours = values("16 cfm +3/-0")
    assert np.all(ours[: ROWS // 2] == pytest.approx(16))
    assert ours[-1] > 19


def test_temperatures_spread_about_their_point():
    assert values("68 degF +/- 9 degF", "temperature") == pytest.approx(
        stats.truncnorm(-3, 3, 68, 4.5).ppf(SHARES), abs=1e-4
    )


@pytest.mark.parametrize("text", ["60 Hz", "16..16 cfm", "16 cfm +/- 0"])
def test_exact_values_have_no_spread(text):
    span = read_span(text, kind="frequency" if "Hz" in text else "intake_flow")
    assert np.ptp(span.quantile(SHARES)) == 0.0
    assert span.quantile(SHARES).shape == SHARES.shape
    assert exactly(2.0, kind="length").quantile(SHARES)[5] == 2.0


@pytest.mark.parametrize("text", [text for text, _ in FORMS] + ["16 cfm +3/-1"])
def test_quantiles_rise_and_keep_their_ends(text):
    span = read_span(text, kind="intake_flow")
    ours = span.quantile(np.array([0.0, *SHARES, 1.0]))
    assert np.all(np.diff(ours) >= 0)
    assert ours[0] >= (3 * span.low - span.likely) / 2 - 1e-12
    assert ours[-1] <= (3 * span.high - span.likely) / 2 + 1e-12
    assert np.all(np.isfinite(ours))


def test_the_tail_beyond_what_can_be_is_spread_over_the_rest():
    """A told efficiency of 95 % by 10 % would reach past 1; no value piles up at the end."""
    span = Span("fraction", "normal", 0.855, 0.95, 1.045, floor=0.4, ceiling=0.99)
    ours = span.quantile(SHARES)
    deviation = 0.0475
    law = stats.truncnorm(-3, (0.99 - 0.95) / deviation, 0.95, deviation)
    assert ours == pytest.approx(law.ppf(SHARES), abs=2e-6)
    assert np.mean(ours >= 0.99 - 1e-9) < 1e-3


def test_a_value_at_the_end_of_what_can_be_keeps_to_its_side():
    span = Span("fraction", "normal", 0.9, 1.0, 1.1, floor=0.0, ceiling=1.0)
    ours = span.quantile(SHARES)
    assert ours.max() <= 1.0
    assert ours == pytest.approx(stats.truncnorm(-3, 0, 1.0, 0.05).ppf(SHARES), abs=2e-6)


def test_nothing_below_what_the_kind_can_be():
    span = read_span("0.5 mm by tape", kind="length")
    assert span.low < 0
    assert span.quantile(SHARES).min() >= 0


def test_provenance_changes_and_numbers_stay():
    span = read_span("4.6 in by tape", kind="length")
    told = span.known_as("maker", by="sheet", on="2026-03-02", note="page 3")
    assert (told.known, told.by, told.on, told.note) == ("maker", "sheet", "2026-03-02", "page 3")
    assert (told.low, told.likely, told.high, told.form) == (span.low, span.likely, span.high, span.form)
    assert span.known_as("maker").by == "tape"
