"""The look-over: questions of the calibre, answers by one key, and the findings they bring."""

from dataclasses import dataclass

from django.db import transaction

from sideshake.core.errors import InputError
from sideshake.web.base.saving import EditConflict, last_change, remove, save
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.models import Finding, LookOver, Lume, Severity, User, Visit, Watch
from sideshake.workshop_rules.cautions import KnownOfWatch, WatchCaution, cautions
from sideshake.workshop_rules.findings import BY_KEY, UsualFinding, usual_findings
from sideshake.workshop_rules.question import Question

OF_EVERY_WATCH = {"mainspring", "solvents", "water-claims", "local-rules"}
"""Cautions that hold for every watch: told, but not in the way of its own."""


def own_and_usual(told: tuple[WatchCaution, ...]) -> tuple[list[WatchCaution], list[WatchCaution]]:
    """Return the cautions of this very watch, and those of every watch."""
    own = [each for each in told if each.key not in OF_EVERY_WATCH]
    return own, [each for each in told if each.key in OF_EVERY_WATCH]


def cautions_for(watch: Watch, found: list[str]) -> tuple[WatchCaution, ...]:
    """Return the cautions of the bench for a watch, with the keys of what was found."""
    return cautions(known_of(watch, found), sheet_named(watch.calibre))


def known_of(watch: Watch, found: list[str]) -> KnownOfWatch:
    """Return what is known of a watch, with the keys of what was found."""
    return KnownOfWatch(
        year_from=watch.year_from,
        year_to=watch.year_to,
        luminous=None if watch.lume == Lume.UNKNOWN else watch.lume != Lume.NONE,
        burn_marks=watch.burn_marks,
        marked_t=watch.t_mark,
        lume_dead=watch.lume == Lume.DEAD,
        magnetised="magnetised" in found,
        water_damage=any("water" in key for key in found),
    )


def questions_for(watch: Watch) -> tuple[Question, ...]:
    """Return the look-over's questions for a watch."""
    from sideshake.workshop_rules.look_over import questions  # papers ask for cautions only

    return questions(sheet_named(watch.calibre))


def question_by_key(watch: Watch, key: str) -> Question:
    """Return one question.

    Raises
    ------
    InputError : there is no such question for this calibre
    """
    found = next((each for each in questions_for(watch) if each.key == key), None)
    if found is None:
        raise InputError(f"the look-over of this watch has no question {key!r}")
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerGiven:
    """An answer as it was given: the choice's key, a note, and the version that was seen."""

    choice: str
    note: str = ""
    seen: int = 0
    """The version of the answer that was there; 0 when there was none."""


@transaction.atomic
def answer_all(visit: Visit, answers: dict[str, AnswerGiven], by: User) -> None:
    """Store answers by the key of their question, all or none; what is the same stays untouched."""
    asked = {question.key: question for question in questions_for(visit.watch)}
    stored = {row.question: row for row in visit.look_over.all()}
    for key, given in answers.items():
        row = stored.get(key)
        if row is None or (row.choice, row.note) != (given.choice, given.note):
            answer(visit, asked[key], given, by)


@transaction.atomic
def answer(visit: Visit, question: Question, given: AnswerGiven, by: User) -> LookOver:
    """Return the stored answer; the finding it implies is added, and the former one removed.

    Raises
    ------
    Overtaken : somebody else has answered it meanwhile
    """
    choice = question.answer(given.choice)
    stored = LookOver.objects.filter(visit=visit, question=question.key).first()
    if stored and stored.version != given.seen:
        raise EditConflict(stored, last_change(stored))
    row = stored or LookOver(visit=visit, question=question.key)
    before = finding_of(question, row)
    row.choice, row.said, row.by, row.note = choice.key, choice.text, by, given.note
    save(row, by, what=f"look-over: {question.title} {choice.text}")
    if before != choice.finding:
        if before not in implied(visit):
            take_back(visit, before, by)
        add_finding(visit, choice.finding, by)
    return row


def finding_of(question: Question, row: LookOver) -> str | None:
    """Return the key of the finding that a stored answer implies; None when it implies none."""
    return next((each.finding for each in question.answers if each.key == row.choice), None)


def implied(visit: Visit) -> set[str | None]:
    """Return the keys of the findings that the answers now stored imply."""
    asked = {question.key: question for question in questions_for(visit.watch)}
    rows = LookOver.objects.filter(visit=visit, question__in=asked)
    return {finding_of(asked[row.question], row) for row in rows}


def take_back(visit: Visit, key: str | None, by: User) -> None:
    """Remove the finding a former answer brought, if nobody has written on it since."""
    if key:
        for finding in Finding.objects.filter(
            visit=visit, key=key, version=1, detail="", photograph=None
        ):
            remove(finding, by)


def add_finding(visit: Visit, key: str | None, by: User) -> None:
    """Add a usual finding to a visit, unless it is there or the calibre has none of that key."""
    usual = {each.key: each for each in usual_findings(sheet_named(visit.watch.calibre))}
    found = usual.get(key or "") or BY_KEY.get(key or "")
    if found is None or Finding.objects.filter(visit=visit, key=found.key).exists():
        return
    save(finding_not_stored(visit, found), by)


def finding_not_stored(
    visit: Visit, usual: UsualFinding, severity: Severity = Severity.WORN
) -> Finding:
    """Return a usual finding at a visit, not stored yet."""
    record = Finding(visit=visit, key=usual.key, severity=severity)
    record.title, record.part = usual.title[:160], usual.part[:80]
    return record
