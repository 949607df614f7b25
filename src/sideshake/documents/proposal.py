"""The proposal on paper: options with their evidence, price and risk, and how to answer."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Protocol

from sideshake.documents.blocks import (
    Beside,
    Blanks,
    Block,
    Caution,
    Document,
    Facts,
    Heading,
    Letterhead,
    Paper,
    Picture,
    Points,
    Table,
    Whole,
    Words,
    figure_rows,
    known_facts,
    rights_blocks,
)
from sideshake.documents.withdrawal import (
    BEGIN_AT_ONCE,
    NO_BREAK,
    Withdrawal,
    withdrawal_blocks,
)
from sideshake.wording import gettext as _
from sideshake.wording import noop

NAMES_MM = 31.0
"""As wide as "What can go wrong", so that the words of all options begin below each other."""
PHOTOGRAPH_MM, BESIDE_MM = 50.0, (62.0, 50.0)
MOST_BESIDE = 900
"""Letters that stand beside a photograph; more are set as wide as the page."""
MOST_TOGETHER = 12
"""Boxes to tick that stand on one page with the lines to sign on."""
WE_BEGIN = noop("We begin when you have agreed.")
WE_BEGIN_LATER = noop(
    "We begin when you have agreed and your 14 days of withdrawal are over, or at once if you tick "
    "so below."
)
WE_ASK_AGAIN = noop(
    "If something unforeseen turns up, we stop and ask you again with a new version of this "
    "proposal."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PricedLine:
    """One line of a price, as text."""

    what: str
    quantity: str
    each: str
    sum: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferedOption:
    """One thing that could be done."""

    title: str
    price: str
    reason: str = ""
    evidence: str = ""
    risk: str = ""
    if_left: str = ""
    need: str = "advised"
    """Possible, advised or necessary."""
    instead_of: int | None = None
    """The number of the option whose place it takes; only one of the two can be chosen."""
    chosen: bool | None = None
    """What the owner answered; None while there is no answer."""
    lines: tuple[PricedLine, ...] = ()
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferedChoice:
    """What can be chosen together, as text; `limit` says how it stands to the limit named."""

    words: str
    numbers: str
    sum: str
    limit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A proposal's text; amounts are already written in the owner's way."""

    head: Letterhead
    day: date
    visit: str
    watch: str
    edition: int
    to: str
    options: tuple[OfferedOption, ...]
    total: tuple[tuple[str, str], ...]
    """The sums of what is advised, or of what was agreed, the last one in bold; empty when nothing
    is advised and nothing agreed yet."""
    choices: tuple[OfferedChoice, ...] = ()
    limit: str = ""
    """The limit that the owner named; empty when none was."""
    deposit: str = ""
    replaced_by: int | None = None
    """The version that took the place of this one."""
    tax: str = ""
    """Whether the prices hold the tax, as a sentence."""
    written_on: str = ""
    written_by: str = ""
    agreed: bool = False
    cautions: tuple[Caution, ...] = ()
    """What the owner must mind and can hurt somebody."""
    intro: str = ""
    why_changed: str = ""
    duration: str = ""
    expires: str = ""
    how_to_answer: str = ""
    """The workshop's own words; without them email and telephone are named."""
    rights: str = ""
    """The customer's rights, as the workshop words them."""
    withdrawal: Withdrawal | None = None
    """The contract of a consumer at a distance; None where no form of withdrawal is printed."""
    paper: Paper = Paper.A4


def proposal(offer: Offer) -> Document:
    """Return the proposal as a letter to the owner."""
    cells = (
        (_("Visit"), offer.visit),
        (_("Version"), str(offer.edition)),
        (_("Replaced by"), newer_words(offer.replaced_by)),
        (_("Written on"), offer.written_on),
        (_("Written by"), offer.written_by),
        (_("Holds until"), offer.expires),
    )
    return Document(
        title=_("Proposal: {watch}").format(watch=offer.watch),
        head=offer.head,
        day=offer.day,
        to=offer.to,
        cells=tuple((name, words) for name, words in cells if words),
        blocks=tuple(proposal_blocks(offer)),
        first_foot=offer.head.name,
        foot=_("{workshop} · proposal {visit}, version {edition}").format(
            workshop=offer.head.name, visit=offer.visit, edition=offer.edition
        ),
        paper=offer.paper,
        tight=True,
        gaps=option_gaps(offer.options),
    )


