"""Sources: trade-facts 3.2.3 to 3.2.5, 3.3, 3.4 and the spot values below: textbook values derived
from simple harmonic motion, tables rounded to 1 us and 0.001 degrees."""

import math

import pytest

from sideshake.timing.amplitude import amplitude_deg, out_of_beat_deg

SWINGS_DEG = (180, 220, 270, 300)
SPAN_MS = {
    14400: (23.070, 18.853, 15.350, 13.811),
    18000: (18.456, 15.083, 12.280, 11.049),
    19800: (16.778, 13.711, 11.164, 10.044),
    21600: (15.380, 12.569, 10.233, 9.207),
    25200: (13.183, 10.773, 8.771, 7.892),
    28800: (11.535, 9.427, 7.675, 6.905),
    36000: (9.228, 7.541, 6.140, 5.524),
}
TILTS_DEG = (220, 270, 300)
TILT_DEG = {
    14400: (1.382, 1.696, 1.885),
    18000: (1.728, 2.121, 2.356),
    19800: (1.901, 2.333, 2.592),
    21600: (2.073, 2.545, 2.827),
    28800: (2.765, 3.393, 3.770),
    36000: (3.456, 4.241, 4.712),
}
SPANS = [(n, a, t) for n, row in SPAN_MS.items() for a, t in zip(SWINGS_DEG, row, strict=True)]
TILTS = [(n, a, e) for n, row in TILT_DEG.items() for a, e in zip(TILTS_DEG, row, strict=True)]


@pytest.mark.parametrize(("per_hour", "swing", "span_ms"), SPANS)
def test_every_span_of_the_table_gives_its_amplitude(per_hour, swing, span_ms):
    """Half a microsecond of rounding is 0.005 % of 9 ms, 0.02 degrees of 270; 0.03 is allowed."""
    found = amplitude_deg(span_ms * 1e-3, beat_s=3600 / per_hour, lift_angle_deg=52)
    assert found == pytest.approx(swing, abs=0.03)


@pytest.mark.parametrize(("per_hour", "swing", "tilt"), TILTS)
def test_every_tilt_of_the_table_comes_from_one_millisecond(per_hour, swing, tilt):
    found = out_of_beat_deg(1e-3, beat_s=3600 / per_hour, amplitude=swing)
    assert found == pytest.approx(tilt, abs=0.6e-3)


@pytest.mark.parametrize(
    ("lift", "per_hour", "span_ms", "exact", "approximate"),
    [
        (52, 28800, 7.7, 269.12, 268.70),
        (49, 18000, 11.0, 283.94, 283.59),
        (42, 18000, 10.0, 267.66, 267.38),
        (52, 21600, 10.0, 276.28, 275.87),
        (52, 28800, 9.5, 218.31, 217.79),
    ],
)
def test_spot_values(lift, per_hour, span_ms, exact, approximate):
    found = amplitude_deg(span_ms * 1e-3, beat_s=3600 / per_hour, lift_angle_deg=lift)
    assert found == pytest.approx(exact, abs=0.006)
    assert 3600 * lift / (math.pi * per_hour * span_ms * 1e-3) == pytest.approx(
        approximate, abs=0.006
    )


@pytest.mark.parametrize(
    ("swing", "low_by"),
    [(120, 0.95), (150, 0.76), (180, 0.63), (220, 0.51), (270, 0.42), (300, 0.38)],
)
def test_the_usual_approximation_reads_low_by(swing, low_by):
    """trade-facts 3.2.3: what the short formula loses against ours, lift angle 52 degrees."""
    span_s = 2 * 0.2 / math.pi * math.asin(26 / swing)
    exact = amplitude_deg(span_s, beat_s=0.2, lift_angle_deg=52)
    assert exact - 3600 * 52 / (math.pi * 18000 * span_s) == pytest.approx(low_by, abs=0.006)


@pytest.mark.parametrize(("lift", "read"), [(50, 259.6), (54, 280.4)])
def test_a_wrong_lift_angle_reads_270_degrees_as(lift, read):
    span_s = 2 * 0.125 / math.pi * math.asin(26 / 270)
    assert amplitude_deg(span_s, beat_s=0.125, lift_angle_deg=lift) == pytest.approx(read, abs=0.06)


def test_one_sample_at_48_khz_is_0_73_degrees():
    """trade-facts 3.2.5, 28800 an hour at 270 degrees."""
    at = [amplitude_deg(7.675e-3 + k / 48000, beat_s=0.125, lift_angle_deg=52) for k in (0, 1)]
    assert at[0] - at[1] == pytest.approx(0.73, abs=0.006)
