"""FASTER_SHARE, SWELL_SHARE, OPPOSITE_SHARE: what repeats and yet does not tick?

Of every sound whose period is believed, three likenesses are taken between the period's teeth, each
against that at whole periods: the greatest at a third to a tenth of the period (hum and music come
back there), that at a quarter for a sound with one beat a period, and that at the half for one with
two (a swell is the opposite of itself half-way; a tick is merely unlike). Then the bars are moved.
"""

from dataclasses import dataclass, replace

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

from sideshake.core.errors import NotEnough
from sideshake.sound import tempo
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch

WATCHES, OTHERS = 20, 25
SNR_DB = (20, 5, 0)
FASTER = (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.85, 9.0)
SWELL = (-9.0, -0.6, -0.4, -0.3, -0.2, -0.1, 0.0)
OPPOSITE = (-9.0, -1.0, -0.95, -0.9, -0.8, -0.6, -0.4)


@dataclass(frozen=True, slots=True)
class Between:
    """The likenesses between the teeth; NaN where that one is not asked."""

    faster: float
    swell: float
    opposite: float


def between(sound: Sound, told: float | None) -> Between | None:
    """Return the likenesses of a sound whose period is believed, or None."""
    loudness, frame_s = sound.loudness()
    seen: list[tuple[np.ndarray, tempo.Tempo, float, float]] = []
    with tuned(tempo, refuse_no_ticks=lambda *given: seen.append(given)):
        try:
            tempo.find_tempo(loudness, frame_s, beats_per_hour=told)
        except NotEnough:
            return None
    likeness, found, frame_s, longest = seen[0]
    period = found.period_s / frame_s
    usual = tempo.between_teeth(likeness, period, 1, longest)
    parts = [tempo.between_teeth(likeness, period, n, longest) / usual for n in range(2, 11)]
    unsure = found.sides == 1 and found.sigmas < tempo.NEEDED_SIGMAS
    return Between(
        max(parts[1:]),
        parts[2] if unsure else np.nan,
        parts[0] if found.sides == 2 else np.nan,
    )


def every(sounds: list[Sound], told: tuple[float | None, ...] = (None,)) -> list[Between]:
    """Return the likenesses of all that are believed."""
    some = [between(sound, each) for sound in sounds for each in told]
    return [each for each in some if each is not None]


def out_of_beat(seed: int) -> SimulatedWatch:
    """Return a watch whose tock comes 8 to 30 ms late, so that both beats are seen."""
    random = np.random.default_rng([seed, 23])
    return replace(
        some_watch(seed),
        beats_per_hour=float(random.choice([14400, 18000, 21600])),
        amplitude_deg=random.uniform(250, 310),
        beat_error_ms=random.uniform(8, 30),
    )


def groups() -> dict[str, list[Between]]:
    """Return the likenesses of watches and of other sounds, a kind each."""
    made = [sound for seed in range(OTHERS) for sound in made_non_watches(seed, 10.0)]
    watches = {
        f"watch {snr_db} dB": every([
            watch_sound(some_watch(seed), duration_s=8, room=RoomNoise(snr_db=snr_db), seed=seed)
            for seed in range(WATCHES)
        ])
        for snr_db in SNR_DB
    }  # fmt: skip
    watches["out of beat"] = every(
        [
            watch_sound(
                out_of_beat(seed), duration_s=8, room=RoomNoise(snr_db=SNR_DB[seed % 3]), seed=seed
            )
            for seed in range(3 * WATCHES)
        ]
    )
    real = ticking_clips()
    return {
        **watches,
        "clips": every(real) + every([piece for one in real for piece in pieces(one, 2.5)]),
        "speech": every([each for each in made if each.name == "speech"], TOLD_PER_HOUR),
        **{
            name: every([each for each in made if each.name == name], TOLD_PER_HOUR)
            for name in ("saw", "swell", "hum", "music")
        },
        "fire, saw clips": every(
            [piece for one in other_clips() for piece in pieces(one, 2.5)], TOLD_PER_HOUR
        ),
    }


def main() -> None:
    """Print how many of the believed each bar refuses."""
    some = groups()
    head = [f"{name} ({len(each)})" for name, each in some.items()]
    for name, values, field, sign in (
        ("FASTER_SHARE", FASTER, "faster", 1),
        ("SWELL_SHARE", SWELL, "swell", -1),
        ("OPPOSITE_SHARE", OPPOSITE, "opposite", -1),
    ):
        figures = [np.array([getattr(one, field) for one in each]) for each in some.values()]
        rows = [
            [mark(value, getattr(tempo, name)), *(np.sum(sign * x > sign * value) for x in figures)]
            for value in values
        ]
        rows.append(["asked of", *(np.sum(np.isfinite(x)) for x in figures)])
        table(f"{name}: refused, of those whose period is believed", [name, *head], rows)


if __name__ == "__main__":
    main()