def newer_words(edition: int | None) -> str:
    """Return which version took the place; empty when none did."""
    return _("version {edition}").format(edition=edition) if edition else ""


class OptionWords(Protocol):
    """An option as far as it speaks in words."""

    @property
    def title(self) -> str:
        """Return what would be done."""

    @property
    def reason(self) -> str:
        """Return why."""

    @property
    def risk(self) -> str:
        """Return what can go wrong."""

    @property
    def if_left(self) -> str:
        """Return what happens if it is left."""


def option_gaps(options: Iterable[OptionWords]) -> tuple[str, ...]:
    """Return what options should say and do not."""
    return tuple(
        f"{what} “{option.title}”"
        for option in options
        for what, words in (
            ("the reason for", option.reason),
            ("the risk of", option.risk),
            ("what happens without", option.if_left),
        )
        if not words
    )


def proposal_blocks(offer: Offer) -> Iterator[Block]:
    """Yield the letter from its first words to the lines to sign on."""
    if offer.intro:
        yield Words(words=offer.intro)
    yield from offer.cautions
    if offer.why_changed:
        new = _("What is new in this version: {why}")
        yield Words(words=new.format(why=offer.why_changed))
    for number, option in enumerate(told_once(offer.options), start=1):
        yield from option_blocks(number, option)
    yield from sum_blocks(offer)
    yield from answer_blocks(offer)
    yield from rights_blocks(offer.rights)
    if offer.withdrawal:
        yield from withdrawal_blocks(offer.withdrawal, offer.head)


def told_once(options: tuple[OfferedOption, ...]) -> Iterator[OfferedOption]:
    """Yield the options; what one that takes another's place has in common with it is told there.

    Short words are repeated: to point elsewhere would be no shorter.
    """
    for option in options:
        if option.instead_of is None or not option.instead_of <= len(options):
            yield option
            continue
        first, number = options[option.instead_of - 1], option.instead_of
        yield replace(
            option,
            reason=once(option.reason, first.reason, number, say=REASONS),
            evidence=once(option.evidence, first.evidence, number),
            risk=once(option.risk, first.risk, number),
            if_left=once(option.if_left, first.if_left, number),
        )


SHORT = 60
"""Letters of one line or less."""


SAME = noop("As under {number}.")
REASONS = noop("The reasons are those under {number}.")


def once(words: str, told: str, number: int, *, say: str = SAME) -> str:
    """Return words, or that they stand under another option where they are the same."""
    return _(say).format(number=number) if words == told and len(words) > SHORT else words


def sum_blocks(offer: Offer) -> Iterator[Block]:
    """Yield what each choice comes to, held against the limit, and the sums of the first."""
    alone = len(offer.choices) == 1 and not offer.limit
    choices = () if offer.agreed or alone else offer.choices
    yield Heading(words=_("What you agreed to, altogether") if offer.agreed else _("Altogether"))
    if unchosen(offer):
        yield from unchosen_blocks(offer.choices, told=bool(choices))
    if choices:
        limit = (_("Your limit: {limit}").format(limit=offer.limit),) if offer.limit else ()
        rows = tuple(
            (each.words, each.numbers, each.sum, *((each.limit,) if limit else ()))
            for each in choices
        )
        columns = (_("Your choice"), _("Options"), _("Sum"), *limit)
        yield Table(columns=columns, rows=rows, numbers=(2,), keep=True)
    if offer.total and (offer.agreed or len(offer.total) > 1 or not choices):
        name = "" if offer.agreed or not choices else choices[0].words
        more = bool(offer.tax or offer.deposit or offer.duration)
        yield Table(columns=(name, _("Amount")), rows=offer.total, numbers=(1,), sums=1, keep=more)
    if offer.tax:
        yield Words(words=offer.tax, quiet=True, keep=bool(offer.deposit or offer.duration))
    yield from known_facts((_("Deposit"), offer.deposit), (_("Time"), offer.duration))


def unchosen(offer: Offer) -> bool:
    """Return whether nothing is advised and nothing agreed yet, so that there is no sum."""
    return not offer.agreed and not offer.total and bool(offer.choices)


def unchosen_blocks(choices: tuple[OfferedChoice, ...], *, told: bool) -> Iterator[Block]:
    """Yield that nothing is chosen yet; with what the choice comes to where no table tells it."""
    if told:
        yield Words(words=_("Nothing is chosen yet; what each choice comes to:"), keep=True)
        return
    for each in choices:
        alone = _("Nothing is chosen yet; if you choose option {numbers}: {sum}")
        yield Words(words=alone.format(numbers=each.numbers, sum=each.sum))


