"""The tables of `sound/likeness.py`, BAR, DECISIVE, MISSING, VETO: what sounds like a watch?

Sounds that no watch made (`tests/not_a_watch`, a seed nothing was made on), the kinds on which the
tables were made and the other half apart, against watches of both simulators from 25 to 6 dB and
the real clips. First what is called what; then each trait is left out, and the bars are moved.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

import numpy as np
from trial import TICKING, Sound, mark, some_watch, table, ticking_clips, tuned, watch_sound

from sideshake.core.errors import InputError, NotEnough
from sideshake.sound import likeness
from sideshake.sound.likeness import HeardKind, Likeness, Trait, judged
from sideshake.sound.noise import RoomNoise
from sideshake.sound.segment import hear_segment

sys.path.append(str(Path(__file__).parents[1] / "tests"))
from not_a_watch import KINDS, sounds
from second_sound import alarm_clock, clock_out_of_beat, draw

SEED, OTHERS = 53, 300
SNR_DB, LENGTHS_S = (25, 20, 16, 13, 10, 8, 6), (30.0, 10.0)
WATCHES = 70
FIRST_DB = (25, 15, 10, 5, 0)
MISSING = (-9.0, -2.5, -2.0, -1.75, -1.5, -1.0)
VETO = (-9.0, -4.5, -3.7, -3.0, -2.4)
BARS = (2.0, 3.0, 4.0, 5.0, 6.0)
FEW = (-1.0, 0.0, 0.9, 1.5, 2.5)


@dataclass(frozen=True, slots=True)
class Group:
    """The likenesses of the sounds of one kind that come so far, and how many there were."""

    sounds: int
    pages: tuple[Likeness, ...]
    watches: bool

    def called(self, verdict: HeardKind, without: Trait | None = None) -> int:
        """Return how many get this verdict, one trait left out."""
        return sum(judged([bare(page, without)]) is verdict for page in self.pages)


def bare(page: Likeness, without: Trait | None) -> Likeness:
    """Return a page's likeness without what one trait says."""
    return replace(page, marks=tuple(each for each in page.marks if each.trait is not without))


def heard(sounds_of: Iterator[Sound], *, watches: bool) -> Group:
    """Return the group of these sounds, the first page of each."""
    pages, count = [], 0
    for sound in sounds_of:
        count += 1
        first = sound.samples[: round(30.5 * sound.rate_hz)]
        try:
            page = hear_segment(first, sound.rate_hz, start_s=0.0)
        except (NotEnough, InputError):
            continue
        if page.likeness is not None:
            pages.append(page.likeness)
    return Group(count, tuple(pages), watches)


def others(*, half: int) -> Iterator[Sound]:
    """Return the sounds that no watch made, of every other kind."""
    for number, sound in enumerate(sounds(SEED, OTHERS)):
        if number % len(KINDS) % 2 == half:
            yield Sound(sound.kind, sound.samples, sound.rate_hz)


def second(*, hard: bool) -> Iterator[Sound]:
    """Return watches of the second simulator."""
    for seed in range(WATCHES):
        spec = draw(8000 + seed, hard=hard, snr_db=float(SNR_DB[seed % len(SNR_DB)]))
        sound = spec.listen(LENGTHS_S[seed % 2])
        yield Sound("watch", sound.samples, sound.rate_hz)


def first() -> Iterator[Sound]:
    """Return watches of the first simulator."""
    for seed in range(WATCHES):
        room = RoomNoise(snr_db=FIRST_DB[seed % len(FIRST_DB)])
        yield watch_sound(some_watch(100 + seed), duration_s=15, room=room, seed=seed)


def clocks() -> Iterator[Sound]:
    """Return alarm clocks, and clocks out of beat by 20 to 80 ms."""
    for seed in range(16):
        for spec in (alarm_clock(seed), clock_out_of_beat(seed, out_of_beat_ms=20.0 + 4 * seed)):
            sound = spec.listen(15.0)
            yield Sound("clock", sound.samples, sound.rate_hz)


def groups() -> dict[str, Group]:
    """Return the likenesses of all."""
    return {
        "others, kinds made on": heard(others(half=0), watches=False),
        "others, other kinds": heard(others(half=1), watches=False),
        "second simulator": heard(second(hard=False), watches=True),
        "second, hard": heard(second(hard=True), watches=True),
        "first simulator": heard(first(), watches=True),
        "clocks": heard(clocks(), watches=True),
        "clips of clocks": heard(islice(ticking_clips(), len(TICKING)), watches=True),
    }


def wrong(some: dict[str, Group], without: Trait | None = None) -> list[object]:
    """Return how many of each group are called wrongly."""
    verdict = {True: HeardKind.EVEN_BEAT, False: HeardKind.WATCH}
    return [group.called(verdict[group.watches], without) for group in some.values()]


def main() -> None:
    """Print what is called what, and what each trait and bar is worth."""
    some = groups()
    rows = [
        [
            name,
            group.sounds,
            group.sounds - len(group.pages),
            group.called(HeardKind.EVEN_BEAT),
            group.called(HeardKind.WATCH),
        ]
        for name, group in some.items()
    ]
    table("What is called what", ["", "sounds", "refused before", "even beat", "watch"], rows)
    head = ["", *some]
    traits = [[f"without {trait.name}", *wrong(some, trait)] for trait in Trait]
    table("Called wrongly", head, [["all", *wrong(some)], *traits])
    for name, values in (("MISSING", MISSING), ("VETO", VETO)):
        rows, chosen = [], getattr(likeness, name)
        for value in values:
            with tuned(likeness, **{name: value}):
                rows.append([mark(value, chosen), *wrong(some)])
        table(f"{name}: called wrongly", [name, *some], rows)
    for title, values, place in (("of many beats", BARS, 1), ("of few beats", FEW, 0)):
        rows = []
        for value in values:
            bar = (value, likeness.BAR[1][1]) if place == 0 else (likeness.BAR[1][0], value)
            chosen = likeness.BAR[1][place]
            with tuned(likeness, BAR=(likeness.BAR[0], bar)):
                rows.append([mark(value, chosen), *wrong(some)])
        table(f"BAR {title}: called wrongly", ["BAR", *some], rows)
    spread = [
        [
            name,
            *np.round(np.quantile([page.nats for page in group.pages], (0, 0.1, 0.5, 0.9, 1)), 1),
        ]
        for name, group in some.items()
        if group.pages
    ]
    table("Nats", ["", "least", "10 %", "half", "90 %", "most"], spread)


if __name__ == "__main__":
    main()
