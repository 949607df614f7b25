"""The acceptance of the work on paper: what it changed, by position, in sizes, tests and water."""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.documents.blocks import (
    FEW_ROWS,
    Beside,
    Block,
    Heading,
    Picture,
    Points,
    Table,
    Words,
    known_facts,
)
from sideshake.wording import figures as written
from sideshake.wording import gettext as _
from sideshake.wording import noop

HOW_TO_READ = noop(
    "Rate: seconds gained (+) or lost (−) in a day. Amplitude: how far the balance swings. Beat "
    "error: half the difference between tick and tock. ± is the 95 % interval of each figure."
)
WATER_LIMITS = noop(
    "{result} ({day}). Valid for the day of the test only: gaskets age. It is no promise, and an "
    "old watch is better kept dry."
)


MOST_BESIDE = 50
"""A result of more letters would leave no room for the test's name, if it stood on one line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardFigures:
    """The figures of one reading; what could not be told is None."""

    rate_s_per_day: Measured | None = None
    amplitude_deg: Measured | None = None
    beat_error_ms: Measured | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PositionRow:
    """One position and state of wind, heard before and after the work."""

    words: str
    before: HeardFigures | None = None
    after: HeardFigures | None = None

    def __post_init__(self) -> None:
        if self.before is None and self.after is None:
            raise InputError(f"nothing was heard in the position {self.words!r}: leave it out")


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredChange:
    """What one figure did between before and after, and the picture of it."""

    sentences: tuple[str, ...]
    picture: Picture | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeAfter:
    """A size measured after the work, as text, and before it where it was measured then."""

    name: str
    after: str
    before: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TestRow:
    """A test before the watch went home, with value and limit where it is measured."""

    title: str
    value: str
    limit: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """The measured difference, and under which conditions."""

    positions: tuple[PositionRow, ...] = ()
    changes: tuple[MeasuredChange, ...] = ()
    pictures: tuple[Picture, ...] = ()
    """Before and after, to be seen at once: they open the report."""
    conditions: tuple[tuple[str, str], ...] = ()
    sizes: tuple[SizeAfter, ...] = ()
    tests: tuple[TestRow, ...] = ()
    running_time: str = ""
    water: str = ""
    water_day: str = ""

    @property
    def difference(self) -> tuple[str, ...]:
        """Return every sentence on what changed."""
        return tuple(said for each in self.changes for said in each.sentences)


def heard_before(proof: Proof) -> bool:
    """Return whether there is a reading from before the work."""
    return any(each.before for each in proof.positions)


def heard_after(proof: Proof) -> bool:
    """Return whether there is a reading from after the work."""
    return any(each.after for each in proof.positions)


def brings(proof: Proof) -> bool:
    """Return whether anything was measured after the work."""
    after = (proof.difference, proof.sizes, proof.tests, proof.running_time, proof.water)
    return heard_after(proof) or any(after)


def heading_words(proof: Proof) -> str:
    """Return what was measured, as a heading; nothing is called changed without its before."""
    before, after = heard_before(proof), heard_after(proof)
    resized = any(each.before for each in proof.sizes)
    if proof.difference or (before and after) or (resized and not after):
        return _("What the work changed, measured")
    if not brings(proof):
        return _("How it ran when it came, measured") if proof.positions else ""
    runs = after or proof.tests or proof.running_time
    return _("How it runs now, measured") if runs and not before else _("What was measured")


def proof_blocks(proof: Proof) -> Iterator[Block]:
    """Yield what the work brought, measured."""
    words = heading_words(proof)
    if not words:
        return
    yield Heading(words=words)
    yield from change_blocks(proof)
    if proof.positions:
        told_apart = heard_before(proof) and brings(proof)
        yield position_table(proof.positions, told_apart=told_apart)
        yield Words(words=_(HOW_TO_READ), quiet=True)
    yield from known_facts(*proof.conditions)
    yield from size_blocks(proof.sizes)
    yield from test_blocks(proof.tests)
    said = _(WATER_LIMITS).format(result=proof.water, day=proof.water_day)
    running, water = "" if proof.tests else proof.running_time, said if proof.water else ""
    yield from known_facts((_("Running time"), running), (_("Water test"), water))


def change_blocks(proof: Proof) -> Iterator[Block]:
    """Yield what each figure did, beside the picture of it where there is one."""
    for each in proof.changes:
        said = Points(items=each.sentences)
        yield Beside(picture=each.picture, words=(said,)) if each.picture else said
    if any(each.picture for each in proof.changes):
        from sideshake.drawings.before_after import MEANING  # late: a paper may have no picture

        yield Words(words=_(MEANING), quiet=True)


def size_blocks(sizes: tuple[SizeAfter, ...]) -> Iterator[Block]:
    """Yield the sizes that were measured again; one not measured before is a dash."""
    if sizes:
        rows = tuple((each.name, each.before or "–", each.after) for each in sizes)
        columns = (_("Measured again"), _("Before"), _("After"))
        yield Table(columns=columns, rows=rows, numbers=(1, 2))


def test_blocks(tests: tuple[TestRow, ...]) -> Iterator[Block]:
    """Yield the tests before it went home; one without a figure says who looked."""
    if tests:
        rows = tuple((each.title, each.value, each.limit, each.says) for each in tests)
        columns = (_("Tested before it goes home"), _("Value"), _("Limit"), _("Result"))
        long = any(len(each.says) > MOST_BESIDE for each in tests)
        yield Table(columns=columns, rows=rows, shared=(3,) if long else ())


def position_table(positions: tuple[PositionRow, ...], *, told_apart: bool) -> Table:
    """Return the figures by position, before beside after; a figure not told is a dash.

    Under a heading that says how the watch came, nobody needs to be told that all is from before.
    A short table keeps to the words on how to read it.
    """
    short = sum(len(tuple(sides_of(each))) for each in positions) <= FEW_ROWS
    sides = [(each.words, when, heard) for each in positions for when, heard in sides_of(each)]
    if told_apart:
        rows = tuple((words, when, *figures(heard)) for words, when, heard in sides)
        pairs = tuple(len(tuple(sides_of(each))) for each in positions)
        columns = (_("Position"), "", *map(_, FIGURES))
        return Table(columns=columns, rows=rows, numbers=(2, 3, 4), groups=pairs, keep=short)
    bare = tuple((words, *figures(heard)) for words, _, heard in sides)
    return Table(
        columns=(_("Position"), *map(_, FIGURES)), rows=bare, numbers=(1, 2, 3), keep=short
    )


FIGURES = (noop("Rate, s a day"), noop("Amplitude, °"), noop("Beat error, ms"))


def sides_of(position: PositionRow) -> Iterator[tuple[str, HeardFigures]]:
    """Yield what was heard in a position before and after the work."""
    for when, heard in ((_("before"), position.before), (_("after"), position.after)):
        if heard is not None:
            yield when, heard


def figures(heard: HeardFigures) -> tuple[str, str, str]:
    """Return rate, amplitude and beat error as text."""
    rate, swing, error = heard.rate_s_per_day, heard.amplitude_deg, heard.beat_error_ms
    return (
        written(rate.text(sign=True)) if rate else "–",
        written(swing.text()) if swing else "–",
        written(error.text()) if error else "–",
    )
