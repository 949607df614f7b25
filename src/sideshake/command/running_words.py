"""The sheet's own spring in words: turns, torque, what the watch uses of them, how long it runs."""

import math

from sideshake.command.say import CommandAnswer, Grid
from sideshake.core.errors import Lacking, NotEnough
from sideshake.core.quantities import COVERAGE_FACTOR, Measured, propagate
from sideshake.movement.drive import (
    IN_PARALLEL,
    IN_SERIES,
    barrels_of,
    running_h,
    torque_left_after,
)
from sideshake.movement.energy import amplitude_at, losses_of
from sideshake.movement.escapement import limits_of
from sideshake.movement.fusee import pull_of_fusee
from sideshake.movement.hand_times import DAY_H
from sideshake.movement.mainspring import (
    Spring,
    SpringRoom,
    best_length,
    filled,
    room_of,
    spring_of,
    torque_curve,
)
from sideshake.movement.running import Running, first_torque, torque_at_the_teeth
from sideshake.movement.sheet import CalibreSheet

FROM_MEMORY = "from memory"


def percent(share: Measured, *, sign: bool = False) -> str:
    """Return a share in per cent with its uncertainty."""
    return Measured(100 * share.value, 100 * share.u).text(sign=sign)


def spring_words(calibre: CalibreSheet, whole: Running, *, counted: bool = False) -> CommandAnswer:
    """Return the sheet's own spring in words: turns, torque, fill, running time, fall in a day."""
    room, right = room_of(calibre), spring_of(calibre)
    strong = first_torque(room, right, whole)
    teeth = torque_at_the_teeth(strong, whole)
    end = "the chain" if calibre.fusee else "the barrel's teeth"
    sentence = (
        f"{calibre.name}: the spring makes {whole.spring_turns.text()} turns; fully wound it gives "
        f"{strong.text()} mN·m, of which {teeth.text()} reach {end}."
        f"{drive_sentence(calibre)}"
    )
    rows = [*turn_rows(whole), *torque_rows(room, right, whole=whole)]
    figures: dict[str, object] = {
        "calibre": calibre.name,
        "turns": whole.spring_turns,
        "turns_used": whole.turns,
        "turns_used_from": "count" if counted else "sheet",
        "turns_unused": [
            {"by": each.part.value, "turns": each.turns, "from_memory": each.from_memory}
            for each in whole.unused
        ],
        "full_torque_mnm": strong,
        "barrel_efficiency": whole.efficiency,
        "teeth_torque_mnm": teeth,
        "fill": filled(room, right),
        "best_length_mm": best_length(room, right.thickness_mm),
        "curve": torque_curve(room, right),
    }
    try:
        hours = running_h(calibre, whole, counted=counted)
    except (Lacking, NotEnough):
        return CommandAnswer(
            schema="spring", sentences=[sentence], grids=[grid(rows)], figures=figures
        )
    said = running_sentence(whole, hours, counted=counted)
    rows += [("running time", hours.text(), "h"), *stated_row(calibre)]
    more_rows, more_figures, later = after_a_day(calibre, whole, hours)
    return CommandAnswer(
        schema="spring",
        sentences=[f"{sentence} {said}{later}"],
        grids=[grid([*rows, *more_rows])],
        figures=figures | {"running_h": hours} | more_figures,
        version=2,
    )


def drive_sentence(calibre: CalibreSheet) -> str:
    """Return what two barrels, or a fusee, make of what one barrel gives; empty for one barrel."""
    if calibre.fusee:
        found = pull_of_fusee(calibre)
        return (
            f" The chain takes {found.barrel_turns.text()} of its turns; the fusee gets "
            f"{found.full_mnm.text()} mN·m fully wound and {percent(found.last_over_full)} % of "
            "that at the end, friction left out."
        )
    return {
        IN_SERIES: " That is one of two barrels in series: twice the turns at this torque.",
        IN_PARALLEL: " That is one of two barrels in parallel: these turns at twice the torque.",
    }.get(barrels_of(calibre), "")


