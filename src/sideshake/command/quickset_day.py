"""What `sideshake quickset` adds for a day of the week with a finger of its own."""

from dataclasses import replace
from pathlib import Path

from sideshake.command.say import CommandAnswer, Grid, save_picture
from sideshake.movement.calendar import QuickSet, RuleCheck, hand_time, rule_check
from sideshake.movement.day import DAY


def with_day(date: CommandAnswer, day: QuickSet, rule: RuleCheck) -> CommandAnswer:
    """Return the answer for the date with the forbidden hours of the day of the week."""
    start, end = hand_time(day.start_h), hand_time(day.end_h)
    engaged = day.engagement
    said = f"The day of the week has a finger of its own: do not set it from {start} to {end}."
    if not rule.holds:
        said += f" For the day too {rule.words}."
    grid = Grid(
        title="",
        columns=("the work of the day", ""),
        rows=[
            ("known by", engaged.known_by),
            ("first touch before the jump", f"{engaged.before_h.text()} h"),
            ("the day jumps at", hand_time(engaged.jump_h.value)),
            ("free after the jump", f"{engaged.after_h.text()} h"),
            ("forbidden", f"{start} to {end}"),
        ],
    )
    figures = {
        "forbidden_from_h": day.start_h,
        "forbidden_to_h": day.end_h,
        "engagement": engaged,
        "arcs": day.arcs,
        "rule": rule,
        "rule_holds": rule.holds,
    }
    return replace(
        date,
        sentences=[*date.sentences, said],
        grids=[*date.grids, grid],
        figures={**date.figures, DAY: figures},
    )


def day_picture(folder: Path, name: str, day: QuickSet, *, rule: tuple[float, float]) -> str:
    """Draw the dial with the hours in which the day must not be set; return where it is."""
    from sideshake.drawings.dial import dial_drawing
    from sideshake.drawings.svg import svg_text

    checked = rule_check(day, start_h=rule[0], end_h=rule[1])
    drawing = dial_drawing(day, checked, title=name, thing=DAY)
    return save_picture(folder, "quickset-day.svg", svg_text(drawing))
