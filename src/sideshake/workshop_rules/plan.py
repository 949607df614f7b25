"""The bench plan: the steps of the work in the order of the trade, for one watch and its options.

The order is that of training workshops: as found, apart, cleaned, repaired, together, timed, then
chronograph and calendar, dial and hands, case, pressure, final days. Times are common practice,
no source.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sideshake.fit.tooling import Plan, ToolingCaution
from sideshake.movement.sheet import CalibreSheet
from sideshake.workshop_rules.bench_work import AFTER_REPAIR, BEFORE_REPAIR, UsualStep
from sideshake.workshop_rules.mechanism import Mechanism, mechanisms
from sideshake.workshop_rules.options import OVERHAUL, OpeningDepth, Suggestion, WorkTime

OPTION = "option-"
"""The step of an option has its key after this."""
PRESSURE_STEP = "pressure-test"
PAINT_STEP = "dial-hands"
"""Its caution points at those about luminous paint."""
LAYERS = {
    Mechanism.AUTOMATIC: ("rotor", "automatic-work"),
    Mechanism.CHRONOGRAPH: ("chronograph",),
    Mechanism.CALENDAR: ("calendar", "calendar-wheel", "corrector"),
}
"""The jobs for which a layer comes off, also where the movement stays together."""
CLOSED = ("demagnetise",)
"""Jobs for which the case stays closed."""
CASE_STEPS = ("open-case", "case-up")
NEW_HOLES = ("jewel-", "bush-", "train-bearing", "barrel")
HOLE_HOW = (
    "Measure hole, pivot and metal, and reckon the new part and its reamers before anything is "
    "cut. Then ream, press, check endshake, side shake and the rim."
)
HOLE_CAUTIONS = (
    ToolingCaution.POWER,
    ToolingCaution.EYES,
    ToolingCaution.PRACTICE,
    ToolingCaution.RULES,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStep:
    """One step at the bench: what, how, what can go wrong, and how long it usually takes."""

    key: str
    title: str
    how: str
    caution: str | None
    time: WorkTime | None


def bench_steps(
    sheet: CalibreSheet | None,
    chosen: tuple[Suggestion, ...],
    *,
    fitted: Mapping[str, tuple[Plan, ...]] | None = None,
    pressure_test: bool = False,
    paint_cautions: bool = True,
) -> tuple[PlannedStep, ...]:
    """Return the steps of the work in order; none when nothing was chosen.

    Parameters
    ----------
    sheet : without one, every mechanism a watch may have is in the plan
    chosen : the options the owner agreed to
    fitted : by an option's key, the way to each of its new holes, once `fit.tooling` reckoned it
    pressure_test : whether the owner agreed to one
    paint_cautions : whether the watch has cautions about luminous paint, which a step points at
    """
    if not chosen:
        return ()
    depth = max(each.depth for each in chosen)
    jobs = tuple(each.key for each in chosen)
    after = [
        each if paint_cautions or each.key != PAINT_STEP else replace(each, caution=None)
        for each in usual_steps(AFTER_REPAIR, sheet, depth, jobs=jobs)
        if pressure_test or each.key != PRESSURE_STEP
    ]
    before = usual_steps(BEFORE_REPAIR, sheet, depth, jobs=jobs)
    return (*before, *repair_steps(chosen, fitted or {}), *after)


def usual_steps(
    steps: tuple[UsualStep, ...],
    sheet: CalibreSheet | None,
    depth: OpeningDepth,
    *,
    jobs: tuple[str, ...] = (),
) -> tuple[PlannedStep, ...]:
    """Return those of the usual steps that this watch needs when it is opened so far.

    `jobs` : the keys of what is done to it: the layer they work on comes off and goes on again
    """
    has = mechanisms(sheet)
    return tuple(
        PlannedStep(
            key=each.key,
            title=each.title,
            how=each.how_for(has),
            caution=each.caution,
            time=WorkTime(least_min=each.minutes[0], most_min=each.minutes[1]),
        )
        for each in steps
        if (each.needs is None or each.needs in has) and is_due(each, depth, jobs)
    )


def is_due(step: UsualStep, depth: OpeningDepth, jobs: tuple[str, ...]) -> bool:
    """Return whether a step is to be done for these jobs when the watch is opened so far."""
    if step.key in CASE_STEPS and depth is OpeningDepth.OUTSIDE:
        return any(each not in CLOSED for each in jobs)
    layered = step.needs is not None and not set(jobs).isdisjoint(LAYERS.get(step.needs, ()))
    return step.depth <= depth or layered


def overhaul_time(sheet: CalibreSheet | None) -> WorkTime:
    """Return how long the usual steps of an overhaul take, without any repair."""
    steps = (
        *usual_steps(BEFORE_REPAIR, sheet, OpeningDepth.APART),
        *usual_steps(AFTER_REPAIR, sheet, OpeningDepth.APART),
    )
    return whole_time(tuple(each for each in steps if each.key != PRESSURE_STEP))


def repair_steps(
    chosen: tuple[Suggestion, ...], fitted: Mapping[str, tuple[Plan, ...]]
) -> tuple[PlannedStep, ...]:
    """Return a step for each option chosen, and the way to each new hole."""
    steps: list[PlannedStep] = []
    for each in chosen:
        if each.key == OVERHAUL:
            continue  # the plan itself is the overhaul
        if is_new_hole(each):
            steps += hole_steps(each, fitted.get(each.key, ()))
        else:
            steps.append(option_step(each))
    return tuple(steps)


def is_new_hole(option: Suggestion) -> bool:
    """Return whether an option cuts a new hole."""
    return option.key.startswith(NEW_HOLES)


def option_step(option: Suggestion) -> PlannedStep:
    """Return the step of an option as it was agreed."""
    parts = f" Parts: {', '.join(option.parts)}." if option.parts else ""
    outwork = f" Outwork: {option.outwork}." if option.outwork else ""
    return PlannedStep(
        key=f"{OPTION}{option.key}",
        title=option.title,
        how=f"As agreed.{parts}{outwork} Note what was found and what was done; keep the old "
        "parts in a bag with the visit's number.",
        caution=option.risk,
        time=option.time,
    )


def hole_steps(option: Suggestion, fitted: tuple[Plan, ...]) -> list[PlannedStep]:
    """Return the steps to the new holes: from the fit, or one step that asks for it."""
    if not fitted:
        return [
            PlannedStep(
                key=f"{OPTION}{option.key}",
                title=option.title,
                how=" ".join((*option.evidence, HOLE_HOW)),
                caution=" ".join(HOLE_CAUTIONS),
                time=option.time,
            )
        ]
    return [
        PlannedStep(
            key=f"{OPTION}{option.key}-{hole}-{number}",
            title=f"{option.title}: {number} of {len(plan.steps)}",
            how=how,
            caution=" ".join(plan.cautions) if number == 1 else None,
            time=option.time if (hole, number) == (1, 1) else None,
        )
        for hole, plan in enumerate(fitted, start=1)
        for number, how in enumerate(plan.steps, start=1)
    ]


def whole_time(steps: tuple[PlannedStep, ...]) -> WorkTime:
    """Return how long all steps together usually take."""
    times = [each.time for each in steps if each.time]
    return sum(times, start=WorkTime(least_min=0, most_min=0))
