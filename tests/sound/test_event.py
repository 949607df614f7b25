"""Rises of power planted in profiles of chance, and in none."""

from dataclasses import replace

import numpy as np
import pytest
from planted_profiles import CELL_S, MIDDLE, profile_of, windows_with

from sideshake.sound.event import LEAST_RATIOS, LEAST_SIGMAS, SCALES_S, events_of
from sideshake.sound.explain import is_double
from sideshake.sound.profile import envelope_powers, side_profiles, turned


def places_ms(events):
    return [1e3 * event.at_s for event in events]


@pytest.mark.parametrize("level", [3.0, 30.0, 3000.0])
@pytest.mark.parametrize("place", [MIDDLE - 300, MIDDLE, MIDDLE + 411])
def test_a_planted_rise_is_found_at_its_place(level, place):
    """To the scale on which it was found, and its level is its loudest millisecond's (a decay of
    0.8 ms leaves 0.57 of its beginning, mean over a millisecond)."""
    (event,) = events_of([profile_of((place, level, 0.8), seed=place)])
    assert event.at_s == pytest.approx((place - MIDDLE) * CELL_S, abs=event.scale_s)
    assert event.level == pytest.approx(0.57 * level, rel=0.15)
    assert not event.coherent


def slow(scale_s, level, seed):
    """Return a profile that rises linearly over a scale and then stays."""
    profile = profile_of(seed=seed)
    cells = np.arange(profile.power.size)
    course = np.clip((cells - MIDDLE) * CELL_S / scale_s, 0, 1) * (cells < MIDDLE + 200)
    return replace(profile, power=profile.power * (1 + level * course))


@pytest.mark.parametrize(("scale_s", "level"), [(0.1e-3, 5.0), (0.5e-3, 2.0), (2e-3, 1.2)])
def test_the_slower_and_fainter_a_rise_the_longer_the_scale_that_finds_it(scale_s, level):
    """A fast one, one smeared over half a millisecond, and one over two that no shorter scale
    would know from chance."""
    found = events_of([slow(scale_s, level, 3)])
    assert len(found) == 1
    assert -1.25e-3 < found[0].at_s < scale_s + 0.125e-3
    least = next(scale for scale in SCALES_S if scale >= min(scale_s, SCALES_S[-1]) / 4)
    assert found[0].scale_s == pytest.approx(least, rel=0.1) or found[0].scale_s > least / 4


def test_pure_noise_has_hardly_ever_an_event():
    """300 averages of 75 beats, 2880 cells each. The highest bar is 8 sigmas on the shortest scale
    and 3.8 on the longest, which holds some 100 places that do not overlap: 7e-5 each for normal
    chance, 2 in 300; a gamma density's tail makes it a few times as much."""
    found = [events_of([profile_of(seed=seed)]) for seed in range(300)]
    assert sum(len(events) > 0 for events in found) <= 8
    assert all(event.sigmas < 6 for events in found for event in events)


def test_pure_noise_through_the_windows_has_hardly_ever_an_event():
    """Noise as sound, both averages; 40 pages."""
    found = 0
    for seed in range(40):
        windows = windows_with(np.zeros(1), beats=40, seed=seed)
        powers = envelope_powers(windows.spectra, windows)
        rows = np.arange(windows.number.size)
        found += len(
            events_of(
                side_profiles(windows, powers, turned(windows, powers, np.zeros(rows.size), rows))
            )
        )
    assert found <= 4


def beating(apart_hz, level):
    """Return the events of two resonances equally strong, so far apart, that decay in 1 ms: their
    envelope dips to nothing and rises anew with every turn of the difference."""
    since_s = (np.arange(2880) - MIDDLE) * CELL_S
    wave = np.exp(-np.maximum(since_s, 0) / 2e-3) * np.cos(np.pi * apart_hz * since_s)
    profile = profile_of(seed=5)
    ringing = replace(
        profile, power=profile.power * (1 + np.where(since_s >= 0, level * wave**2, 0))
    )
    return events_of([ringing])


@pytest.mark.parametrize("level", [10.0, 100.0, 1000.0])
@pytest.mark.parametrize("apart_hz", [1300, 2000, 4100])
def test_the_ringing_of_two_resonances_that_beat_is_one_noise(apart_hz, level):
    assert places_ms(beating(apart_hz, level)) == pytest.approx([0.0], abs=0.2)


@pytest.mark.parametrize("level", [10.0, 100.0])
def test_two_resonances_so_near_that_they_beat_slowly_make_no_more_than_a_double(level):
    """700 Hz apart they are silent for half a millisecond: the second half looks like a noise of
    its own, but one so near that the explanation calls it a double."""
    events = beating(700, level)
    assert 1 < len(events) < 6
    assert all(is_double(tuple(events), at) for at in range(1, len(events)))


def test_a_noise_that_rises_out_of_the_ringing_of_another_is_found():
    """Counter-case: 2 ms later and as loud; 5 ms later and 10 dB below the first."""
    first = (MIDDLE, 100.0, 0.7)
    for later_ms, level in ((2.0, 100.0), (5.0, 10.0)):
        place = MIDDLE + round(later_ms * 1e-3 / CELL_S)
        found = places_ms(events_of([profile_of(first, (place, level, 0.7), seed=2)]))
        assert found == pytest.approx([0.0, later_ms], abs=0.2)


def test_noises_come_in_order_of_time_and_never_twice():
    """The same three noises in both averages."""
    parts = [(MIDDLE - 295, 8.0, 0.6), (MIDDLE - 201, 20.0, 0.6), (MIDDLE, 100.0, 0.6)]
    both = [profile_of(*parts, seed=1), profile_of(*parts, seed=2)]
    assert places_ms(events_of(both)) == pytest.approx([-12.3, -8.4, 0.0], abs=0.2)


def test_what_is_found_stands_above_the_bars():
    for event in events_of([profile_of((MIDDLE, 3.0, 0.8), seed=9)]):
        assert event.rise > min(LEAST_RATIOS)
        assert event.sigmas > min(LEAST_SIGMAS)


@pytest.mark.parametrize(("before_ms", "found"), [(2.0, 1), (4.6, 2)])
def test_what_comes_just_before_a_loud_noise_may_be_its_ringing(before_ms, found):
    """32 dB under it: the filter that makes the background white rings before as it does after, the
    less the longer before."""
    early = MIDDLE - round(before_ms * 1e-3 / CELL_S)
    profile = profile_of((early, 2.0, 0.8), (MIDDLE, 3000.0, 0.8), seed=5)
    assert len(events_of([profile])) == found


@pytest.mark.parametrize("before_ms", [1.0, 3.0, 6.0])
def test_ringing_as_our_filter_makes_it_is_no_noise(before_ms):
    """A tail that falls with the square of the time, 40 dB down at 2 ms, before a sharp noise."""
    profile = profile_of((MIDDLE, 1e5, 0.8), seed=6)
    since_ms = (MIDDLE - np.arange(profile.power.size)) * CELL_S * 1e3
    tail = np.where(since_ms > 0.25, 1e5 * 4e-4 / np.maximum(since_ms, 0.25) ** 2, 0.0)
    ringing = replace(profile, power=profile.power + tail * (since_ms < before_ms + 3))
    assert len(events_of([ringing])) == 1