def option_blocks(number: int, option: OfferedOption) -> Iterator[Block]:
    """Yield one option with all that speaks for and against it, and its price on the same page."""
    standing = need_words(option)
    yield Heading(words=f"{number}. {option.title} – {option.price} ({standing})")
    priced = bool(option.lines)
    words = tuple(option_words(option, keep=bool(option.pictures) or priced))
    beside = photograph_beside(option)
    if words and beside:
        yield Beside(picture=beside, words=words, most_mm=BESIDE_MM, keep=priced)
    else:
        yield from words
        yield from figure_rows(option.pictures, height_mm=PHOTOGRAPH_MM, keep=priced)
    if option.lines:
        yield Table(
            columns=(_("What"), _("Quantity"), _("Each"), _("Sum")),
            rows=tuple((line.what, line.quantity, line.each, line.sum) for line in option.lines),
            numbers=(1, 2, 3),
        )


def need_words(option: OfferedOption) -> str:
    """Return how needed an option is, whose place it takes, and what was answered."""
    told = _(option.need)
    if option.instead_of:
        place = _("instead of {number}").format(number=option.instead_of)
        told = f"{told}, {place.replace(' ', NO_BREAK)}"
    answer = {None: "", True: _("agreed"), False: _("not wanted")}[option.chosen]
    if not answer:
        return told
    return _("{standing}; {answer}").format(standing=told, answer=answer)


def option_words(option: OfferedOption, *, keep: bool) -> Iterator[Words | Facts]:
    """Yield what speaks for and against an option."""
    if option.reason:
        yield Words(words=option.reason, keep=keep)
    yield from known_facts(
        (_("Measured or seen"), option.evidence),
        (_("What can go wrong"), option.risk),
        (_("If it is left"), option.if_left),
        name_mm=NAMES_MM,
        keep=keep,
    )


def photograph_beside(option: OfferedOption) -> Picture | None:
    """Return the photograph that stands beside an option's words; None where it stands below."""
    letters = len(option.reason + option.evidence + option.risk + option.if_left)
    if len(option.pictures) != 1 or letters > MOST_BESIDE:
        return None
    (picture,) = option.pictures
    return None if picture.wide_mm else picture


def where_to_answer(head: Letterhead) -> str:
    """Return where an answer reaches the workshop; empty when neither way is known."""
    reached = _(" or ").join(each for each in (head.email, head.phone) if each)
    return _("Write or call: {reached}.").format(reached=reached) if reached else ""


def answer_blocks(offer: Offer) -> Iterator[Block]:
    """Yield how the owner answers, on one page; nothing when the answer is here."""
    if offer.agreed:
        return
    parts = tuple(answer_parts(offer))
    yield from (Whole(parts=parts),) if len(offer.options) <= MOST_TOGETHER else parts


def answer_parts(offer: Offer) -> Iterator[Heading | Words | Points | Blanks]:
    """Yield how the owner answers: where, until when, what, and the lines to sign on."""
    until = _("This proposal holds until {day}.").format(day=offer.expires) if offer.expires else ""
    begin = _(WE_BEGIN_LATER if offer.withdrawal else WE_BEGIN)
    told = " ".join(each for each in (until, begin, _(WE_ASK_AGAIN)) if each)
    yield Heading(words=_("Your answer"))
    if offer.how_to_answer.strip():
        yield Words(words=offer.how_to_answer.strip())
        yield Words(words=told)
    else:
        yield Words(words=f"{where_to_answer(offer.head)} {told}".strip())
    titles = tuple(map(ticked_words, range(1, len(offer.options) + 1), offer.options))
    at_once = (_(BEGIN_AT_ONCE),) if offer.withdrawal else ()
    none = _("None of it: please send the watch back")
    yield Points(items=(*titles, none, *at_once), ticked=True)
    yield Blanks(names=(_("Date"), _("Signature")))


def ticked_words(number: int, option: OfferedOption) -> str:
    """Return an option as it stands beside its box to tick."""
    if option.instead_of is None:
        return f"{number}. {option.title} – {option.price}"
    place = option.instead_of
    one_of = _("instead of {place}; tick only one of {place} and {number}")
    told = one_of.format(place=place, number=number)
    return f"{number}. {option.title} – {option.price}, {told}"
