"""The look-over: one question at a time, each answer one key."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from sideshake.bench.access import signed_in, visit_by_number
from sideshake.bench.models import Visit
from sideshake.bench.services.looking import (
    answer,
    cautions_for,
    question_by_key,
    questions_for,
)
from sideshake.shop.question import Question


def look_over(request: HttpRequest, number: str) -> HttpResponse:
    """Show the next open question, or the one asked for, and all answers so far."""
    visit = visit_by_number(number)
    asked = questions_for(visit.watch)
    answers = {row.question: row for row in visit.look_over.all()}
    wanted = request.GET.get("question")
    open_ones = [each for each in asked if each.key not in answers]
    now = next((each for each in asked if each.key == wanted), open_ones[0] if open_ones else None)
    found = list(visit.findings.values_list("key", flat=True))
    shown = {
        "visit": visit,
        "now": now,
        "given": answers.get(now.key) if now else None,
        "before": before(asked, now),
        "rows": [(question, answers.get(question.key)) for question in asked],
        "left": len(open_ones),
        "of": len(asked),
        "cautions": cautions_for(visit.watch, found),
    }
    return render(request, "bench/look_over.html", shown)


def before(asked: tuple[Question, ...], now: Question | None) -> str:
    """Return the key of the question before; the last one when all are answered."""
    place = asked.index(now) if now else len(asked)
    return asked[place - 1].key if place > 0 else ""


@require_POST
def answer_question(request: HttpRequest, number: str) -> HttpResponse:
    """Store one answer, and go on to the next open question."""
    visit: Visit = visit_by_number(number)
    question = question_by_key(visit.watch, request.POST.get("question", ""))
    choice, note = request.POST.get("choice", ""), request.POST.get("note", "")[:300]
    answer(visit, question, choice, note=note, by=signed_in(request))
    return redirect("look-over", number)
