"""The recordings of ticking things that others made, against the references beside them.

They lie outside the project (`../shared/data/sound`, CC0, CC BY and MIT; not copied): eleven clips
of 5 s of ESC-10 (K. J. Piczak, ACM Multimedia 2015) whose beat was found by an independent
autocorrelation and fit, three metronomes whose period is published, four sounds that do not tick.
A reading is wrong if its beat or beat error lies farther from the reference than twice the
standard uncertainty of both together. A refusal is right where the clip is joined from a shorter
sound (no watch skips so), beats slower than the 5000 an hour that are searched, or is made by no
escapement.
"""

import argparse
import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import soundfile
from show import mark, say, show
from trial import read_sound

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.clock import SampleClock
from sideshake.timing.reading import Reading

FOLDER = Path(__file__).resolve().parents[2] / "shared/data/sound"
FILE_CLOCK = SampleClock(fast_ppm=Measured(0.0), checked=True)
"""The references count by the file's own clock, too."""
READ, RIGHTLY, REFUSED, WRONG, ABSENT = "read", "rightly refused", "refused", "WRONG", "absent"
COVERAGE = 2.0
BEAT_ERROR_U_MS = 1.0
"""Of a beat error by an envelope."""
JOINED, SLOW = "joined from a shorter sound", "a beat a second"
ELECTRONIC, NO_TICK = "electronic", "does not tick"


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """A recording and its reference; `refusable` says why no reading is right, too.

    `beats_s` : any of these may be heard; none where nothing ticks
    """

    name: str
    beats_s: tuple[Measured, ...] = ()
    beat_error_ms: float | None = None
    refusable: str = ""

    @property
    def foreign(self) -> bool:
        """Return whether it is one of the clips of clocks."""
        return bool(self.beats_s) and self.name.endswith(".ogg")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What came of one recording."""

    recording: Recording
    verdict: str
    said: str


def clip(name: str, beat_s: float, u: float, **more: object) -> Recording:
    """Return a clip; `u` is the standard uncertainty of its reference: the last digits given, or
    more where few ticks are in 5 s (an envelope is good to 1 ms)."""
    return Recording(name=f"{name}.ogg", beats_s=(Measured(beat_s, u),), **more)


def metronome(name: str, *beats_s: Measured) -> Recording:
    """Return an electronic metronome, or two."""
    return Recording(
        name=f"metronome_{name}_22050Hz_float.wav", beats_s=beats_s, refusable=ELECTRONIC
    )


RECORDINGS = (
    clip("3-171041-A", 0.20001, 23e-6 * 0.2, beat_error_ms=2.3),
    clip("2-131943-A", 0.2912, 1e-4, refusable=JOINED),
    clip("5-201194-A", 0.2996, 1e-4),
    clip("4-175945-A", 0.22745, 3e-5),
    clip("5-209833-A", 0.24928, 3e-5, beat_error_ms=6.5),
    clip("2-140147-A", 0.3282, 1e-4, beat_error_ms=89.0, refusable=JOINED),
    clip("1-21935-A", 0.39304, 1e-4),
    clip("3-150363-A", 0.60485, 1.5e-4),
    clip("2-141584-A", 1.0002, 3e-4, refusable=SLOW),
    clip("4-181035-A", 1.0000, 3e-4, refusable=SLOW),
    clip("1-48413-A", 0.5203, 1e-4, beat_error_ms=86.0),
    metronome("m208a", Measured(0.288567978601, 1e-6)),
    metronome("m184b", Measured(0.32609882891, 1e-6)),
    metronome("m208a184b", Measured(0.288567978601, 3e-6), Measured(0.32609882891, 3e-6)),
    *(
        Recording(name=f"not-ticking-{name}.ogg", refusable=NO_TICK)
        for name in (
            "Chainsaw_1-116765-A", "Chainsaw_1-19898-A", "Fire_crackling_1-17150-A",
            "Fire_crackling_1-17565-A",
        )
    ),
)  # fmt: skip
"""As the list beside the recordings has them."""


def case_of(recording: Recording, folder: Path) -> Case:
    """Return what comes of a recording."""
    path = folder / recording.name
    if not path.exists():
        return Case(recording=recording, verdict=ABSENT, said="")
    samples, rate_hz = soundfile.read(path, dtype="float32", always_2d=True)
    try:
        reading = read_sound(samples.mean(axis=1), rate_hz, clock=FILE_CLOCK)
    except NotEnough as why:
        verdict = RIGHTLY if recording.refusable else REFUSED
        return Case(recording=recording, verdict=verdict, said=str(why))
    return Case(
        recording=recording,
        verdict=READ if agrees(reading, recording) else WRONG,
        said=told(reading),
    )


def agrees(reading: Reading, recording: Recording) -> bool:
    """Return whether beat and beat error are those of the reference."""
    if not any(near(reading.beat_s, beat_s) for beat_s in recording.beats_s):
        return False
    error, reference = reading.beat_error_ms, recording.beat_error_ms
    return error is None or reference is None or near(error, Measured(reference, BEAT_ERROR_U_MS))


def near(found: Measured, reference: Measured) -> bool:
    """Return whether two values agree within twice their joint standard uncertainty."""
    joint = math.hypot(found.u, reference.u)
    return abs(found.value - reference.value) <= COVERAGE * joint


def told(reading: Reading) -> str:
    """Return beat and beat error in a few words."""
    error = reading.beat_error_ms
    return f"{reading.beat_s.text()} s" + (f", {error.text()} ms" if error else "")


def reference(recording: Recording) -> str:
    """Return the reference in a few words."""
    beats = " or ".join(f"{beat_s.value:.6g} s" for beat_s in recording.beats_s)
    error = recording.beat_error_ms
    words = [beats, "" if error is None else f"{error:g} ms", recording.refusable]
    return ", ".join(word for word in words if word)


def tell(cases: Sequence[Case]) -> None:
    """Print the table and what it amounts to."""
    rows = [
        [case.recording.name.split("_22050")[0], reference(case.recording), case.said, case.verdict]
        for case in cases
    ]
    show("Recordings that others made", ("recording", "reference", "said", "verdict"), rows)
    clocks = Counter(case.verdict for case in cases if case.recording.foreign)
    good = clocks[READ] + clocks[RIGHTLY]
    say(
        f"The {sum(clocks.values())} clips of clocks: {clocks[READ]} read, {clocks[RIGHTLY]} "
        f"rightly refused, {clocks[REFUSED]} refused without such a reason, {clocks[WRONG]} wrong: "
        f"{mark(good == sum(clocks.values()))}"
    )


def report(folder: Path) -> None:
    """Print what comes of each recording that is there."""
    cases = [case_of(recording, folder) for recording in RECORDINGS]
    here = [case for case in cases if case.verdict != ABSENT]
    if here:
        tell(here)
    if len(here) < len(cases):
        missing = len(cases) - len(here)
        say(f"{missing} of {len(cases)} recordings are not in ../shared/data/sound: not judged.")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="makes no difference here")
    parser.add_argument("--folder", type=Path, default=FOLDER)
    report(parser.parse_args().folder)
