"""What an owner can choose between, and the sum of each choice.

Some options take the place of another: only one of them can be chosen. Whatever follows from that,
on page and paper and in the sums, follows from here.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from sideshake.core.errors import InputError
from sideshake.wording import gettext as _
from sideshake.wording import noop
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.need import WorkNeed
from sideshake.workshop_rules.totals import PriceTax, TaxedLine, Totals, totals


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """An option as far as it is chosen: its number on the paper, need, and price lines.

    `instead_of` is the number of the option whose place it takes; None when it takes none.
    """

    number: int
    need: WorkNeed
    lines: tuple[TaxedLine, ...] = ()
    instead_of: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Options that can be chosen together, and what they come to."""

    words: str
    numbers: tuple[int, ...]
    sums: Totals


AS_ADVISED = noop("All that we advise")
ONLY_NECESSARY = noop("Only what is necessary")
ALONE = noop("This alone")


def choices(
    options: Sequence[Offered], *, currency: str, prices: PriceTax = PriceTax.NET
) -> tuple[Choice, ...]:
    """Return what can be chosen, with its sum: what is advised first, each alternative in its
    place, then the necessary alone, then what is advised with each possible option on top.

    Where nothing is advised each option is a choice of its own.

    Raises
    ------
    InputError : an option takes the place of one that is not there, or of itself
    """
    require_places(options)
    advised = [each for each in options if each.need is not WorkNeed.POSSIBLE and first(each)]
    necessary = [each for each in advised if each.need is WorkNeed.NECESSARY]
    told = [*swapped(AS_ADVISED, advised, options)] if advised else []
    if necessary and len(necessary) < len(advised):
        told += swapped(ONLY_NECESSARY, necessary, options)
    others = [
        each for each in options if each.need is WorkNeed.POSSIBLE and not stands(each, advised)
    ]
    told += [with_more(advised, each) for each in others]
    return tuple(
        Choice(
            words=words,
            numbers=tuple(each.number for each in chosen),
            sums=totals(lines_of(chosen), currency=currency, prices=prices),
        )
        for words, chosen in told
    )


def with_more(advised: Sequence[Offered], option: Offered) -> tuple[str, tuple[Offered, ...]]:
    """Return what is advised together with one option more, or that one where nothing is."""
    if not advised:
        return _(ALONE), (option,)
    words = _("All that we advise, and {number}").format(number=option.number)
    return words, (*advised, option)


def first(option: Offered) -> bool:
    """Return whether an option takes no other's place."""
    return option.instead_of is None


def stands(option: Offered, advised: Sequence[Offered]) -> bool:
    """Return whether an option takes the place of an advised one, so that it is told there."""
    return option.instead_of in {each.number for each in advised}


def swapped(
    words: str, chosen: Sequence[Offered], options: Sequence[Offered]
) -> Iterator[tuple[str, tuple[Offered, ...]]]:
    """Yield the chosen options, then the same with each alternative in its place."""
    for row in product(*(in_place(each, options) for each in chosen)):
        put = [
            _("{number} instead of {other}").format(number=now.number, other=was.number)
            for was, now in zip(chosen, row, strict=True)
            if now is not was
        ]
        yield (with_put(_(words), put), row)


def with_put(words: str, put: list[str]) -> str:
    """Return the words of a choice, with what is put in the place of what."""
    if not put:
        return words
    return _("{choice}, with {places}").format(choice=words, places=_(" and ").join(put))


def in_place(option: Offered, options: Sequence[Offered]) -> tuple[Offered, ...]:
    """Return an option and those that may take its place."""
    return (option, *(each for each in options if each.instead_of == option.number))


def lines_of(chosen: Sequence[Offered]) -> tuple[TaxedLine, ...]:
    """Return the price lines of some options."""
    return tuple(line for each in chosen for line in each.lines)


def require_places(options: Sequence[Offered]) -> None:
    """Refuse an option that takes the place of none, of itself, or of an alternative."""
    places = {each.number for each in options if first(each)}
    for each in options:
        if each.instead_of is not None and each.instead_of not in places:
            raise InputError(
                f"option {each.number} takes the place of option {each.instead_of}, which is not "
                "an option that stands by itself"
            )


def excluding(options: Sequence[Offered], chosen: Sequence[int]) -> tuple[int, int] | None:
    """Return two chosen options of which only one can be chosen; None when there are none.

    Examples
    --------
    >>> jewel = Offered(number=1, need=WorkNeed.ADVISED)
    >>> bush = Offered(number=2, need=WorkNeed.POSSIBLE, instead_of=1)
    >>> excluding((jewel, bush), (1, 2)), excluding((jewel, bush), (2,))
    ((1, 2), None)
    """
    taken: dict[int, int] = {}
    for each in options:
        if each.number in chosen:
            place = each.number if each.instead_of is None else each.instead_of
            if place in taken:
                return taken[place], each.number
            taken[place] = each.number
    return None


def over(limit: Amount, choice: Choice) -> Amount:
    """Return by how much a choice passes the limit that the owner named; below 0 it keeps it."""
    return choice.sums.gross - limit
