"""What the ear reaches on the second simulator, by loudness, and on the first.

The second simulator (`tests/second_sound`) was written from the mechanics of the escapement by
somebody who had not read the ear. Half minutes at five loudnesses of the room, sample clock and
lift angle exactly known; the ear is not told the beats per hour. Every watch is another one.
"""

import argparse
import re
from collections import Counter
from collections.abc import Callable, Sequence
from statistics import fmean

from both_cores import spread
from drawn import SNRS_DB, Job, first_answer, second_answer
from figures import (
    AMPLITUDE,
    BEAT_ERROR,
    FIGURES,
    GRAVE,
    Answer,
    Levels,
    errors_of,
    is_wanted,
    show_figures,
)
from show import mark, say, show

SEEDS, QUICK_SEEDS = 120, 12
FIRST_SEED = 10_000
"""Far from the seeds that tests and experiments use."""
CLEAR_UNLOCKING_DB, CLEAR_DROP_DB = -20.0, 15.0
LEAST_GIVEN, MEDIAN_DEG, WITHIN_DEG, WITHIN_MS = 0.90, 0.5, 2.0, 0.04
WITHIN = 0.95
UNLOCKING_BINS = (("0 to -10", 0, -10), ("-10 to -15", -10, -15), ("-15 to -20", -15, -20))
MOST_REASONS = 20
NO_RATE = "beats an hour of no known watch"
SIMULATORS: dict[str, Callable[[Job], Answer]] = {
    "second simulator": second_answer,
    "first simulator": first_answer,
}

Row = list[str]


def answers_of(answer: Callable[[Job], Answer], seeds: int, first_seed: int) -> list[Answer]:
    """Return what the ear says to so many watches at each loudness of the room."""
    jobs = [
        (first_seed + place * seeds + number, snr_db)
        for place, snr_db in enumerate(SNRS_DB)
        for number in range(seeds)
    ]
    return spread(answer, jobs)


def by_room(answers: Sequence[Answer]) -> dict[str, list[Answer]]:
    """Return the answers by how far the drop stands above the room, and all."""
    rooms = {
        f"{snr_db:g} dB": [each for each in answers if each.levels.drop_db == snr_db]
        for snr_db in SNRS_DB
    }
    return rooms | {"all": list(answers)}


def by_loudness(answers: Sequence[Answer]) -> dict[str, list[Answer]]:
    """Return the answers by the loudness of unlocking and of impulse."""
    groups = {
        f"unlocking {name} dB": [each for each in answers if last < each.levels.faint_db <= first]
        for name, first, last in UNLOCKING_BINS
    }
    groups["unlocking below -20 dB"] = [each for each in answers if each.levels.faint_db <= -20]
    for name in ("over the drop", "over unlocking", "faintest"):
        groups[f"impulse {name}"] = [each for each in answers if impulse(each.levels) == name]
    return groups


def impulse(levels: Levels) -> str:
    """Return how loud the impulse is beside the other two noises, mean over tick and tock."""
    level_db = fmean(levels.impulse_db)
    if level_db > 0:
        return "over the drop"
    if level_db > fmean(levels.unlocking_db):
        return "over unlocking"
    return "faintest"


def is_clear(answer: Answer) -> bool:
    """Return whether all is so loud that an amplitude is wanted."""
    levels = answer.levels
    return levels.faint_db >= CLEAR_UNLOCKING_DB and levels.drop_db >= CLEAR_DROP_DB


def target_rows(answers: Sequence[Answer]) -> list[Row]:
    """Return a row for each target: what was reached, what is wanted, whether it is met."""
    return [*coverage_rows(answers), wrong_row(answers), *clear_rows(answers)]


def coverage_rows(answers: Sequence[Answer]) -> list[Row]:
    """Return how often the intervals hold, for each figure and room."""
    rows = []
    for figure in FIGURES:
        for name, part in by_room(answers).items():
            found = errors_of(figure, part)
            if not found.given:
                rows.append([f"intervals of {figure.name} hold, {name}", "none given", "", ""])
                continue
            reached = f"{100 * found.held:.1f} ± {200 * found.chance:.1f} %"
            told = [f"intervals of {figure.name} hold, {name}", reached, "92 to 98 %"]
            rows.append([*told, mark(is_wanted(found.held))])
    return rows


def wrong_row(answers: Sequence[Answer]) -> Row:
    """Return how many runs say anything wrong with confidence."""
    count = sum(any(each.is_wrong(figure) for figure in FIGURES) for each in answers)
    reached = f"{count} of {len(answers)}"
    return [f"off by more than {GRAVE:g} half intervals", reached, "0", mark(count == 0)]


