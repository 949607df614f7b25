"""The look-over answered to the end: what is told of a visit first, the rest as it follows."""

from sideshake.demo.script import VisitScript
from sideshake.demo.shapes import Watch
from sideshake.demo.visit import Answer
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.workshop_rules.look_over import questions
from sideshake.workshop_rules.question import GOOD, HAS_NONE, NOT_TRIED, Question, QuestionGroup

STILL_AT_IT = "looked-over"
NEEDS_RUNNING = {"runs", "full-wind"}
FUNCTIONS = (QuestionGroup.CALENDAR, QuestionGroup.CHRONOGRAPH, QuestionGroup.SETTING)


def answers_of(script: VisitScript, watch: Watch) -> tuple[Answer, ...]:
    """Return the answers; one composed visit that has just been looked at keeps some for later."""
    told = dict(script.look_over)
    if script.step != STILL_AT_IT or script.hero:
        sheet = shipped_sheet(watch.calibre) if watch.calibre else None
        for question in questions(sheet):
            told.setdefault(question.key, follows(question, script, watch))
    return tuple(answer(question, said) for question, said in told.items())


def answer(question: str, told: str) -> Answer:
    """Return an answer written as its key, perhaps with a note after a comma."""
    choice, _, note = told.partition(",")
    return Answer(question=question, choice=choice.strip(), note=note.strip())


def follows(question: Question, script: VisitScript, watch: Watch) -> str:
    """Return the key of the answer that follows from what else is told of the visit."""
    found = {each.key for each in script.findings if each.key}
    implied = [each.key for each in question.answers if each.finding in found]
    if implied:
        return implied[0]
    if HAS_NONE in question.answers and not has(question, watch):
        return HAS_NONE.key
    return NOT_TRIED.key if left_alone(question, script, watch) else GOOD.key


def has(question: Question, watch: Watch) -> bool:
    """Return whether a watch without a full sheet is seen to have what is asked for."""
    looks = watch.looks
    return {
        QuestionGroup.CHRONOGRAPH: looks.counters > 1,
        QuestionGroup.CALENDAR: looks.window != "none",
        QuestionGroup.AUTOMATIC: looks.rotor,
        QuestionGroup.DIAL: watch.lume != "none",
    }.get(question.group, False)


def left_alone(question: Question, script: VisitScript, watch: Watch) -> bool:
    """Return whether this was not tried: a closed case, a watch that stands, suspected paint."""
    if not script.opened:
        return True
    if question.key == "lume":
        return watch.lume != "none"
    stands = script.runs is False
    return stands and (question.key in NEEDS_RUNNING or question.group in FUNCTIONS)
