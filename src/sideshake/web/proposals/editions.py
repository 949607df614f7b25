"""What a newer version of a proposal changes, option by option, in words."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from sideshake.web.models import Option, Proposal, the_workshop
from sideshake.web.money.price_lines import option_price
from sideshake.workshop_rules.money import Amount, money_text

WORDED = ("title", "reason", "evidence", "risk", "if_left")


@dataclass(frozen=True, slots=True, kw_only=True)
class EditionDifference:
    """One thing that differs: as it was, as it is now, and what happened to it."""

    what: str
    before: str
    now: str
    words: str


def differences(older: Proposal, newer: Proposal) -> list[EditionDifference]:
    """Return what a newer version changes; nothing when only the day differs."""
    was, now = by_name(older), by_name(newer)
    found = [between(was.get(name), now.get(name)) for name in {**was, **now}]
    return [each for each in (*found, *round_the_options(older, newer)) if each is not None]


def by_name(proposal: Proposal) -> dict[str, Option]:
    """Return a version's options by what stays the same from version to version."""
    return {option.key or option.title: option for option in proposal.options.all()}


def between(was: Option | None, now: Option | None) -> EditionDifference | None:
    """Return how one option differs between two versions; None when it does not."""
    before, after = price_text(was), price_text(now)
    words = changes(was, now)
    if not words:
        return None
    title = (now or was or Option()).title
    return EditionDifference(what=title, before=before, now=after, words=", ".join(words))


def changes(was: Option | None, now: Option | None) -> list[str]:
    """Return in words what happened to an option."""
    if was is None:
        return [_("new")]
    if now is None:
        return [_("left out")]
    said = [_("price changed")] if price_text(was) != price_text(now) else []
    if not said and was.lines != now.lines:
        said = [_("lines changed, same price")]
    if any(getattr(was, name) != getattr(now, name) for name in WORDED):
        said.append(_("worded anew"))
    if was.need != now.need:
        said.append(_("now %(need)s") % {"need": now.get_need_display()})
    if was.instead_of != now.instead_of:
        said.append(_("takes another option's place") if now.instead_of else _("stands by itself"))
    return said


def price_text(option: Option | None) -> str:
    """Return what an option costs, as the workshop writes it; a dash for no option."""
    if option is None:
        return "–"
    currency = option.proposal.currency
    return money_text(option_price(option, currency), the_workshop().locale)


def round_the_options(older: Proposal, newer: Proposal) -> list[EditionDifference | None]:
    """Return how deposit and weeks differ."""
    return [
        noted(_("deposit"), deposit_text(older), deposit_text(newer)),
        noted(_("weeks"), str(older.weeks or "–"), str(newer.weeks or "–")),
    ]


def deposit_text(proposal: Proposal) -> str:
    """Return the deposit as the workshop writes it; a dash for none."""
    if proposal.deposit is None:
        return "–"
    held = Amount(proposal.deposit.normalize(), proposal.currency)
    return money_text(held, the_workshop().locale)


def noted(what: str, before: str, now: str) -> EditionDifference | None:
    """Return a changed figure; None when it is the same."""
    if before == now:
        return None
    return EditionDifference(what=what, before=before, now=now, words=_("changed"))
