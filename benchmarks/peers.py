"""Beside general-purpose onset pickers on the same recordings: error of the beat, and time taken.

librosa (onset strength, peak picking) and obspy (classic STA/LTA and its trigger, as for
earthquakes) find onsets in any sound; neither is made for watches. Through their onsets goes a
line: the nearest onset to each beat at the phase that most of them have, numbered by the true beat
(which the ear here is not told), and the Theil-Sen slope, so that stray onsets count little.
Compiling time of numba is left out by a first run. Times are CPU seconds, the best of three.
"""

import argparse
import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile
from numpy.typing import NDArray
from scipy.stats import theilslopes
from show import say, show
from speed import best_of
from trial import Trial, read_sound

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import SECONDS_PER_DAY
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch

Floats = NDArray[np.float64]

SNRS_DB = (20.0, 10.0, 0.0)
SEEDS, QUICK_SEEDS = 3, 1
PER_HOUR = 18000.0
LEAST_ONSETS = 6
STA_S, LTA_S = 2e-3, 50e-3
TRIGGER_ON, TRIGGER_OFF = 3.0, 1.2
CLIPS = Path(__file__).resolve().parents[2] / "shared/data/sound"
KNOWN_S = {
    "metronome_m208a_22050Hz_float.wav": 0.288567978601,
    "metronome_m184b_22050Hz_float.wav": 0.32609882891,
    "3-171041-A.ogg": 0.20001,
    "4-175945-A.ogg": 0.22745,
    "5-209833-A.ogg": 0.24928,
    "1-21935-A.ogg": 0.39304,
}
"""Beats in seconds: published for the metronomes, else by an independent autocorrelation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """A recording and its true beat (s)."""

    name: str
    samples: NDArray[np.float32]
    rate_hz: int
    beat_s: float


Finder = Callable[[Sound], float]


def by_ear(sound: Sound) -> float:
    """Return the beat (s) that Sideshake finds; it is told that this is a watch, no more."""
    return read_sound(sound.samples, sound.rate_hz, said_watch=True).beat_s.value


def by_librosa(sound: Sound) -> float:
    """Return the beat (s) through librosa's onsets."""
    import librosa

    onsets_s = librosa.onset.onset_detect(
        y=sound.samples, sr=sound.rate_hz, hop_length=128, units="time"
    )
    return line_beat_s(np.asarray(onsets_s), sound.beat_s)


def by_obspy(sound: Sound) -> float:
    """Return the beat (s) through the triggers of obspy's STA/LTA."""
    from obspy.signal.trigger import classic_sta_lta, trigger_onset

    ratio = classic_sta_lta(
        sound.samples.astype(np.float64), round(STA_S * sound.rate_hz), round(LTA_S * sound.rate_hz)
    )
    triggers = np.asarray(trigger_onset(ratio, TRIGGER_ON, TRIGGER_OFF))
    starts = triggers[:, 0] if triggers.size else np.empty(0)
    return line_beat_s(starts / sound.rate_hz, sound.beat_s)


def line_beat_s(onsets_s: Floats, beat_s: float) -> float:
    """Return the beat through onsets, each numbered by the true beat at the phase most have.

    Raises
    ------
    NotEnough : fewer than six beats have an onset
    """
    turns = onsets_s / beat_s
    phase = np.angle(np.sum(np.exp(2j * np.pi * turns))) / (2 * np.pi)
    number = np.rint(turns - phase)
    nearest = np.lexsort((np.abs(turns - phase - number), number))
    one_each = nearest[np.diff(number[nearest], prepend=-np.inf) > 0]
    if one_each.size < LEAST_ONSETS:
        raise NotEnough(f"{one_each.size} onsets")
    return float(theilslopes(onsets_s[one_each], number[one_each])[0])


FINDERS: dict[str, Finder] = {
    "Sideshake": by_ear,
    "librosa onset": by_librosa,
    "obspy STA/LTA": by_obspy,
}


def simulated(seeds: range) -> list[Sound]:
    """Return watches of 30 s in noise, and one whose beats are missing and knocked over."""
    rooms = {f"{snr_db:g} dB": RoomNoise(snr_db=snr_db) for snr_db in SNRS_DB}
    rooms["30 % missing, 60 knocks"] = RoomNoise(snr_db=20, missing_share=0.3, knocks_per_minute=60)
    sounds = []
    for name, room in rooms.items():
        for seed in seeds:
            watch = SimulatedWatch(beats_per_hour=PER_HOUR, rate_s_per_day=12.0, beat_error_ms=0.4)
            simulation = Trial(watch=watch, room=room, seed=seed).simulation()
            sounds.append(
                Sound(
                    name=f"watch, {name}", samples=simulation.samples,
                    rate_hz=simulation.rate_hz, beat_s=watch.beat_s,
                )
            )  # fmt: skip
    return sounds


def clips() -> list[Sound]:
    """Return the real clips that are there."""
    sounds = []
    for name, beat_s in KNOWN_S.items():
        if (CLIPS / name).exists():
            samples, rate_hz = soundfile.read(CLIPS / name, dtype="float32", always_2d=True)
            sounds.append(
                Sound(name=name, samples=samples.mean(axis=1), rate_hz=rate_hz, beat_s=beat_s)
            )
    return sounds


def error_s_per_day(find: Finder, sound: Sound) -> float | None:
    """Return the error of the rate (s/day), or None if no beat is found."""
    try:
        beat_s = find(sound)
    except NotEnough:
        return None
    return abs(sound.beat_s / beat_s - 1) * SECONDS_PER_DAY


def rows_of(name: str, sounds: Sequence[Sound]) -> list[str]:
    """Return a row: the median error and the time of each finder."""
    row = [name]
    for find in FINDERS.values():
        errors = [error_s_per_day(find, sound) for sound in sounds]
        given = [error for error in errors if error is not None]
        row.append(f"{np.median(given):.3f}" if given else "none")
        row.append(f"{cost_s(find, sounds[0]):.3f}")
    return row


def cost_s(find: Finder, sound: Sound) -> float:
    """Return the CPU time of one search."""
    return best_of(lambda: error_s_per_day(find, sound)).cpu_s


def report(*, quick: bool = False) -> None:
    """Print errors and times side by side."""
    sounds = [*simulated(range(QUICK_SEEDS if quick else SEEDS)), *clips()]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of other packages' own deprecated calls
        names = list(dict.fromkeys(sound.name for sound in sounds))
        rows = [rows_of(name, [sound for sound in sounds if sound.name == name]) for name in names]
    columns = ["recording", *(f"{name}, {what}" for name in FINDERS for what in ("s/day", "CPU s"))]
    show("Error of the rate, and time, beside general onset pickers", columns, rows)
    say(
        "The pickers are told the true beat, to number their onsets with; Sideshake is not.\n"
        "For the clips (5 s; OGG) truth is known to some ±2 s/day, for the metronomes to 0.5 s/day."
    )
    if len(sounds) == len(names) and not clips():
        say("The real clips are not here (../shared/data/sound): simulated watches only.")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    report(quick=parser.parse_args().quick)
