"""Where beats jump: planted losses, and sounds in which nothing jumps."""

import re

import numpy as np
import pytest

from sideshake.core.errors import NotEnough
from sideshake.sound.jump import without_jump
from sideshake.sound.listener import Listener
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, simulate
from tests.sound.stepping import with_losses
from tests.sound.test_tempo import FRAME_S, ticking

RATE_HZ = 48000


def why_not(samples):
    """Return why there is no reading, None if there is one."""
    listener = Listener(RATE_HZ)
    listener.feed(samples)
    try:
        listener.hear()
    except NotEnough as why:
        return str(why)
    return None


@pytest.mark.parametrize(("at_s", "lost_s"), [(4.0, 0.06), (5.0, 0.03), (6.0, 0.09)])
def test_a_planted_loss_is_found(at_s, lost_s):
    """Frames are 1 ms, the folds are smoothed over 5; the place is known to a period or so."""
    course = ticking(18000, duration_s=10.0)
    first, after = round(at_s / FRAME_S), round((at_s + lost_s) / FRAME_S)
    jump = without_jump(np.concatenate([course[:first], course[after:]]), FRAME_S)
    assert jump.by_s == pytest.approx(lost_s, abs=3e-3)
    assert jump.at_s == pytest.approx(at_s, abs=0.8)
    # what is taken out and what was lost make whole beats together
    whole = (jump.on_s - jump.at_s + lost_s) / 0.2
    assert whole == pytest.approx(round(whole), abs=0.02)


@pytest.mark.parametrize("size", [0, 10, 300])
def test_what_is_too_short_has_no_jump(size):
    assert without_jump(np.ones(size), FRAME_S) is None


@pytest.mark.parametrize(("lost_s", "at_s"), [(0.09, 2.3), (0.09, 2.6), (0.09, 2.9)])
def test_a_recording_with_a_loss_in_its_middle_is_refused_for_that(lost_s, at_s):
    watch = SimulatedWatch(beats_per_hour=12000, beat_error_ms=1.0, amplitude_deg=220)
    sound = simulate(watch, duration_s=5.5, room=RoomNoise(snr_db=20), seed=2).samples
    assert why_not(sound) is None
    said = why_not(with_losses(sound, [(at_s, lost_s)]))
    jump_ms, near_s = map(
        float, re.match(r"the beats jump by some (\d+) ms near (\d+) s", said).groups()
    )
    assert jump_ms == pytest.approx(1e3 * lost_s, abs=4)
    assert near_s == pytest.approx(at_s, abs=1.1)


@pytest.mark.parametrize("seed", range(6))
def test_noise_clicks_and_jittery_beats_are_not_said_to_jump(seed):
    random = np.random.default_rng(seed)
    noise = random.normal(0, 0.05, 8 * RATE_HZ)
    clicks = (random.random(8 * RATE_HZ) < 4 / RATE_HZ) * random.normal(0, 0.5, 8 * RATE_HZ)
    jittery = simulate(
        SimulatedWatch(jitter_us=12000.0), duration_s=8, room=RoomNoise(snr_db=20), seed=seed
    ).samples
    for sound in (noise, noise + clicks, clicks + 1e-3 * noise, jittery):
        said = why_not(sound.astype(np.float32))
        assert said is not None
        assert "jump" not in said
