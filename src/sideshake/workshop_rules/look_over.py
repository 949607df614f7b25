"""The guided first examination: the questions for one watch, its weak points first."""

import re
from dataclasses import replace

from sideshake.core.errors import InputError
from sideshake.movement.calendar import QuickSet, common_advice, engagement_of, hand_time, quick_set
from sideshake.movement.day import day_hours_or_advice
from sideshake.movement.hand_times import DAY_H
from sideshake.movement.sections import Calendar
from sideshake.movement.sheet import CalibreSheet
from sideshake.workshop_rules.findings import WEAK_POINT, usual_findings
from sideshake.workshop_rules.function_questions import CALENDAR, CHRONOGRAPH
from sideshake.workshop_rules.mechanism import mechanisms, unsure
from sideshake.workshop_rules.movement_questions import AUTOMATIC, INSIDE, WINDING
from sideshake.workshop_rules.outside_questions import OUTSIDE
from sideshake.workshop_rules.question import (
    HAS_NONE,
    NOT_TRIED,
    AnswerChoice,
    Question,
    QuestionGroup,
)

ALL: tuple[Question, ...] = (*OUTSIDE, *WINDING, *CALENDAR, *CHRONOGRAPH, *AUTOMATIC, *INSIDE)
"""In the order of the work: outside, winding and setting, functions, inside."""
OPENING = (
    "The case must be open for this: settle first whether its luminous paint may be radium, and "
    "whether you may open it."
)
DAY_QUESTION = "day-quick-set"
FORBIDDEN_FOR = {"date-quick-set", DAY_QUESTION}


def questions(sheet: CalibreSheet | None) -> tuple[Question, ...]:
    """Return the questions for a watch: its weak points first, then in the order of the work.

    Where the sheet is silent, or there is none, what a watch may lack can be answered "Has none".
    """
    has = mechanisms(sheet)
    asked = [for_watch(each, sheet) for each in ALL if each.needs is None or each.needs in has]
    known = [each for each in asked if each.weak_point]
    return (*known, *leftover(sheet, asked), *(each for each in asked if not each.weak_point))


def for_watch(question: Question, sheet: CalibreSheet | None) -> Question:
    """Return the question as it is asked of this watch."""
    may_lack = question.optional or question.needs in unsure(sheet)
    possible = {each.key for each in usual_findings(sheet)}
    answers = (each for each in question.answers if not each.finding or each.finding in possible)
    return replace(
        question,
        answers=(*answers, HAS_NONE) if may_lack else tuple(answers),
        caution=caution_for(question, sheet),
        weak_point="; ".join(touching(question, sheet)) or None,
    )


def caution_for(question: Question, sheet: CalibreSheet | None) -> str | None:
    """Return the question's cautions: of opening the case, of the date's hours, and its own."""
    told = [OPENING] if question.opens else []
    if question.key in FORBIDDEN_FOR:
        own = day_words(sheet) if question.key == DAY_QUESTION else ""
        told += [own or forbidden_hours(sheet), polymer(sheet)]
    return " ".join(each for each in (*told, question.caution) if each) or None


def forbidden_hours(sheet: CalibreSheet | None) -> str:
    """Return between which hand times the date must not be set on its own, in a sentence."""
    try:
        calendar = sheet.calendar if sheet else None
        hours = own_hours(calendar) if calendar else common_advice()
    except InputError:  # the sheet does not give the hours, or not rightly: the widest advice then
        hours = common_advice()
    by_advice = hours.engagement.known_by == "common advice"
    safe = hours.arcs[1]
    return (
        f"Never between {hand_time(hours.start_h)} and {hand_time(hours.end_h)} by the hands "
        f"({'the widest advice, for want of a sheet' if by_advice else 'from the calibre sheet'})"
        f"{', in the morning or in the evening alike' * (hours.dial_h < DAY_H)}: bring the hands "
        f"to about {hand_time((safe.start_h + safe.length_h / 2) % hours.dial_h)} first."
    )


def day_words(sheet: CalibreSheet | None) -> str:
    """Return between which hand times the day of the week must not be set; empty without one."""
    hours = day_hours_or_advice(sheet)
    if hours is None:
        return ""
    return (
        f"The day has a finger of its own: never between {hand_time(hours.start_h)} and "
        f"{hand_time(hours.end_h)} by the hands."
    )


def own_hours(calendar: Calendar) -> QuickSet:
    """Return the forbidden hours by the sheet."""
    return quick_set(engagement_of(calendar), shows_half_day=calendar.dial_shows_half_day is True)


def polymer(sheet: CalibreSheet | None) -> str:
    """Return the caution for a polymer wheel in the setting work; empty when there is none."""
    part = sheet.calendar.polymer_wheel if sheet and sheet.calendar else None
    return f"Polymer part: {part}. Stop at once if it cracks or slips." if part else ""


def touching(question: Question, sheet: CalibreSheet | None) -> list[str]:
    """Return the calibre's weak points that this question looks at."""
    return [text for text in weak_points_of(sheet) if speaks_of(text, question.words)]


def weak_points_of(sheet: CalibreSheet | None) -> tuple[str, ...]:
    """Return the weak points on the sheet."""
    return (sheet.weak_points or ()) if sheet else ()


def speaks_of(text: str, words: tuple[str, ...]) -> bool:
    """Return whether a text has one of the words, or a longer word that begins with it.

    Examples
    --------
    >>> speaks_of("the rotor's post wears", ("rotor",)), speaks_of("today", ("day",))
    (True, False)
    """
    return any(re.search(rf"\b{re.escape(word)}", text, re.IGNORECASE) for word in words)


def leftover(sheet: CalibreSheet | None, asked: list[Question]) -> tuple[Question, ...]:
    """Return a question of its own for each weak point that no other question looks at."""
    covered = {text for each in asked for text in touching(each, sheet)}
    return tuple(
        weak_point_question(text, number)
        for number, text in enumerate(weak_points_of(sheet), start=1)
        if text not in covered
    )


def weak_point_question(text: str, number: int) -> Question:
    """Return the question whether a known weak point shows on this watch."""
    key = f"{WEAK_POINT}{number}"
    return Question(
        key=key,
        group=QuestionGroup.WEAK_POINTS,
        title="Does this calibre's known weak point show here?",
        how="Look for it with a loupe, without taking anything apart.",
        notice=f"{text[:1].upper()}{text[1:]}.",
        answers=(
            AnswerChoice(key="g", text="No sign of it"),
            AnswerChoice(key="x", text="It shows", finding=key),
            NOT_TRIED,
        ),
        weak_point=text,
    )
