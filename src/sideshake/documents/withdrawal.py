"""What a consumer is told of withdrawal from a contract at a distance, and the form for it.

The structure is that of Directive 2011/83/EU, Annex I: A, the instructions, and B, the form. What
must be said is for the law of the place; a workshop chooses in its settings whether this is.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.documents.blocks import Blanks, Block, Facts, Heading, Letterhead, Whole, Words
from sideshake.wording import gettext as _
from sideshake.wording import noop

NO_BREAK = "\N{NO-BREAK SPACE}"
BEGIN_AT_ONCE = noop(
    "Please begin before the 14 days of my right of withdrawal are over. I know that I pay for "
    "what is done until then if I withdraw, and that the right ends once all is done."
)
"""The express request of Articles 7 (3), 8 (8) and 16 (a)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawal:
    """The contract from which a consumer may withdraw: what it is for, and how we call it."""

    work: str
    reference: str


def withdrawal_blocks(contract: Withdrawal, head: Letterhead) -> Iterator[Block]:
    """Yield the instructions, then the form, which stays whole on one page."""
    yield Heading(words=_("Your right of withdrawal"))
    for words in instructions(head):
        yield Words(words=words, quiet=True)
    yield Whole(parts=tuple(form_blocks(contract, head)), slip=True)


def instructions(head: Letterhead) -> Iterator[str]:
    """Yield the instructions, a paragraph each."""
    yield _(
        "You have the right to withdraw from this contract within 14 days without giving any "
        "reason. This time ends 14 days after the day on which the contract is made: the day on "
        "which you agree to this proposal."
    )
    yield _(
        "To use this right, tell us of your decision to withdraw by a clear statement, such as a "
        "letter sent by post or an email. We are: {who}. You may use the form "
        "below, but you need not. It is in time if you send it before the 14 days are over."
    ).format(who=", ".join(who(head)))
    yield _(
        "If you withdraw, we pay back to you all that you paid us, the costs of delivery to you "
        "included (but not what it cost more because you chose another way of delivery than the "
        "cheapest usual one that we offer), without undue delay and at the latest 14 days after "
        "the day on which you told us of your decision. We pay by the means by which you paid, "
        "unless you have expressly agreed to another; you bear no fee for it."
    )
    yield _(
        "If you asked us to begin the work before the 14 days were over, you pay us for what was "
        "done until you told us that you withdraw: its share in the whole of the contract. The "
        "right ends when all the work is done, if we began it at your express wish and you had "
        "confirmed that you know this."
    )


def who(head: Letterhead) -> Iterator[str]:
    """Yield the workshop's name, address, telephone and email, as far as they are known."""
    there = head.country if head.country not in head.address else ""
    phone = head.phone.replace(" ", NO_BREAK)
    known = (head.name, *head.address.splitlines(), there, phone, head.email)
    yield from (each.strip() for each in known if each.strip())


def form_blocks(
    contract: Withdrawal, head: Letterhead
) -> Iterator[Heading | Words | Facts | Blanks]:
    """Yield the form, to be filled in and sent back."""
    yield Heading(words=_("Form of withdrawal"))
    yield Words(
        words=_(
            "Fill in this form and send it back only if you wish to withdraw from the contract."
        ),
        quiet=True,
    )
    yield Facts(pairs=((_("To"), ", ".join(who(head))),))
    yield Words(
        words=_(
            "I/we (*) hereby give notice that I/we (*) withdraw from my/our (*) contract for the "
            "following work: {work} ({reference})."
        ).format(work=contract.work, reference=contract.reference)
    )
    yield Blanks(
        names=(
            _("Ordered on"),
            _("Name of the consumer(s)"),
            _("Address of the consumer(s)"),
            _("Signature, if this is sent on paper"),
            _("Date"),
        )
    )
    yield Words(words=_("(*) Strike out what does not apply."), quiet=True)
