"""Proposals: drafted, edited, sent, answered, changed as a new version."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.web.base.access import pricing, visit_by_number
from sideshake.web.base.asking import Removal, SureQuestion, ask_and_remove, tried, unsure
from sideshake.web.base.editing import Editing, edit, version_seen, visit_at
from sideshake.web.base.saving import EditConflict
from sideshake.web.bench_plan.services import as_suggestion, counted_findings
from sideshake.web.documents.issuing import send_proposal as send_proposal_paper
from sideshake.web.models import Option, Proposal, User, Visit, the_workshop
from sideshake.web.money.line_forms import line_forms, stored_lines, with_more_lines
from sideshake.web.money.price_lines import option_price
from sideshake.web.proposals.answering import agree, decline, version_with_options
from sideshake.web.proposals.editions import differences
from sideshake.web.proposals.forms import AnswerForm, OptionForm, ProposalForm
from sideshake.web.proposals.offers import (
    choices_of,
    hours_behind,
    is_advised,
    is_unchosen,
    limit_of,
    numbers_of,
    proposal_totals,
    without_price,
)
from sideshake.web.proposals.rights import has_form
from sideshake.web.proposals.services import (
    draft,
    new_edition,
    require_state,
    send,
    shift,
    take_out,
    without_option,
    write_option,
    write_round,
)
from sideshake.web.templatetags.bench import amount
from sideshake.web.templatetags.bench import day as day_words
from sideshake.workshop_rules.choices import over
from sideshake.workshop_rules.due import is_past
from sideshake.workshop_rules.findings import SeenFinding
from sideshake.workshop_rules.money import Amount


@require_POST
def begin_proposal(request: HttpRequest, number: str) -> HttpResponse:
    """Draft a proposal from what was found and measured."""
    user = pricing(request)
    made = draft(visit_by_number(number), user, on=timezone.localdate())
    return redirect("proposal", number, made.edition)


def proposal(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Show a version of the proposal as the owner reads it, with what can be done next."""
    pricing(request)
    found = by_edition(number, edition)
    first = {"answered_on": timezone.localdate(), "seen": version_with_options(found)}
    form = AnswerForm(initial=first)
    advised = {each.pk for each in found.options.all() if is_advised(each)}
    return proposal_page(request, found, form, ticked=advised)


def proposal_page(
    request: HttpRequest, found: Proposal, form: AnswerForm, *, ticked: set[int], wrong: int = 422
) -> HttpResponse:
    """Return the page of a proposal; with the status `wrong` when the answer was not taken."""
    older = found.visit.proposals.filter(edition=found.edition - 1)
    before = older.prefetch_related("options").first()
    shown: dict[str, Any] = {
        "proposal": found,
        "visit": found.visit,
        "options": option_rows(found),
        "totals": proposal_totals(found, chosen_only=found.state == "agreed"),
        "unchosen": is_unchosen(found),
        "choices": () if found.state == "agreed" else choice_rows(found),
        "limit": limit_of(found),
        "unpriced": without_price(found) if found.state == "draft" else (),
        "before": before,
        "changed": differences(before, found) if before else [],
        "over": bool(found.expires_on and is_past(found.expires_on, timezone.localdate())),
        "unanswered": without_option(found.visit) if found.state == "draft" else (),
        "answer_form": form,
        "form_printed": has_form(found),
        "ticked": ticked,
    }
    return render(request, "proposals/one.html", shown, status=wrong if form.errors else 200)


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionRow:
    """An option with its price, the hours behind it, and the number whose place it takes."""

    option: Option
    price: Amount
    hours: Decimal | None
    usual: str
    instead_of: int | None


def option_rows(found: Proposal) -> list[OptionRow]:
    """Return the options of a proposal with what the workshop wants to see of their price."""
    options = list(found.options.all())
    numbers = numbers_of(options)
    rate = Decimal(the_workshop().hourly_rate)
    counted = counted_findings(found.visit)
    return [
        OptionRow(
            option=each,
            price=option_price(each, found.currency),
            hours=hours_behind(each, found.currency, rate),
            usual=usual_time(each, found.visit, counted),
            instead_of=numbers.get(each.instead_of),
        )
        for each in options
    ]