def clear_rows(answers: Sequence[Answer]) -> list[Row]:
    """Return what is reached where unlocking and drop are loud enough."""
    clear = [each for each in answers if is_clear(each)]
    swing, error = (errors_of(figure, clear) for figure in (AMPLITUDE, BEAT_ERROR))
    if not (swing.given and error.given):
        return [["unlocking and drop loud enough", f"0 of {len(clear)} given", "", mark(False)]]
    given = swing.given / len(clear)
    middle, most, most_ms = swing.within(0.5), swing.within(WITHIN), error.within(WITHIN)
    return [
        [f"amplitude given, clear runs ({swing.given} of {len(clear)})", f"{100 * given:.0f} %",
         f"at least {100 * LEAST_GIVEN:.0f} %", mark(given >= LEAST_GIVEN)],
        ["amplitude, median error, clear runs", f"{middle:.2f}°", f"{MEDIAN_DEG:g}°",
         mark(middle <= MEDIAN_DEG)],
        ["amplitude, 95 % within, clear runs", f"{most:.2f}°", f"{WITHIN_DEG:g}°",
         mark(most <= WITHIN_DEG)],
        [f"beat error, 95 % within, clear runs ({error.given})", f"{most_ms:.3f} ms",
         f"{WITHIN_MS:g} ms", mark(most_ms <= WITHIN_MS)],
    ]  # fmt: skip


def wrong_rows(answers: Sequence[Answer]) -> list[Row]:
    """Return a row for each figure that is wrong with confidence."""
    return [
        [
            str(answer.seed),
            f"{answer.levels.drop_db:g}",
            f"{figure.name}, {figure.unit}",
            f"{told.value:.3f} ± {told.expanded:.3f}",
            f"{figure.true(answer.truth):.3f}",
            f"{abs(told.value - figure.true(answer.truth)) / told.expanded:.1f}",
            answer.levels.text(),
        ]
        for answer in answers
        for figure in FIGURES
        if (told := answer.of(figure)) is not None and answer.is_wrong(figure)
    ]


def reason_of(answer: Answer) -> tuple[str, str] | None:
    """Return what is not given, and why."""
    if answer.said is None:
        return "no reading", without_numbers(answer.reason)
    if answer.said.rate_s_per_day is None:
        return "no rate", NO_RATE
    return ("no amplitude", without_numbers(answer.reason)) if answer.reason else None


def reason_rows(answers: Sequence[Answer]) -> list[Row]:
    """Return how often each reason was told."""
    counts = Counter(why for answer in answers if (why := reason_of(answer)) is not None)
    return [[why, what, str(count)] for (what, why), count in counts.most_common(MOST_REASONS)]


def without_numbers(reason: str) -> str:
    """Return a reason without its numbers, and of several doubts the first alone, so that like
    reasons count together."""
    head, colon, doubts = reason.partition(": ")
    return re.sub(r"\d[\d.]*", "N", head + colon + doubts.split(",")[0])


def tell(name: str, answers: Sequence[Answer]) -> None:
    """Print all tables of one simulator."""
    show_figures(f"{len(answers)} half minutes of the {name}, by the room", by_room(answers))
    show_figures(f"The same by the loudness of the noises, {name}", by_loudness(answers))
    show(f"Targets, {name}", ("what", "reached", "wanted", ""), target_rows(answers))
    wrong = wrong_rows(answers)
    columns = ("seed", "dB", "figure", "said", "true", "half intervals", "levels, dB")
    title = f"Wrong with confidence, {name}: {len(wrong) or 'no'} figures"
    if wrong:
        show(title, columns, wrong)
    else:
        say(title)
    show(f"Refused, {name}", ("why", "what", "times"), reason_rows(answers))


def report(*, quick: bool = False, first_seed: int = FIRST_SEED) -> None:
    """Print what the ear reaches on both simulators."""
    say(
        "dB: the drop over the room. Unlocking is named by its fainter side, against the drop of\n"
        "that side; the impulse by its mean. ± is chance alone (two standard deviations). Median,\n"
        "95 % and mean are of the error; u is the standard uncertainty, half of a half interval.\n"
        f"Clear: unlocking within {-CLEAR_UNLOCKING_DB:g} dB of the drop on both sides, the drop "
        f"{CLEAR_DROP_DB:g} dB above the room."
    )
    for name, answer in SIMULATORS.items():
        tell(name, answers_of(answer, QUICK_SEEDS if quick else SEEDS, first_seed))


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="60 runs of each instead of 600")
    parser.add_argument("--first-seed", type=int, default=FIRST_SEED)
    told = parser.parse_args()
    report(quick=told.quick, first_seed=told.first_seed)
