"""The work at the bench, step by step, and the tests before the watch goes home."""

from dataclasses import dataclass, replace
from random import Random

from sideshake.demo.days import Days
from sideshake.demo.mechanism import Calibre
from sideshake.demo.script import WHOLE_JOB, VisitScript
from sideshake.demo.visit import BenchStep

RESTORERS = ("edda", "edda", "tobias")
"""Who does most of it."""
RESERVE_OVER_H = (0.8, 4.0)
"""A watch goes home when it runs longer than its sheet asks, by so many hours."""
APPRENTICES_STEPS = ("clean", "case-up", "movement-out")
CAUTIONS = {
    "open-case": "Settle first whether its paint may be radium, and whether you may open it.",
    "let-down": "Eye protection. Hold the click back and the crown braked: a freed spring cuts.",
    "clean": "Close the lids, air the room, no flame; no polymer, dial or hands in the bath.",
}  # fmt: skip
BEFORE = (
    ("as-found-reading", "Readings as found", 15),
    ("open-case", "Open the case", 5),
    ("let-down", "Let the mainspring down", 5),
    ("movement-out", "Movement out, hands and dial off", 20),
    ("as-found-checks", "Checks as found: shakes, escapement, barrel", 25),
)
TAKEN_OFF = (
    ("automatic-off", "Automatic work off", 10),
    ("chronograph-off", "Chronograph work off", 35),
    ("calendar-off", "Calendar work off", 15),
)
APART = (
    ("take-apart", "Take the movement apart", 30),
    ("clean", "Clean", 50),
    ("inspect", "Look at each part", 30),
)
TOGETHER = (
    ("assemble", "Assemble and oil", 60),
    ("base-timing", "Time the base movement", 40),
)
PUT_ON = (
    ("chronograph-on", "Chronograph work on and set", 60),
    ("calendar-on", "Calendar work on", 20),
    ("automatic-on", "Automatic work on", 15),
)
AFTER = (
    ("dial-hands", "Dial and hands", 20),
    ("case-up", "Case", 15),
    ("final-control", "Days of control", 20),
)
Planned = tuple[str, str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchNotes:
    """Notes to be written beside steps and tests."""

    bench: tuple[str, ...]
    tests: tuple[str, ...]


def plan_of(
    script: VisitScript, days: Days, *, calibre: Calibre, words: BenchNotes, random: Random
) -> tuple[BenchStep, ...]:
    """Return the steps and tests; none before the owner agreed."""
    if not days.reached("agreed") or script.step == "declined":
        return ()
    planned = steps_of(script, calibre)
    done = len(planned) if days.reached("on-test") else 0
    if script.step == "on-the-bench":
        done = min(script.done_steps, len(planned) - 1)
    steps = tuple(
        bench_step(each, script, days, done=place < done, random=random)
        for place, each in enumerate(planned)
    )
    whole = done and script.is_whole
    noted = with_note(steps, random.choice(words.bench), random) if whole else steps
    return (*noted, *tests_of(days, calibre=calibre, words=words, random=random))


def steps_of(script: VisitScript, calibre: Calibre) -> list[Planned]:
    """Return the steps this watch needs for what was chosen."""
    chosen = [each for each in script.last_options if each.chosen]
    repairs = [
        (each.key, each.title, each.minutes)
        for each in chosen
        if each.key != WHOLE_JOB and each.minutes
    ]
    if not script.is_whole:
        steps = [*BEFORE[:3], *repairs, TOGETHER[1], *AFTER[1:]]
    else:
        off, on = (fitting(each, calibre) for each in (TAKEN_OFF, PUT_ON))
        steps = [*BEFORE, *off, *APART, *repairs, *TOGETHER, *on, *AFTER]
    only = script.bench_only
    return [each for each in steps if not only or each[0] in only or each in repairs]


def fitting(steps: tuple[Planned, ...], calibre: Calibre) -> list[Planned]:
    """Return those of the steps whose work this calibre has."""
    has = {
        "automatic": calibre.automatic,
        "chronograph": calibre.chronograph,
        "calendar": calibre.calendar,
    }
    return [each for each in steps if has[each[0].rsplit("-", 1)[0]]]


def bench_step(
    planned: Planned, script: VisitScript, days: Days, *, done: bool, random: Random
) -> BenchStep:
    """Return the step, with the minutes it took if it was done."""
    key, title, minutes = planned
    took = max(5, round(minutes * random.uniform(0.8, 1.3)))
    who = "miro" if key in APPRENTICES_STEPS and random.random() < 0.5 else random.choice(RESTORERS)
    return BenchStep(
        key=key,
        title=title,
        caution=CAUTIONS.get(key, ""),
        planned_minutes=minutes,
        minutes=took if done else None,
        done_on=days.on("on-the-bench") if done else None,
        by=who if done else "",
        note=script.step_notes.get(key, "") if done else "",
    )


def with_note(steps: tuple[BenchStep, ...], note: str, random: Random) -> tuple[BenchStep, ...]:
    """Return the steps with a note beside one that was done and has none."""
    free = [place for place, each in enumerate(steps) if each.by and not each.note]
    if not free:
        return steps
    chosen = random.choice(free)
    return tuple(
        replace(each, note=note) if place == chosen else each for place, each in enumerate(steps)
    )


def tests_of(
    days: Days, *, calibre: Calibre, words: BenchNotes, random: Random
) -> tuple[BenchStep, ...]:
    """Return the tests before it goes home; on test only the first is done."""
    if not days.reached("on-test"):
        return ()
    rows: list[tuple[str, str, float | None, str]] = [
        ("test-reserve", "Power reserve", calibre.reserve_h + random.uniform(*RESERVE_OVER_H), "h"),
        ("test-day-rate", "Rate over a day, by the hands", random.uniform(0.5, 6.0), "s/day"),
    ]
    if calibre.chronograph:
        rows.append(("test-chronograph-functions", "Start, stop, reset, counters", None, ""))
    if calibre.calendar:
        rows.append(("test-calendar-change", "Calendar over two or three changes", None, ""))
    if calibre.automatic:
        rows.append(("test-rotor", "Rotor", None, ""))
    rows.append(("test-hands", "Hands", None, ""))
    done = len(rows) if days.reached("ready") else 1
    return tuple(
        BenchStep(
            kind="test",
            key=key,
            title=title,
            value=round(value, 1) if value is not None and place < done else None,
            u=(0.3 if unit == "h" else 0.2) if value is not None and place < done else None,
            unit=unit,
            result="good" if place < done else "",
            done_on=days.on("on-test") if place < done else None,
            by=random.choice(RESTORERS) if place < done else "",
            note=random.choice(words.tests) if place < done else "",
        )
        for place, (key, title, value, unit) in enumerate(rows)
    )
