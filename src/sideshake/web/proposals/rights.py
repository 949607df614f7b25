"""A customer's rights as the workshop words them, for proposals and invoices.

What they must say is for the law of the place; the program only prints what the settings hold.
"""

from sideshake.web.models import Owner, Proposal, Workshop, the_workshop
from sideshake.wording import gettext

RIGHTS = ("withdrawal", "guarantee")


def words_of(shop: Workshop, name: str) -> str:
    """Return the workshop's words of one right; empty when it has none."""
    return gettext(str(getattr(shop, f"{name}_words")).strip())


def rights_words(shop: Workshop, *, withdrawal: bool, guarantee: bool) -> str:
    """Return the rights that are to be printed, a paragraph each."""
    asked = {"withdrawal": withdrawal, "guarantee": guarantee}
    return "\n\n".join(filter(None, (words_of(shop, each) for each in RIGHTS if asked[each])))


def rights_asked(proposal: Proposal) -> str:
    """Return the rights that a draft asks for, in the words of the settings.

    Where the instructions of withdrawal are printed, they stand in the place of the short words.
    """
    asked = {name: bool(getattr(proposal, name)) for name in RIGHTS}
    if form_asked(proposal):
        asked["withdrawal"] = False
    return rights_words(the_workshop(), **asked)


def is_consumer(owner: Owner) -> bool:
    """Return whether an owner is no business, as far as is known: one with a VAT number is."""
    return not owner.tax_number.strip()


def form_asked(proposal: Proposal) -> bool:
    """Return whether a draft asks for the instructions and the form of withdrawal.

    References
    ----------
    Directive 2011/83/EU, Article 6 (1)(h) and Annex I: for consumers' contracts at a distance
    """
    asked = proposal.withdrawal and proposal.withdrawal_form
    there = bool(words_of(the_workshop(), "withdrawal"))
    return asked and there and is_consumer(proposal.visit.watch.owner)


def has_form(proposal: Proposal) -> bool:
    """Return whether the form of withdrawal stands on a version: as sent, or as asked for now."""
    return proposal.withdrawal_form if proposal.sent_on else form_asked(proposal)
