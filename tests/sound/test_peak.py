import numpy as np
import pytest

from sideshake.sound.peak import between_samples, peak_near


def test_between_samples_finds_a_planted_peak():
    """A tone of 12 samples (4 kHz) that peaks at 100.3: known height and place."""
    at = np.arange(200)
    row = np.cos(2 * np.pi * (at - 100.3) / 12).astype(np.float32)[None] * 5
    place, height = between_samples(row, np.array([100]))
    assert place == pytest.approx([100.3], abs=5e-3)
    assert height == pytest.approx([5.0], rel=1e-3)


def test_the_peak_is_looked_for_only_near_what_is_expected():
    """The same tone peaks every 12 samples; the one nearest to the expected place is meant."""
    row = np.cos(2 * np.pi * (np.arange(240) - 100.3) / 12).astype(np.float32)[None]
    place, height = peak_near(np.repeat(row, 2, axis=0), np.array([111.0, 124.9]), 4)
    assert place == pytest.approx([112.3, 124.3], abs=5e-3)
    assert height == pytest.approx([1.0, 1.0], rel=1e-3)


def test_the_columns_go_round():
    """A peak 0.2 samples before column 0, looked for from column 0."""
    row = np.cos(2 * np.pi * (np.arange(240) + 0.2) / 12).astype(np.float32)[None]
    place, _ = peak_near(row, np.zeros(1), 3)
    assert place == pytest.approx([-0.2], abs=5e-3)
