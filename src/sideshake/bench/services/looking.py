"""The look-over: questions of the calibre, answers by one key, and the findings they bring."""

from django.db import transaction

from sideshake.bench.models import Finding, LookOver, Lume, Severity, User, Visit, Watch
from sideshake.bench.services.saving import remove, save
from sideshake.bench.sheets import sheet_named
from sideshake.errors import InputError
from sideshake.shop.cautions import Caution, Known, cautions
from sideshake.shop.findings import BY_KEY, usual_findings
from sideshake.shop.look_over import questions
from sideshake.shop.question import Question


def cautions_for(watch: Watch, found: list[str]) -> tuple[Caution, ...]:
    """Return the cautions for a watch, with the keys of what was found."""
    known = Known(
        year_from=watch.year_from,
        year_to=watch.year_to,
        luminous=None if watch.lume == Lume.UNKNOWN else watch.lume != Lume.NONE,
        burn_marks=watch.burn_marks,
        marked_t=watch.t_mark,
        lume_dead=watch.lume == Lume.DEAD,
        magnetised="magnetised" in found,
        water_damage=any("water" in key for key in found),
    )
    return cautions(known, sheet_named(watch.calibre))


def questions_for(watch: Watch) -> tuple[Question, ...]:
    """Return the look-over's questions for a watch."""
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


@transaction.atomic
def answer(visit: Visit, question: Question, choice_key: str, *, note: str, by: User) -> LookOver:
    """Return the stored answer; the finding it implies is added, and the former one removed."""
    choice = question.answer(choice_key)
    stored = LookOver.objects.filter(visit=visit, question=question.key).first()
    row = stored or LookOver(visit=visit, question=question.key)
    before = question.answer(row.choice).finding if stored and is_choice(question, row) else None
    row.choice, row.said, row.by = choice.key, choice.text, by
    row.note = note or row.note
    save(row, by, what=f"look-over: {question.title} {choice.text}")
    if before != choice.finding:
        take_back(visit, before, by)
        add_finding(visit, choice.finding, by)
    return row


def is_choice(question: Question, row: LookOver) -> bool:
    """Whether the stored answer is still one of the question's."""
    return any(each.key == row.choice for each in question.answers)


def take_back(visit: Visit, key: str | None, by: User) -> None:
    """Remove the finding a former answer brought, if nobody has written on it since."""
    if key:
        for finding in Finding.objects.filter(visit=visit, key=key, version=1, detail=""):
            remove(finding, by)


def add_finding(visit: Visit, key: str | None, by: User) -> None:
    """Add a usual finding to a visit, unless it is there or the calibre has none of that key."""
    usual = {each.key: each for each in usual_findings(sheet_named(visit.watch.calibre))}
    found = usual.get(key or "") or BY_KEY.get(key or "")
    if found is None or Finding.objects.filter(visit=visit, key=found.key).exists():
        return
    record = Finding(visit=visit, key=found.key, severity=Severity.WORN)
    record.title, record.part = found.title[:160], found.part[:80]
    save(record, by)
