"""A customer's rights as the workshop words them, for proposals and invoices.

What they must say is for the law of the place; the program only prints what the settings hold.
"""

from sideshake.web.models import Proposal, Workshop, the_workshop

RIGHTS = ("withdrawal", "guarantee")


def words_of(shop: Workshop, name: str) -> str:
    """Return the workshop's words of one right; empty when it has none."""
    return str(getattr(shop, f"{name}_words")).strip()


def rights_words(shop: Workshop, *, withdrawal: bool, guarantee: bool) -> str:
    """Return the rights that are to be printed, a paragraph each."""
    asked = {"withdrawal": withdrawal, "guarantee": guarantee}
    return "\n\n".join(filter(None, (words_of(shop, each) for each in RIGHTS if asked[each])))


def rights_asked(proposal: Proposal) -> str:
    """Return the rights that a draft asks for, in the words of the settings."""
    asked = {name: bool(getattr(proposal, name)) for name in RIGHTS}
    return rights_words(the_workshop(), **asked)
