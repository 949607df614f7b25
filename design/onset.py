"""ONSET_U_S: how far off is one onset through the noise's own shape?

Hardly any noise, many different voices: what is left is the noises' own attack, which the tenth of
a peak meets sooner or later. Drop minus unlocking carries two onsets, so one has the difference's
standard deviation over the root of two. Then: how often the stated 95 % hold the true time.
"""

from dataclasses import dataclass

import numpy as np
from trial import mark, table, tuned

from sideshake.sound import onset
from sideshake.sound.listener import PageNote, onsets_of
from sideshake.sound.page import hear_page
from sideshake.sound.room import Room
from sideshake.sound.simulate import Recorder, Simulation, Watch, simulate
from sideshake.timing import amplitude

VOICES = 50
LEVELS = (0.06, 0.1, 0.15, 0.2, 0.3)
FEWER = 30
RATES_HZ = (16000, 22050, 32000, 44100, 48000, 96000)
VALUES_S = (2e-6, 3e-6, 4e-6, 5.5e-6, 7e-6, 10e-6)
OTHER_RISE_S = 0.3e-3
"""Farther off than this another noise was taken; design/portrait.py counts those."""


@dataclass(frozen=True, slots=True)
class Case:
    """One page, its sample rate, and the true time from unlocking to drop on both sides (s)."""

    note: PageNote
    rate_hz: int
    true_s: np.ndarray

    @property
    def errors_s(self) -> np.ndarray:
        """Return the error of the time from unlocking to drop, a side each."""
        found = [each.drop_s[0] - each.unlock_s[0] if each else np.nan for each in self.note.onsets]
        return np.array(found) - self.true_s


def case(seed: int, rate_hz: int, snr_db: float) -> Case:
    """Return one watch heard."""
    random = np.random.default_rng([seed, 3])
    watch = Watch(
        beats_per_hour=float(random.choice([18000, 21600, 28800])),
        amplitude_deg=random.uniform(190, 310),
        beat_error_ms=random.uniform(0, 1),
    )
    room, recorder = Room(snr_db=snr_db), Recorder(rate_hz=rate_hz)
    truth = simulate(watch, duration_s=20, room=room, recorder=recorder, seed=seed)
    page = hear_page(truth.samples, rate_hz, start_s=0.0)
    note = PageNote(
        start_s=0.0,
        end_s=20.0,
        heard=page.beats.count,
        onsets=(onsets_of(page.portraits[0]), onsets_of(page.portraits[1])),
    )
    return Case(note, rate_hz, true_times_s(truth, page.beats.arrival_s, page.beats.side))


def true_times_s(truth: Simulation, arrival_s: np.ndarray, side: np.ndarray) -> np.ndarray:
    """Return the mean true time from unlocking to drop on each side that was heard."""
    beat = np.rint(np.interp(arrival_s, truth.centre_s, np.arange(truth.centre_s.size))).astype(int)
    span_s = (truth.drop_s - truth.unlock_s)[beat]
    return np.array([span_s[side == one].mean() for one in (0, 1)])


def one_onset_us(cases: list[Case]) -> tuple[float, float, int]:
    """Return standard deviation and mean error (us) of one onset, and how many were compared."""
    errors = np.concatenate([each.errors_s for each in cases])
    errors = errors[np.abs(errors) < OTHER_RISE_S]
    return float(np.std(errors) / np.sqrt(2) * 1e6), float(np.mean(errors) * 1e6), errors.size


def holds(cases: list[Case], onset_u_s: float) -> tuple[float, float]:
    """Return the share whose stated 95 % hold the truth, and the median half-width (us)."""
    inside, widths = [], []
    with tuned(amplitude, ONSET_U_S=onset_u_s):
        for each in cases:
            if np.all(np.abs(each.errors_s) < OTHER_RISE_S):
                swing = amplitude.page_swing(each.note, each.rate_hz).time_s
                width = 1.96 * swing.u
                inside.append(abs(swing.value - each.true_s.mean()) < width)
                widths.append(width * 1e6)
    return float(np.mean(inside)), float(np.median(widths))


def main() -> None:
    """Print one onset's error at each sample rate, and what the stated value holds."""
    rows = []
    cases = {rate: [case(seed, rate, 40.0) for seed in range(VOICES)] for rate in RATES_HZ}
    for rate_hz, some in cases.items():
        sigma, bias, count = one_onset_us(some)
        rows.append([rate_hz, count, sigma, bias, amplitude.onset_u_s(rate_hz) * 1e6,
                     holds(some, amplitude.ONSET_U_S)[0]])  # fmt: skip
    head = ["Hz", "times", "onset sd us", "mean error of a time us", "stated us", "95 % hold"]
    table("One onset, 40 dB", head, rows)
    rows = []
    for level in LEVELS:
        with tuned(onset, LEVEL=level):
            some = [case(seed, 48000, snr_db) for seed in range(FEWER) for snr_db in (40.0, 15.0)]
        rows.append([
            mark(level, onset.LEVEL), *one_onset_us(some)[:2], holds(some, amplitude.ONSET_U_S)[0],
            holds(some, 3e-6)[0],
        ])  # fmt: skip
    head = ["LEVEL", "onset sd us", "mean error of a time us", "95 % hold", "with 3 us they hold"]
    table("The share of the peak at which a noise begins, 40 and 15 dB, 48 kHz", head, rows)
    noisy = [case(seed, 48000, 15.0) for seed in range(VOICES)]
    rows = [
        [mark(value_s * 1e6, amplitude.ONSET_U_S * 1e6), *holds(cases[48000], value_s),
         *holds(noisy, value_s), holds(cases[16000], value_s)[0]]
        for value_s in VALUES_S
    ]  # fmt: skip
    head = ["ONSET_U_S us", "40 dB", "+- us", "15 dB", "+- us", "40 dB, 16 kHz"]
    table("Share of stated 95 % that hold the true time from unlocking to drop", head, rows)


if __name__ == "__main__":
    main()
