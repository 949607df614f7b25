"""`sideshake quickset`: the hours in which a date must not be set on its own."""

from pathlib import Path

from sideshake.command.options import Json
from sideshake.command.quickset_day import day_picture, with_day
from sideshake.command.say import CommandAnswer, Grid, save_picture, say
from sideshake.core.errors import InputError
from sideshake.movement.calendar import (
    LEAST_MARGIN_H,
    READ_TO_MIN,
    Engagement,
    QuickSet,
    RuleCheck,
    common_advice,
    engagement_of,
    hand_time,
    polymer_warning,
    quick_set,
    rule_check,
    watched,
)
from sideshake.movement.day import day_hours
from sideshake.movement.sections import Calendar
from sideshake.movement.sheet_file import sheet_at


def quickset(
    sheet: str | None = None,
    *,
    touch: str | None = None,
    jump: str | None = None,
    free: str | None = None,
    read_to_min: float = READ_TO_MIN,
    margin_h: float = LEAST_MARGIN_H,
    rule: tuple[float, float] = (3.0, 9.0),
    as_json: Json = False,
    pictures: Path | None = None,
) -> None:
    """Show the hours in which the date must not be set on its own.

    From a calibre sheet, or from three hand times watched while the hands are turned slowly
    forward: when the date first moves or resists, when it jumps, when the finger is free again.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as lindquell-25).
    touch
        Hand time at which the date first moves or resists, such as 21:10.
    jump
        Hand time at which the date jumps, such as 0:05.
    free
        Hand time at which the finger is free again, such as 1:20.
    read_to_min
        How closely the hand times were read, in minutes (standard uncertainty).
    margin_h
        Margin on either side, in hours; 1 at least.
    rule
        A rule of thumb to check: the hour hand stands between these two hours.
    as_json
        Write JSON instead of words.
    pictures
        A folder for the picture of the dial.
    """
    calibre = sheet_at(sheet) if sheet is not None else None
    calendar = calibre.needed("calendar", "the forbidden hours") if calibre is not None else None
    engaged = engagement((touch, jump, free), calendar, read_to_min=read_to_min)
    name = calibre.name if calibre else "This watch"
    half_day = bool(calendar and calendar.dial_shows_half_day)
    forbidden = (
        quick_set(engaged, margin_h=margin_h, shows_half_day=half_day)
        if engaged is not None
        else common_advice()
    )
    checked = rule_check(forbidden, start_h=rule[0], end_h=rule[1])
    warning = polymer_warning(calibre) if calibre else ""
    answer = quickset_words(name, forbidden, checked, warning=warning)
    day = day_hours(calibre, margin_h=margin_h) if calibre else None
    if day is not None:
        answer = with_day(answer, day, rule_check(day, start_h=rule[0], end_h=rule[1]))
    drawn: list[str] = []
    if pictures is not None and calibre is not None and day is not None:
        drawn.append(day_picture(pictures, name, day, rule=rule))
    if pictures is not None:
        from sideshake.drawings.dial import dial_drawing
        from sideshake.drawings.svg import svg_text

        drawing = dial_drawing(forbidden, checked, title=name, warning=warning)
        drawn.insert(0, save_picture(pictures, "quickset.svg", svg_text(drawing)))
    say(answer, as_json=as_json, drawn=drawn)


def engagement(
    times: tuple[str | None, str | None, str | None],
    calendar: Calendar | None,
    *,
    read_to_min: float,
) -> Engagement | None:
    """Return the engaged hours from the times typed in, else from the sheet; None if neither."""
    touch, jump, free = times
    if touch is not None and jump is not None and free is not None:
        return watched(touch, jump, free=free, u_min=read_to_min)
    if any(time is not None for time in times):
        raise InputError("all three are needed: --touch, --jump and --free")
    return engagement_of(calendar) if calendar is not None else None


def quickset_words(
    name: str, forbidden: QuickSet, rule: RuleCheck, *, warning: str
) -> CommandAnswer:
    """Return the forbidden hours in words."""
    safe = forbidden.arcs[1]
    start, end = hand_time(forbidden.start_h), hand_time(forbidden.end_h)
    sentences = [f"{name}: do not set the date on its own from {start} to {end}."]
    if forbidden.dial_h < 24:
        sentences.append(
            "The dial does not tell morning from evening, so set it only with the hour hand "
            f"between {dial_hour(safe.start_h)} and {dial_hour(safe.end_h)}."
        )
    sentences.append(f"{rule.words[0].upper()}{rule.words[1:]}.")
    if warning:
        sentences.append(warning)
    return CommandAnswer(
        schema="quickset",
        sentences=sentences,
        grids=[window_grid(forbidden)],
        notes=notes(forbidden),
        figures={
            "name": name,
            "forbidden_from_h": forbidden.start_h,
            "forbidden_to_h": forbidden.end_h,
            "dial_h": forbidden.dial_h,
            "engagement": forbidden.engagement,
            "arcs": forbidden.arcs,
            "rule": rule,
            "rule_holds": rule.holds,
        },
    )


def dial_hour(hours: float) -> str:
    """Return a place on a twelve-hour dial as a hand time, 12 for the top."""
    written = hand_time(hours % 12)
    return "12" + written[1:] if written.startswith("0:") else written


def window_grid(forbidden: QuickSet) -> Grid:
    """Return the engaged hours as a table."""
    engaged = forbidden.engagement
    rows = [
        ("known by", engaged.known_by),
        ("first touch before the jump", f"{engaged.before_h.text()} h"),
        ("the date jumps at", hand_time(engaged.jump_h.value)),
        ("free after the jump", f"{engaged.after_h.text()} h"),
        ("forbidden", f"{hand_time(forbidden.start_h)} to {hand_time(forbidden.end_h)}"),
    ]
    return Grid(title="", columns=("the date work", ""), rows=rows)


def notes(forbidden: QuickSet) -> list[str]:
    """Return what to know beside the hours."""
    told = ["A margin of 1 h at least on either side is common practice."]
    if forbidden.engagement.known_by == "common advice":
        told = [
            "Nothing is known of this calibre: published windows disagree, and this is the widest "
            "of them. Better: watch first touch, jump and free at the bench."
        ]
    return [
        *told,
        "Do not turn the hands backwards through these hours either, unless the finger is known "
        "to yield.",
        "To find midnight, turn forward until the date changes, then on to the time.",
    ]