def usual_time(option: Option, visit: Visit, counted: tuple[SeenFinding, ...]) -> str:
    """Return how long an option's work usually takes; empty where the trade's list has no time."""
    time = as_suggestion(option, visit, counted).time
    return time.words if option.key and time.most_min else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceRow:
    """What can be chosen, its options by number, its sum, and by how much it passes the limit."""

    words: str
    numbers: str
    sum: Amount
    over: Amount | None


def choice_rows(found: Proposal) -> list[ChoiceRow]:
    """Return what the owner can choose, with each sum held against the limit that was named."""
    limit = limit_of(found)
    return [
        ChoiceRow(
            words=each.words,
            numbers=", ".join(map(str, each.numbers)),
            sum=each.sums.gross,
            over=over(limit, each) if limit else None,
        )
        for each in choices_of(found)
    ]


def edit_proposal(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Edit what stands round the options of a draft."""
    pricing(request)
    found = by_edition(number, edition)
    require_state(found, "draft")
    editing = Editing(title=_("Round the options"), done=at_proposal, write=write_round)
    return edit(request, ProposalForm, found, editing)


def new_option(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Add an option to a draft."""
    pricing(request)
    found = by_edition(number, edition)
    require_state(found, "draft")
    return option_page(request, Option(proposal=found, place=found.options.count()))


def edit_option(request: HttpRequest, pk: int) -> HttpResponse:
    """Edit an option of a draft with its price lines."""
    pricing(request)
    rows = Option.objects.select_related("proposal__visit__watch")
    found = get_object_or_404(rows, pk=pk)
    require_state(found.proposal, "draft")
    return option_page(request, found)


def option_page(request: HttpRequest, option: Option) -> HttpResponse:
    """Show or save an option and its lines; "more" only shows more blank lines."""
    more = "more" in request.POST
    typed = with_more_lines(request.POST) if more else request.POST or None
    form, lines = OptionForm(typed, instance=option), line_forms(typed, option.lines)
    status = 200 if more or typed is None else 422
    if status != 200 and form.is_valid() and lines.is_valid():
        try:
            return saved_option(request, form, stored_lines(lines))
        except EditConflict as overtaken:
            form.show_overtaken(overtaken)
            status = 409
    shown = {"form": form, "lines": lines, "option": option, "proposal": option.proposal}
    return render(request, "proposals/option.html", shown, status=status)


def saved_option(
    request: HttpRequest, form: OptionForm, lines: list[dict[str, str]]
) -> HttpResponse:
    """Save an option with its lines, and lead back to the proposal."""
    changed = form.save(commit=False)
    changed.lines = lines
    write_option(changed, pricing(request), seen=form.cleaned_data["seen"])
    return redirect(at_proposal(changed.proposal))


@require_POST
def remove_option(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put an option of a draft aside."""
    user = pricing(request)
    found = get_object_or_404(Option.objects.select_related("proposal__visit"), pk=pk)
    require_state(found.proposal, "draft")
    at = at_proposal(found.proposal)
    sum_ = option_price(found, found.proposal.currency)
    removal = Removal(
        done=at,
        stay=at,
        act=take_out,
        also=(_("Its price was %(sum)s.") % {"sum": amount(sum_.value, sum_.currency)},),
    )
    return ask_and_remove(request, found, user, removal)


@require_POST
def shift_option(request: HttpRequest, pk: int) -> HttpResponse:
    """Move an option of a draft one place up or down."""
    user = pricing(request)
    found = get_object_or_404(Option.objects.select_related("proposal__visit"), pk=pk)
    shift(found, -1 if request.POST.get("way") == "up" else 1, user)
    return redirect(at_proposal(found.proposal))


@require_POST
def send_proposal(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Ask once, with the sum and whom it goes to, then send a draft."""
    user, day = pricing(request), timezone.localdate()
    how: dict[str, Any] = {"on": day, "seen": version_seen(request), "free": "free" in request.POST}

    def sent() -> Proposal:
        trial = by_edition(number, edition)
        send(trial, user, **how)
        return trial

    page = unsure(request, tried(sent, sending))
    if page:
        return page
    found = by_edition(number, edition)
    send_proposal_paper(found, user, **how)
    return redirect(at_proposal(found))


def sending(made: Proposal) -> SureQuestion:
    """Return the question whether a proposal is sent, from what it would be."""
    words = question_words(made, chosen_only=False)
    options = list(made.options.all())
    count = len(options)
    holds = _("It holds until %(until)s.")
    if any(is_advised(each) for each in options):
        holds = _("What we advise comes to %(sum)s; it holds until %(until)s.")
    title = ngettext(
        "Send proposal %(edition)s with one option to %(who)s?",
        "Send proposal %(edition)s with %(n)d options to %(who)s?",
        count,
    )
    return SureQuestion(
        title=title % {**words, "n": count},
        told=(
            holds % words,
            _("It does not change any more; a new version can take its place."),
            _("The workshop sends no mail: its paper is kept, and you hand it over."),
        ),
        do=_("Send it"),
        stay=at_proposal(made),
    )


def question_words(made: Proposal, *, chosen_only: bool) -> dict[str, Any]:
    """Return what a question about a proposal names."""
    gross = proposal_totals(made, chosen_only=chosen_only).gross
    return {
        "edition": made.edition,
        "who": made.visit.watch.owner,
        "sum": amount(gross.value, gross.currency),
        "until": day_words(made.expires_on),
    }


@require_POST
def answer_proposal(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Ask once, with what the owner wants and its sum, then store the owner's answer."""
    user = pricing(request)
    found = by_edition(number, edition)
    form, wrong = AnswerForm(request.POST), 422
    chosen = {int(pk) for pk in request.POST.getlist("chosen") if pk.isdecimal()}
    if "stay" not in request.POST and form.is_valid():

        def answered() -> Proposal:
            trial = by_edition(number, edition)
            store_answer(trial, form, chosen, user, declined="declined" in request.POST)
            return by_edition(number, edition)

        try:
            page = unsure(request, tried(answered, answering))
            if page:
                return page
            store_answer(found, form, chosen, user, declined="declined" in request.POST)
            return redirect(visit_at("proposal")(found))
        except EditConflict as overtaken:
            form.show_overtaken(overtaken, now=version_with_options(by_edition(number, edition)))
            wrong = 409
        except InputError as error:
            form.add_error(None, error.sentence)
    return proposal_page(request, by_edition(number, edition), form, ticked=chosen, wrong=wrong)


def store_answer(
    found: Proposal, form: AnswerForm, chosen: set[int], by: User, *, declined: bool
) -> None:
    """Store what the owner said.

    Raises
    ------
    InputError, Overtaken : as `agree` and `decline`
    """
    given = form.cleaned_data
    found.answered_on, found.channel = given["answered_on"], given["channel"]
    found.answer = given["answer"]
    seen = given["seen"]
    decline(found, by, seen=seen) if declined else agree(found, chosen, by, seen=seen)


def answering(made: Proposal) -> SureQuestion:
    """Return the question whether an answer is stored, from what it would be."""
    words = question_words(made, chosen_only=True)
    stays = _("The answer does not change any more; a new version can take its place.")
    if made.state == "declined":
        return SureQuestion(
            title=_("Write down that %(who)s declines proposal %(edition)s?") % words,
            told=(stays,),
            do=_("Declined"),
        )
    chosen = [each.title for each in made.options.all() if each.chosen]
    return SureQuestion(
        title=_("Write down that %(who)s agrees to %(sum)s?") % words,
        told=(_("Wanted: %(what)s.") % {"what": ", ".join(chosen)}, stays),
        do=_("Agreed"),
    )


@require_POST
def change_proposal(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Begin a new version; this one stays as it is."""
    user = pricing(request)
    found = by_edition(number, edition)
    why = request.POST.get("why", "")
    return redirect(at_proposal(new_edition(found, user, on=timezone.localdate(), why=why)))


def by_edition(number: str, edition: int) -> Proposal:
    """Return a version of a visit's proposal, or 404."""
    rows = Proposal.objects.select_related("visit__watch__owner")
    rows = rows.prefetch_related("options__photograph")
    return get_object_or_404(rows, visit__number=number, edition=edition)


def at_proposal(record: Any) -> str:
    """Return the address of a proposal."""
    return reverse("proposal", args=[record.visit.number, record.edition])
