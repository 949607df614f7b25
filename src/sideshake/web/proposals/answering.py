"""The owner's answer to a proposal: to the very one that was read."""

from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.holding import held, hold_visits
from sideshake.web.base.saving import EditConflict, last_change, save
from sideshake.web.models import Change, Option, Proposal, Step, User
from sideshake.web.proposals.offers import offered_options
from sideshake.web.proposals.services import BEFORE_PROPOSAL, require_state
from sideshake.web.visits.services import move
from sideshake.workshop_rules.choices import excluding
from sideshake.workshop_rules.due import is_past


@transaction.atomic
def agree(proposal: Proposal, chosen: set[int], by: User, *, seen: int | None = None) -> None:
    """Store the owner's yes to some options; day, channel and words are set on the proposal.

    `seen` is `version_with_options` as it was read; not asked for when left out.

    Raises
    ------
    InputError : it does not wait for an answer, is over, or nothing was chosen
    Overtaken : it or one of its options has changed since it was read
    """
    require_seen(proposal, seen)
    require_answerable(proposal)
    if proposal.expires_on and is_past(proposal.expires_on, day_of_answer(proposal)):
        raise InputError(
            _("this proposal ended on %(day)s; make a new version") % {"day": proposal.expires_on}
        )
    options = list(proposal.options.all())
    if not any(option.pk in chosen for option in options):
        raise InputError(_("tick at least one option, or record that the owner declined"))
    require_one_of_each(options, chosen)
    for option in options:
        option.chosen = option.pk in chosen
        save(option, by)
    proposal.state = "agreed"
    save(proposal, by, what=f"{proposal} agreed")
    for older in proposal.visit.proposals.filter(state="agreed").exclude(pk=proposal.pk):
        older.state = "replaced"
        save(older, by, what=f"{older} replaced by {proposal}")
    if proposal.visit.step in (*BEFORE_PROPOSAL, Step.PROPOSED):
        move(proposal.visit, Step.AGREED, by, on=day_of_answer(proposal))


def require_one_of_each(options: list[Option], chosen: set[int]) -> None:
    """Refuse two chosen options of which one takes the other's place."""
    numbers = [place for place, each in enumerate(options, start=1) if each.pk in chosen]
    both = excluding(offered_options(options), numbers)
    if both:
        one, other = (options[number - 1].title for number in both)
        raise InputError(
            _("only one of “%(one)s” and “%(other)s” can be chosen") % {"one": one, "other": other}
        )


@transaction.atomic
def decline(proposal: Proposal, by: User, *, seen: int | None = None) -> None:
    """Store the owner's no, and bring a visit without other agreement to declined.

    `seen` is `version_with_options` as it was read; not asked for when left out.

    Raises
    ------
    InputError : it does not wait for an answer, or the owner's words are missing
    Overtaken : it or one of its options has changed since it was read
    """
    require_seen(proposal, seen)
    require_answerable(proposal)
    if not proposal.answer.strip():
        raise InputError(_("write down why, in the owner's words"))
    proposal.state = "declined"
    save(proposal, by, what=f"{proposal} declined")
    visit = proposal.visit
    if not visit.proposals.filter(state="agreed").exists():
        visit.declined_why = proposal.answer
        move(visit, Step.DECLINED, by, on=day_of_answer(proposal))


def version_with_options(proposal: Proposal) -> int:
    """Return a number that rises whenever a proposal that was sent or one of its options changes.

    No option comes or goes once it is sent, and a version never falls: so their sum tells.
    """
    return proposal.version + sum(each.version for each in proposal.options.all())


def require_seen(proposal: Proposal, seen: int | None) -> None:
    """Refuse an answer to what is no longer as it was read.

    Raises
    ------
    Overtaken : it or one of its options has changed
    """
    hold_visits([proposal.visit_id])
    stored = held(Proposal.objects.all()).get(pk=proposal.pk)
    if seen is not None and seen != version_with_options(stored):
        raise EditConflict(stored, newest_change(stored))


def newest_change(proposal: Proposal) -> Change | None:
    """Return the newest line of the history about a proposal or one of its options."""
    told = [last_change(each) for each in (proposal, *proposal.options.all())]
    return max((each for each in told if each), key=lambda each: each.pk, default=None)


def require_answerable(proposal: Proposal) -> None:
    """Refuse an answer to what does not wait for one, or from before it was sent."""
    require_state(proposal, "sent")
    if proposal.sent_on and day_of_answer(proposal) < proposal.sent_on:
        raise InputError(
            _("the answer cannot be older than the proposal, sent on %(day)s")
            % {"day": proposal.sent_on}
        )


def day_of_answer(proposal: Proposal) -> date:
    """Return the day of the answer, which cannot be before the watch arrived."""
    return max(proposal.answered_on or proposal.made_on, proposal.visit.arrived_on)