def stated_row(calibre: CalibreSheet) -> list[tuple[str, str, str]]:
    """Return the power reserve that the sheet states, to stand under the one computed."""
    stated = calibre.nominal.power_reserve_h if calibre.nominal else None
    return [("power reserve the sheet states", stated.text(), "h")] if stated else []


def running_sentence(whole: Running, hours: Measured, *, counted: bool) -> str:
    """Return how long it runs, and on how many turns."""
    if not counted:
        return f"The watch uses {whole.turns.text()} of these turns and runs {hours.text()} h"
    return f"{whole.turns.text()} counted turns run {hours.text()} h{beyond_words(whole)}"


def beyond_words(whole: Running) -> str:
    """Return a doubt when more turns were counted than the spring makes; else nothing."""
    counted, most = whole.turns, whole.spring_turns
    if counted.value - most.value <= COVERAGE_FACTOR * math.hypot(counted.u, most.u):
        return ""
    return (
        f", but the sheet's spring makes only {most.text()}: count again, or another spring is in "
        "the barrel"
    )


def turn_rows(whole: Running) -> list[tuple[str, str, str]]:
    """Return what the spring makes, what is not used and why, and what is left."""
    unused = [
        (
            f"not used: {each.part}",
            each.turns.text(),
            FROM_MEMORY if each.from_memory else "",
        )
        for each in whole.unused
    ]
    return [
        ("turns of the spring", whole.spring_turns.text(), ""),
        *unused,
        ("turns the watch uses", whole.turns.text(), ""),
    ]


def torque_rows(room: SpringRoom, right: Spring, *, whole: Running) -> list[tuple[str, str, str]]:
    """Return torque of the strip and at the teeth, and how the strip fills its room."""
    strong = first_torque(room, right, whole)
    return [
        ("torque of the strip, watch fully wound", strong.text(), "mN·m"),
        (
            "barrel efficiency",
            percent(whole.efficiency),
            f"%{f', {FROM_MEMORY}' if whole.efficiency_from_memory else ''}",
        ),
        ("torque at the barrel's teeth", torque_at_the_teeth(strong, whole).text(), "mN·m"),
        ("the strip fills", percent(filled(room, right)), "% of its room"),
        ("length that fills half", best_length(room, right.thickness_mm).text(), "mm"),
    ]


def after_a_day(
    calibre: CalibreSheet, whole: Running, hours: Measured
) -> tuple[list[tuple[str, str, str]], dict[str, object], str]:
    """Return rows, figures and the end of the sentence on the torque left after 24 h.

    A watch that has stopped by then says so by its hours.
    """
    if hours.value <= DAY_H:
        return [], {}, "."
    left = torque_left_after(calibre, DAY_H, whole)
    rows = [("torque left after 24 h", percent(left), "%")]
    figures: dict[str, object] = {"torque_left_24h": left}
    modelled = not limits_of(calibre).losses_unknown
    if modelled and calibre.nominal and calibre.nominal.lying_full_deg:
        given = propagate(lambda later, now: later * now, left, whole.gives)
        later = amplitude_at(losses_of(calibre), given)
        rows.append(("amplitude lying after 24 h", later.text(), "°, by the model"))
        figures["lying_24h_deg"] = later
    return rows, figures, f"; after 24 h {percent(left)} % of the torque is left."


def grid(rows: list[tuple[str, str, str]]) -> Grid:
    """Return a table of named figures."""
    return Grid(title="", columns=("the spring of the sheet", "", ""), rows=rows, numbers=(1,))


def torque_picture(calibre: CalibreSheet, whole: Running) -> str:
    """Return the torque curve as SVG, with the day marked if the train is known."""
    from sideshake.drawings.spring import used_torque
    from sideshake.drawings.svg import svg_text

    return svg_text(used_torque(calibre, whole))
