"""The look-over: one question at a time, each answer one key."""

from dataclasses import dataclass, replace
from typing import Self

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.saving import EditConflict
from sideshake.web.base.version_field import version_in
from sideshake.web.evidence.look_over import (
    AnswerGiven,
    answer,
    answer_all,
    cautions_for,
    own_and_usual,
    question_by_key,
    questions_for,
)
from sideshake.web.models import LookOver, Visit
from sideshake.workshop_rules.question import Question

LONGEST_NOTE = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionAsked:
    """A question of the list, with what is chosen, and what is stored where that is another."""

    question: Question
    choice: str
    note: str
    version: int
    said: str
    theirs: str = ""

    @classmethod
    def of(cls, question: Question, row: LookOver | None) -> Self:
        """Return the question with its stored answer."""
        if row is None:
            return cls(question=question, choice="", note="", version=0, said="")
        return cls(
            question=question, choice=row.choice, note=row.note, version=row.version, said=row.said
        )

    def typed_over(self, given: AnswerGiven) -> Self:
        """Return the question with what was typed, and what somebody else stored meanwhile."""
        theirs = self.said if self.version != given.seen else ""
        return replace(self, choice=given.choice, note=given.note, theirs=theirs)


def look_over(request: HttpRequest, number: str) -> HttpResponse:
    """Show the next open question, or the one asked for, and all answers so far."""
    visit = visit_by_number(number)
    asked = questions_for(visit.watch)
    answers = {row.question: row for row in visit.look_over.all()}
    wanted = request.GET.get("question")
    open_ones = [each for each in asked if each.key not in answers]
    now = next((each for each in asked if each.key == wanted), open_ones[0] if open_ones else None)
    found = list(visit.findings.values_list("key", flat=True))
    own, usual = own_and_usual(cautions_for(visit.watch, found))
    shown = {
        "visit": visit,
        "now": now,
        "given": answers.get(now.key) if now else None,
        "before": before(asked, now),
        "rows": [(question, answers.get(question.key)) for question in asked],
        "left": len(open_ones),
        "of": len(asked),
        "cautions": own,
        "usual": usual,
    }
    return render(request, "evidence/look_over.html", shown)


def before(asked: tuple[Question, ...], now: Question | None) -> str:
    """Return the key of the question before; the last one when all are answered."""
    place = asked.index(now) if now else len(asked)
    return asked[place - 1].key if place > 0 else ""


@require_POST
def answer_question(request: HttpRequest, number: str) -> HttpResponse:
    """Store one answer, and go on to the next open question."""
    visit: Visit = visit_by_number(number)
    question = question_by_key(visit.watch, request.POST.get("question", ""))
    answer(visit, question, given_in(request), signed_in(request))
    return redirect("look-over", number)


def given_in(request: HttpRequest, suffix: str = "") -> AnswerGiven:
    """Return the answer that was sent; its fields' names end in the suffix."""
    return AnswerGiven(
        choice=request.POST.get(f"choice{suffix}", ""),
        note=request.POST.get(f"note{suffix}", "")[:LONGEST_NOTE].strip(),
        seen=version_in(request.POST.get(f"seen{suffix}", "")),
    )


def look_over_list(request: HttpRequest, number: str) -> HttpResponse:
    """Show all questions as one list to fill in, or store what was chosen."""
    visit = visit_by_number(number)
    asked = questions_for(visit.watch)
    stored = {row.question: row for row in visit.look_over.all()}
    rows = [QuestionAsked.of(question, stored.get(question.key)) for question in asked]
    overtaken = None
    if request.method == "POST":
        sent = {each.key: given_in(request, f"-{each.key}") for each in asked}
        chosen = {key: given for key, given in sent.items() if given.choice}
        try:
            answer_all(visit, chosen, signed_in(request))
            return redirect(f"{reverse('visit', args=[number])}#looked-over")
        except EditConflict as error:
            overtaken = error
            rows = [row.typed_over(sent[row.question.key]) for row in rows]
    shown = {"visit": visit, "rows": rows, "overtaken": overtaken}
    return render(request, "evidence/look_over_list.html", shown, status=409 if overtaken else 200)
