"""MOST_SCATTER, MOST_SCATTER_FEW, FEW_BEATS: how uneven may beats be and still be a watch's?

What was taken for beats is scattered about an even beat by this share of a beat. Watches with much
jitter and a bad wheel, and real clocks, against whatever rain, fires, saws, swells and music send
as far as this question; a few beats can lie evenly by chance.
"""

from dataclasses import dataclass

import numpy as np
from trial import (
    TOLD_PER_HOUR,
    Sound,
    made_non_watches,
    mark,
    other_clips,
    pieces,
    some_watch,
    table,
    ticking_clips,
    tuned,
    watch_sound,
)

from sideshake.core.errors import InputError, NotEnough
from sideshake.sound import segment
from sideshake.sound.noise import RoomNoise

WATCHES, OTHERS = 24, 16
LENGTHS_S = (3.0, 8.0)
SNR_DB = (20, 10, 3)
MANY = (0.001, 0.002, 0.004, 0.008, 0.015, 0.03, 0.06)
FEW = (0.0005, 0.001, 0.002, 0.004, 0.008, 0.015, 0.03)


@dataclass(frozen=True, slots=True)
class Evenness:
    """How many beats were heard, and their scatter as a share of the beat."""

    count: int
    scatter: float


def evenness(sound: Sound, told: float | None) -> Evenness | None:
    """Return how even the beats of a sound are, or None if it is refused before that."""
    seen: list[Evenness] = []

    def fit(index: np.ndarray, side: np.ndarray, value: np.ndarray) -> segment.BeatLine:
        line = REAL_FIT(index, side, value)
        seen.append(Evenness(index.size, line.sigma / sound.rate_hz))
        return line

    with tuned(segment, fit_line=fit, MOST_SCATTER=np.inf, MOST_SCATTER_FEW=np.inf):
        try:
            heard = segment.hear_segment(
                sound.samples, sound.rate_hz, start_s=0.0, beats_per_hour=told
            )
        except (NotEnough, InputError):
            return None
    beat_s = heard.tempo.period_s / 2
    return Evenness(seen[0].count, seen[0].scatter / beat_s)


REAL_FIT = segment.fit_line


def every(sounds: list[Sound], told: tuple[float | None, ...] = (None,)) -> list[Evenness]:
    """Return the evenness of all that come so far."""
    some = [evenness(sound, each) for sound in sounds for each in told]
    return [each for each in some if each is not None]


def groups() -> dict[str, list[Evenness]]:
    """Return the evenness of watches and of others, a kind each."""
    watches = [
        watch_sound(some_watch(seed), duration_s=length_s, seed=seed,
                    room=RoomNoise(snr_db=SNR_DB[seed % len(SNR_DB)]))
        for seed in range(WATCHES) for length_s in (*LENGTHS_S, 20.0)
    ]  # fmt: skip
    made = [one for seed in range(OTHERS) for s in LENGTHS_S for one in made_non_watches(seed, s)]
    fires = [piece for one in other_clips() for s in (2.5, 5.0) for piece in pieces(one, s)]
    real = ticking_clips()
    return {
        "watches": every(watches),
        "clips": every(real) + every([piece for one in real for piece in pieces(one, 2.5)]),
        **{
            name: every([one for one in made if one.name == name], TOLD_PER_HOUR)
            for name in ("noise", "rain", "crackle", "saw", "speech", "swell", "hum", "music")
        },
        "fire, saw clips": every(fires, TOLD_PER_HOUR),
    }


def main() -> None:
    """Print the scatter of each kind, and how many each bar lets through."""
    some = groups()
    for title, name, values, few in (
        (f"fewer than {segment.FEW_BEATS} beats", "MOST_SCATTER_FEW", FEW, True),
        (f"{segment.FEW_BEATS} beats or more", "MOST_SCATTER", MANY, False),
    ):
        scatters = {
            kind: np.array([e.scatter for e in each if (e.count < segment.FEW_BEATS) == few])
            for kind, each in some.items()
        }
        rows = [
            [mark(value, getattr(segment, name)), *(np.sum(x <= value) for x in scatters.values())]
            for value in values
        ]
        head = [f"{kind} ({x.size})" for kind, x in scatters.items()]
        table(f"{name}: let through with {title}", [name, *head], rows)
    worst = [[k, len(e), max((x.scatter for x in e), default=0.0)] for k, e in some.items()]
    table("The most uneven of each kind", ["kind", "how many", "scatter / beat"], worst)


if __name__ == "__main__":
    main()
