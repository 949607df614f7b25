"""The owner's report: what came, what was found, what was done, and what it brought."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from sideshake.errors import InputError
from sideshake.paper.blocks import (
    Block,
    Caution,
    Document,
    Facts,
    Figures,
    Heading,
    Letterhead,
    Paper,
    Picture,
    Points,
    Story,
    Table,
    Words,
    figure_rows,
    known_facts,
)
from sideshake.quantities import Measured

HOW_TO_READ = (
    "Rate: seconds gained (+) or lost (−) in a day. Amplitude: how far the balance swings. Beat "
    "error: half the difference between tick and tock. ± is the 95 % interval of each figure."
)
PROOF_MM, ROUND_PROOF_MM = 95.0, 190.0
"""The picture of single readings stands below their table; that of a round fills a page."""
FEW_POSITIONS = 3
WATER_LIMITS = (
    "Valid for the day of the test only: gaskets age. It is no promise, and an old watch is better "
    "kept dry."
)
NOT_A_VALUATION = "This report describes the work; it is neither a valuation nor a certificate."


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What was found, in the owner's language, with its pictures."""

    title: str
    detail: str = ""
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What was done, and why."""

    what: str
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartFitted:
    """A part that went in, where it is from, and what became of the old one."""

    what: str
    origin: str
    old_part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """The figures of one reading; what could not be told is None."""

    rate_s_per_day: Measured | None = None
    amplitude_deg: Measured | None = None
    beat_error_ms: Measured | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """One position and state of wind, heard before and after the work."""

    words: str
    before: Heard | None = None
    after: Heard | None = None

    def __post_init__(self) -> None:
        if self.before is None and self.after is None:
            raise InputError(f"nothing was heard in the position {self.words!r}: leave it out")


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeAfter:
    """A size measured after the work, as text, and before it where it was measured then."""

    name: str
    after: str
    before: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """The measured difference, and under which conditions."""

    positions: tuple[Position, ...] = ()
    difference: tuple[str, ...] = ()
    pictures: tuple[Picture, ...] = ()
    conditions: tuple[tuple[str, str], ...] = ()
    sizes: tuple[SizeAfter, ...] = ()
    running_time: str = ""
    water: str = ""
    water_day: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Everything an owner's report may say; what is empty is left out."""

    head: Letterhead
    day: date
    visit: str
    watch: str
    owner: str
    story: str = ""
    portrait: Picture | None = None
    seen: tuple[tuple[str, str], ...] = ()
    findings: tuple[Finding, ...] = ()
    drawings: tuple[Picture, ...] = ()
    done: tuple[Done, ...] = ()
    parts: tuple[PartFitted, ...] = ()
    not_original: tuple[str, ...] = ()
    proof: Proof = Proof()
    look_after: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    next_service: str = ""
    warranty: str = ""
    words: str = ""
    """The workshop's own last words."""
    paper: Paper = Paper.A4


def report(told: Report) -> Document:
    """Return the owner's report as a document; `gaps` names what the restorer left open."""
    return Document(
        title=f"Your watch: {told.watch}",
        head=told.head,
        day=told.day,
        cells=(("Owner", told.owner), ("Visit", told.visit), ("Date", told.day.isoformat())),
        blocks=tuple(report_blocks(told)),
        foot=f"{told.head.name} · visit {told.visit} · {NOT_A_VALUATION}",
        paper=told.paper,
        gaps=gaps(told),
    )


def report_blocks(told: Report) -> Iterator[Block]:
    """Yield the report from the story to the next service."""
    yield from story_blocks(told)
    yield from caution_blocks(told)
    yield from found_blocks(told)
    yield from done_blocks(told)
    yield from proof_blocks(told.proof)
    yield from after_blocks(told)


def story_blocks(told: Report) -> Iterator[Block]:
    """Yield the photograph, the story and what was seen."""
    if told.portrait:
        yield Figures(pictures=(told.portrait,), height_mm=95)
    if told.story:
        yield Story(words=told.story)
    if told.seen:
        yield Facts(pairs=told.seen)


def caution_blocks(told: Report) -> Iterator[Block]:
    """Yield what can hurt somebody, before all else."""
    yield from told.cautions


