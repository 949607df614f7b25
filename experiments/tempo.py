"""NEEDED_SIGMAS and NEEDED_SHARE: when is a period believed?

Too low, and rain or a fire gives a tempo; too high, and a faint or a short watch is refused. Every
sound is scored once without the bars, then the table moves them.
"""

from dataclasses import dataclass

import numpy as np
from trial import (
    TOLD_PER_HOUR,
    Sound,
    clip,
    clip_path,
    made_non_watches,
    mark,
    other_clips,
    pieces,
    some_watch,
    table,
    ticking_clips,
    watch_sound,
)

from sideshake.core.errors import NotEnough
from sideshake.sound import tempo
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch

WATCHES, OTHERS = 20, 20
SNR_DB = (20, 10, 5, 0, -5)
SIGMAS = (4.0, 5.0, 5.5, 6.0, 6.5, 7.0, 8.0, 10.0)
FLOORS = (0.0, 2.0, 3.0, 3.5, 4.0, 4.5, 5.0, 6.5)
SECONDS = ("2-141584-A", "4-181035-A")
"""Clips of clocks that beat once a second."""
SHARES = (0.1, 0.2, 0.25, 0.3, 0.4, 0.5, 2.0)


@dataclass(frozen=True, slots=True)
class Score:
    """How clearly the best period stands out, and whether it is the true one."""

    sigmas: float
    share: float
    right: bool


def score(sound: Sound, told: float | None = None) -> Score | None:
    """Return the score of a sound, or None where there is no period to try at all."""
    loudness, frame_s = sound.loudness()
    clip = tempo.CLIP_QUANTILE if told is None else tempo.CLIP_QUANTILE_TOLD
    course = tempo.levelled(loudness, frame_s, clip)
    try:
        likeness = tempo.autocorrelation(course)
        longest = min(tempo.LONGEST_LAG_S / frame_s, tempo.USED_SHARE * course.size)
        periods = tempo.candidate_periods(longest, frame_s, told)
        scores = tempo.comb_scores(likeness, periods, longest)
        best = int(np.argmax(scores))
        sigmas = float(scores[best]) / tempo.chance_sigma(likeness, longest)
        share = float(scores[best] / np.sqrt(int(longest / periods[best])))
        period = tempo.sharpened(course, periods[best])
        settled = tempo.settle(course, period, frame_s, told=told, sigmas=sigmas)
    except NotEnough:
        return None
    return Score(sigmas, share, sound.is_beat(settled.period_s / 2))


def scores(sounds: list[Sound], told: tuple[float | None, ...] = (None,)) -> list[Score]:
    """Return the scores of many sounds, each told each of the tempos."""
    every = [score(sound, each) for sound in sounds for each in told]
    return [each for each in every if each is not None]


def believed(some: list[Score], sigmas: float, share: float, floor: float = 0.0) -> list[Score]:
    """Return those that pass either bar, and in any case the floor of sigmas."""
    passed = [each for each in some if each.sigmas >= sigmas or each.share >= share]
    return [each for each in passed if each.sigmas >= floor]


def slow_watch(seed: int) -> Sound:
    """Return a clock that beats once a second."""
    return watch_sound(
        SimulatedWatch(beats_per_hour=3600.0), duration_s=10, room=RoomNoise(snr_db=15), seed=seed
    )


def main() -> None:
    """Print how many watches and how many other sounds pass each pair of bars."""
    watches = {
        f"{snr_db} dB": scores([
            watch_sound(some_watch(seed), duration_s=20, room=RoomNoise(snr_db=snr_db), seed=seed)
            for seed in range(WATCHES)
        ])
        for snr_db in SNR_DB
    }  # fmt: skip
    watches["clips"] = scores(ticking_clips())
    made = [sound for seed in range(OTHERS) for sound in made_non_watches(seed, 10.0)]
    chance = [sound for sound in made if sound.name in ("noise", "rain", "crackle")]
    watches["3 s, 15 dB"] = scores([
        watch_sound(some_watch(seed), duration_s=3, room=RoomNoise(snr_db=15), seed=seed)
        for seed in range(WATCHES)
    ])  # fmt: skip
    watches["clips, 2.5 s"] = scores([p for one in ticking_clips() for p in pieces(one, 2.5)])
    watches["3600/h told"] = [
        *scores([slow_watch(seed) for seed in range(WATCHES)], (3600.0,)),
        *scores([clip(name, 1.0) for name in SECONDS if clip_path(name).exists()], (3600.0,)),
    ]
    others = {
        "by chance": scores(chance, TOLD_PER_HOUR),
        "speech, saw": scores(
            [each for each in made if each.name in ("speech", "saw")], TOLD_PER_HOUR
        ),
        "swell": scores([each for each in made if each.name == "swell"], TOLD_PER_HOUR),
        "hum": scores([each for each in made if each.name == "hum"], TOLD_PER_HOUR),
        "music": scores([each for each in made if each.name == "music"], TOLD_PER_HOUR),
        "fire, saw": scores([p for c in other_clips() for p in pieces(c, 2.5)], TOLD_PER_HOUR),
    }
    head = [
        *(f"{name} ({len(some)})" for name, some in watches.items()),
        *(f"{name} ({len(some)})" for name, some in others.items()),
    ]
    bars = (tempo.NEEDED_SIGMAS, tempo.NEEDED_SHARE)
    for title, tries in (
        ("NEEDED_SIGMAS", [(each, bars[1], 0.0) for each in SIGMAS]),
        ("NEEDED_SHARE", [(bars[0], each, 0.0) for each in SHARES]),
        ("a floor of sigmas", [(*bars, each) for each in FLOORS]),
    ):
        which = ("NEEDED_SIGMAS", "NEEDED_SHARE", "a floor of sigmas").index(title)
        rows = [
            [
                mark(each[which], (*bars, 0.0)[which]),
                *(sum(one.right for one in believed(some, *each)) for some in watches.values()),
                sum(not e.right for some in watches.values() for e in believed(some, *each)),
                *(len(believed(some, *each)) for some in others.values()),
            ]
            for each in tries
        ]
        wide = [*head[: len(watches)], "wrong tempo", *head[len(watches) :]]
        table(f"Believed, by {title} (how many of how many)", [title, *wide], rows)


if __name__ == "__main__":
    main()
