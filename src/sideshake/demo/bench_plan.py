"""The work at the bench, step by step, and the tests before the watch goes home."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from random import Random

from sideshake.demo.days import Days
from sideshake.demo.mechanism import Calibre
from sideshake.demo.script import WHOLE_JOB, OptionScript, VisitScript
from sideshake.demo.visit import BenchStep
from sideshake.movement.sheet import CalibreSheet
from sideshake.workshop_rules.jobs import JOBS, depth_of
from sideshake.workshop_rules.options import OpeningDepth, Suggestion, WorkTime
from sideshake.workshop_rules.plan import NEW_HOLES, OPTION, PlannedStep, bench_steps

RESTORERS = ("edda", "edda", "tobias")
"""Who does most of it."""
RESERVE_OVER_H = (0.8, 4.0)
"""A watch goes home when it runs longer than its sheet asks, by so many hours."""
APPRENTICES_STEPS = ("clean", "case-up", "movement-out")
JOB_OF = {
    "rotor-bearing": "rotor", "reversers": "automatic-work", "reset": "chronograph",
    "stem": "crown", "cannon": "setting-work", "beat": "hairspring", "demagnetise": "magnet",
}  # fmt: skip
"""Which of the usual jobs a piece of work of a script is, where it has another key; here the watch
is regulated as well when it is demagnetised, so the case is opened."""
OUTSIDE = ("magnet", "regulate")
PRESSURE_U_BAR = 0.05


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
    planned = steps_of(script, calibre.sheet)
    done = len(planned) if days.reached("on-test") else 0
    if script.step == "on-the-bench":
        done = min(script.done_steps, len(planned) - 1)
    steps = tuple(
        bench_step(each, script, days, done=place < done, random=random)
        for place, each in enumerate(planned)
    )
    whole = done and script.is_whole
    noted = with_note(steps, random.choice(words.bench), random) if whole else steps
    tests = tests_of(days, calibre=calibre, words=words, random=random)
    return (*noted, *tests, *pressure_test(script, days))


def steps_of(script: VisitScript, sheet: CalibreSheet | None) -> list[PlannedStep]:
    """Return the steps this watch needs for what was chosen, as the workshop rules plan them."""
    chosen = tuple(suggested(each) for each in script.last_options if each.chosen and works(each))
    steps = bench_steps(sheet, chosen, pressure_test=script.pressure_bar is not None)
    only = script.bench_only
    return [each for each in steps if not only or each.key in only or each.key.startswith(OPTION)]


def works(option: OptionScript) -> bool:
    """Return whether an option is a piece of work at the bench."""
    return bool(option.minutes) or option.key == WHOLE_JOB


def suggested(option: OptionScript) -> Suggestion:
    """Return an option of the script as the workshop rules plan it."""
    job = JOB_OF.get(option.key, option.key)
    whole = option.key == WHOLE_JOB or option.key.startswith(NEW_HOLES)
    known = job in {each.key for each in JOBS}
    depth = depth_of(job) if known else OpeningDepth.OPENED
    depth = OpeningDepth.OUTSIDE if job in OUTSIDE else depth
    return Suggestion(
        key=job,
        title=option.title,
        reason=option.reason,
        evidence=(),
        risk=option.risk,
        if_left=option.if_left,
        time=WorkTime(least_min=option.minutes, most_min=option.minutes),
        depth=OpeningDepth.APART if whole else depth,
    )


def bench_step(
    planned: PlannedStep, script: VisitScript, days: Days, *, done: bool, random: Random
) -> BenchStep:
    """Return the step, with the minutes it took if it was done."""
    key, minutes = planned.key, planned.time.middle_min if planned.time else 0
    took = max(5, round(minutes * random.uniform(0.8, 1.3)))
    who = "miro" if key in APPRENTICES_STEPS and random.random() < 0.5 else random.choice(RESTORERS)
    return BenchStep(
        key=key,
        title=planned.title,
        how=planned.how,
        caution=planned.caution or "",
        planned_minutes=minutes,
        minutes=took if done else None,
        done_on=days.on("on-the-bench") if done else None,
        by=who if done else "",
        note=note_of(script, key) if done else "",
    )


def note_of(script: VisitScript, key: str) -> str:
    """Return what the script notes of a step; it calls an option by its own key."""
    bare = key.removeprefix(OPTION)
    own = next((each.key for each in script.last_options if JOB_OF.get(each.key) == bare), bare)
    return script.step_notes.get(own, "")


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


def pressure_test(script: VisitScript, days: Days) -> Iterator[BenchStep]:
    """Yield the test of the case where the owner agreed to one and the watch was ready since."""
    agreed = script.pressure_bar
    if agreed is None or not days.reached("ready"):
        return
    yield BenchStep(
        kind="test",
        key="test-pressure",
        title="Pressure, if agreed",
        value=agreed,
        u=PRESSURE_U_BAR,
        unit="bar",
        result="good",
        done_on=days.on("on-test"),
        by=RESTORERS[0],
        note=f"tested dry, at the {agreed:g} bar agreed",
    )
