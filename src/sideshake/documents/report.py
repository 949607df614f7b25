"""The owner's report: what the work brought, what was found, what was done.

Before any work it is a report of findings, and is called so.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby

from sideshake.documents.acceptance import Proof, heard_after, heard_before, proof_blocks
from sideshake.documents.answer import Cause, answer_blocks
from sideshake.documents.blocks import (
    Abreast,
    Block,
    Caution,
    Document,
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
from sideshake.documents.result import WorkStage
from sideshake.workshop_rules.owner_cautions import magnets, water

PORTRAIT_MM, PROOF_MM = 76.0, 82.0
"""The most that portrait and pictures of before and after may take; letters keep their size."""
FEW_PHOTOGRAPHS, FEW_MM, MANY_MM = 4, 75.0, 60.0
"""Up to so many photographs of findings stand one below the other, more two abreast."""
FEW_BARE = 4
"""More findings in turn of which nothing else is said are a list."""
DRAWN = "The barrel, drawn from its sizes"
NOT_A_VALUATION = "This report describes {what}; it is no valuation and no certificate."


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportFinding:
    """What was found, in the owner's language, with its pictures."""

    title: str
    detail: str = ""
    pictures: tuple[Picture, ...] = ()

    @property
    def bare(self) -> bool:
        """Return whether the title says all."""
        return not self.detail and not self.pictures


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What was done, what was measured of it, and what the bench noted."""

    what: str
    measured: str = ""
    why: str = ""

    @property
    def words(self) -> str:
        """Return it as one line."""
        parts = (self.what, self.measured, self.why)
        return " ".join(f"{part.rstrip('.')}." for part in parts if part)


@dataclass(frozen=True, slots=True, kw_only=True)
class PartFitted:
    """A part that went in, where it is from, and what became of the old one."""

    what: str
    origin: str
    old_part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Everything an owner's report may say; what is empty is left out."""

    head: Letterhead
    day: date
    written: str = ""
    """The day as the workshop writes days."""
    visit: str
    watch: str
    owner: str
    agreed: str = ""
    """On which day and by which way the owner agreed."""
    stage: WorkStage = WorkStage.DONE
    result: str = ""
    """One paragraph that a layman understands."""
    told_us: str = ""
    """What is wrong, in the owner's words."""
    causes: tuple[Cause, ...] = ()
    """What answers these words."""
    story: str = ""
    portrait: Picture | None = None
    seen: tuple[tuple[str, str], ...] = ()
    findings: tuple[ReportFinding, ...] = ()
    drawings: tuple[Picture, ...] = ()
    done: tuple[Done, ...] = ()
    parts: tuple[PartFitted, ...] = ()
    not_original: tuple[str, ...] = ()
    proof: Proof = field(default_factory=Proof)
    look_after: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    next_service: str = ""
    warranty: str = ""
    words: str = ""
    """The workshop's own last words."""
    missing: tuple[str, ...] = ()
    """Photographs that belong here and whose files are gone; told to the restorer."""
    paper: Paper = Paper.A4


TITLES = {
    WorkStage.ARRIVED: "Your watch has arrived: {watch}",
    WorkStage.FINDINGS: "Report of findings: {watch}",
    WorkStage.SO_FAR: "Report so far: {watch}",
    WorkStage.DONE: "Your watch: {watch}",
}


DESCRIBES = {WorkStage.ARRIVED: "what came to us", WorkStage.FINDINGS: "what was found"}
"""What a report is about before any work."""


def report(told: Report) -> Document:
    """Return the owner's report as a document; `gaps` names what the restorer left open."""
    written = told.written or told.day.isoformat()
    return Document(
        title=TITLES[told.stage].format(watch=told.watch),
        head=told.head,
        day=told.day,
        cells=(("Owner", told.owner), ("Visit", told.visit), ("Date", written)),
        blocks=tuple(report_blocks(told)),
        foot=f"{told.head.name} · visit {told.visit} · {foot_words(told.stage)}",
        paper=told.paper,
        gaps=gaps(told),
    )


def foot_words(stage: WorkStage) -> str:
    """Return what the report is and is not."""
    return NOT_A_VALUATION.format(what=DESCRIBES.get(stage, "the work"))


def report_blocks(told: Report) -> Iterator[Block]:
    """Yield the report from the watch and its result to the next service."""
    yield from opening_blocks(told)
    yield from caution_blocks(told)
    yield from story_blocks(told)
    yield from found_blocks(told)
    yield from done_blocks(told)
    yield from proof_blocks(told.proof)
    yield from after_blocks(told)


def opening_blocks(told: Report) -> Iterator[Block]:
    """Yield the watch, the result in one paragraph, and before and after as pictures."""
    if told.portrait:
        yield Figures(pictures=(told.portrait,), height_mm=PORTRAIT_MM)
    if told.result:
        yield Words(words=told.result, large=True)
    yield from answer_blocks(told.told_us, told.causes)
    yield from figure_rows(told.proof.pictures, in_row=2, height_mm=PROOF_MM)