def found_blocks(told: Report) -> Iterator[Block]:
    """Yield what was found, with its pictures and drawings."""
    if not told.findings and not told.drawings:
        return
    yield Heading(words="What we found")
    for finding in told.findings:
        yield Heading(words=finding.title, level=3)
        if finding.detail:
            yield Words(words=finding.detail)
        yield from figure_rows(finding.pictures)
    yield from figure_rows(told.drawings, in_row=1)


def done_blocks(told: Report) -> Iterator[Block]:
    """Yield what was done, which parts went in, and what is original no more."""
    if told.done:
        yield Heading(words="What we did")
        yield Points(items=tuple(f"{each.what}. {each.why}".strip() for each in told.done))
    if told.parts:
        yield Heading(words="Parts", level=3)
        yield Table(
            columns=("Part", "Where it is from", "The old part"),
            rows=tuple((part.what, part.origin, part.old_part) for part in told.parts),
        )
    if told.not_original:
        yield Heading(words="No longer as it was made", level=3)
        yield Points(items=told.not_original)


def proof_blocks(proof: Proof) -> Iterator[Block]:
    """Yield what the work brought, measured."""
    shown = (proof.positions, proof.difference, proof.sizes, proof.running_time, proof.water)
    if not any(shown):
        return
    yield Heading(words="What it brought")
    for sentence in proof.difference:
        yield Words(words=sentence, large=True)
    if proof.positions:
        yield position_table(proof.positions)
        yield Words(words=HOW_TO_READ, quiet=True)
    height_mm = PROOF_MM if len(proof.positions) <= FEW_POSITIONS else ROUND_PROOF_MM
    yield from figure_rows(proof.pictures, in_row=2, height_mm=height_mm)
    yield from size_blocks(proof.sizes)
    facts = [*proof.conditions]
    if proof.running_time:
        facts.append(("Running time", proof.running_time))
    if proof.water:
        facts.append(("Water test", f"{proof.water} ({proof.water_day}). {WATER_LIMITS}"))
    if facts:
        yield Facts(pairs=tuple(facts))


def size_blocks(sizes: tuple[SizeAfter, ...]) -> Iterator[Block]:
    """Yield the sizes that were measured again; one not measured before is a dash."""
    if sizes:
        rows = tuple((each.name, each.before or "–", each.after) for each in sizes)
        yield Table(columns=("Measured again", "Before", "After"), rows=rows, numbers=(1, 2))


def position_table(positions: tuple[Position, ...]) -> Table:
    """Return the figures by position, before beside after; a figure not told is a dash."""
    columns = ("Position", "", "Rate, s a day", "Amplitude, °", "Beat error, ms")
    rows = []
    for position in positions:
        for when, heard in (("before", position.before), ("after", position.after)):
            if heard is not None:
                rows.append((position.words, when, *figures(heard)))
    return Table(columns=columns, rows=tuple(rows), numbers=(2, 3, 4))


def figures(heard: Heard) -> tuple[str, str, str]:
    """Return rate, amplitude and beat error as text."""
    rate, swing, error = heard.rate_s_per_day, heard.amplitude_deg, heard.beat_error_ms
    return (
        rate.text(sign=True) if rate else "–",
        swing.text() if swing else "–",
        error.text() if error else "–",
    )


def after_blocks(told: Report) -> Iterator[Block]:
    """Yield what the owner should do from now on."""
    if told.look_after or told.next_service or told.warranty:
        yield Heading(words="From now on")
    if told.look_after:
        yield Points(items=told.look_after)
    yield from known_facts(("Next service", told.next_service), ("Warranty", told.warranty))
    if told.words.strip():
        yield Words(words=told.words.strip())


def gaps(told: Report) -> tuple[str, ...]:
    """Return what a full report would hold and this one does not."""
    wanted = (
        (told.story, "the watch's story"),
        (told.portrait, "a photograph"),
        (told.findings, "what was found"),
        (told.done, "what was done"),
        (any(each.before for each in told.proof.positions), "a reading from before the work"),
        (any(each.after for each in told.proof.positions), "a reading from after the work"),
        (told.proof.running_time, "the running time"),
        (told.next_service, "the next service"),
        (told.warranty, "the warranty"),
    )
    return tuple(words for there, words in wanted if not there)