def story_blocks(told: Report) -> Iterator[Block]:
    """Yield the story, what was seen, and when the owner agreed."""
    if told.story:
        yield Story(words=told.story)
    words = "" if told.causes else told.told_us.strip()
    yield from known_facts(("You told us", words), *told.seen, ("Agreed on", told.agreed))


def caution_blocks(told: Report) -> Iterator[Block]:
    """Yield what can hurt somebody, early; the other cautions stand at the end."""
    yield from (each for each in told.cautions if each.grave)


def found_blocks(told: Report) -> Iterator[Block]:
    """Yield what was found, with its pictures and drawings."""
    if not told.findings and not told.drawings:
        return
    many = sum(len(each.pictures) for each in told.findings) > FEW_PHOTOGRAPHS
    yield Heading(words="What we found")
    for number, (kind, group) in enumerate(groupby(told.findings, key=kind_of)):
        alike = tuple(group)
        if kind == BARE and len(alike) > FEW_BARE:
            if number:
                yield Heading(words="Found as well", level=3)
            yield Points(items=tuple(each.title for each in alike))
        elif kind == PICTURED and many:
            yield from abreast(alike)
        else:
            for finding in alike:
                yield from finding_blocks(finding)
    if told.drawings and told.findings:
        yield Heading(words=DRAWN, level=3)
    yield from figure_rows(told.drawings, in_row=1)


BARE, PICTURED, TOLD = "bare", "pictured", "told"


def kind_of(finding: ReportFinding) -> str:
    """Return whether a finding has a photograph, words, or its title only."""
    return BARE if finding.bare else PICTURED if finding.pictures else TOLD


def finding_blocks(
    finding: ReportFinding, *, height_mm: float = FEW_MM
) -> Iterator[Heading | Words | Figures]:
    """Yield one finding: title, words, photographs."""
    yield Heading(words=finding.title, level=3, alone=finding.bare)
    if finding.detail:
        yield Words(words=finding.detail, keep=bool(finding.pictures))
    yield from figure_rows(finding.pictures, height_mm=height_mm)


def abreast(findings: Sequence[ReportFinding]) -> Iterator[Abreast]:
    """Yield findings with photographs two abreast."""
    for first in range(0, len(findings), 2):
        pair = findings[first : first + 2]
        made = [tuple(finding_blocks(each, height_mm=MANY_MM)) for each in pair]
        yield Abreast(cells=(*made, ()) if len(made) == 1 else tuple(made))


def done_blocks(told: Report) -> Iterator[Block]:
    """Yield what was done, which parts went in, and what is original no more."""
    if told.done:
        yield Heading(words="What we did")
        yield Points(items=tuple(each.words for each in told.done))
    if told.parts:
        yield Heading(words="Parts", level=3)
        yield Table(
            columns=("Part", "Where it is from", "The old part"),
            rows=tuple((part.what, part.origin, part.old_part) for part in told.parts),
        )
    if told.not_original:
        yield Heading(words="No longer original", level=3)
        yield Points(items=told.not_original)


def after_blocks(told: Report) -> Iterator[Block]:
    """Yield what the owner should do from now on."""
    mind = tuple(
        f"{each.title}: {each.words}"
        for each in told.cautions
        if not each.grave and not says_so(told.look_after, each)
    )
    if told.look_after or mind or told.next_service or told.warranty:
        yield Heading(words="From now on")
    if told.look_after or mind:
        yield Points(items=(*told.look_after, *mind))
    yield from known_facts(("Next service", told.next_service), ("Warranty", told.warranty))
    if told.words.strip():
        yield Words(words=told.words.strip())


def says_so(look_after: tuple[str, ...], caution: Caution) -> bool:
    """Return whether the workshop's own words already say what a caution does."""
    alike = {
        water().title: ("keep it dry", "keep dry"),
        magnets().title: ("keep it away from magnets", "keep away from magnets"),
    }
    begins = alike.get(caution.title, ())
    return any(line.strip().casefold().startswith(begins) for line in look_after)


def gaps(told: Report) -> tuple[str, ...]:
    """Return what a full report would hold and this one does not."""
    wanted: list[tuple[object, str]] = [
        (told.story, "the watch's story"),
        (told.portrait, "a photograph to open with: choose one at its page"),
        (told.findings, "what was found"),
        (heard_before(told.proof), "a reading from before the work"),
    ]
    if told.stage not in DESCRIBES:
        wanted.append((told.done, "what was done"))
        wanted.append((heard_after(told.proof), "a reading from after the work"))
    if told.stage is WorkStage.DONE:
        wanted += [
            (told.proof.running_time, "the running time"),
            (told.next_service, "the next service"),
            (told.warranty, "the warranty"),
        ]
        wanted += [(each.measured, f"what was measured of “{each.what}”") for each in told.done]
    return (*(words for there, words in wanted if not there), *told.missing)
