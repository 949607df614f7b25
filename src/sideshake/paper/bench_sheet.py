"""The bench sheet: the fit and the order of work, to lie beside the plate."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from sideshake.errors import InputError
from sideshake.paper.blocks import (
    Blanks,
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
    Words,
)

CARE = Caution(
    title="Care",
    words=(
        "Mainspring let down and the click held before any bridge is loosened; eye protection at "
        "reamer and lathe. Read the safety data sheets; the law where you work comes first."
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One step to be done, with what can go wrong in it."""

    title: str
    how: str = ""
    caution: str = ""

    @property
    def words(self) -> str:
        """Return the step in one paragraph."""
        parts = (self.title, self.how, f"Mind: {self.caution}" if self.caution else "")
        return "\n".join(part for part in parts if part)


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchSheet:
    """What lies beside the plate while the work is done."""

    head: Letterhead
    day: date
    visit: str
    watch: str
    calibre: str
    jobs: tuple[Job, ...]
    fit: tuple[tuple[str, str], ...] = ()
    drawings: tuple[Picture, ...] = ()
    to_note: tuple[str, ...] = ()
    paper: Paper = Paper.A4

    def __post_init__(self) -> None:
        if not self.jobs and not self.fit:
            raise InputError(f"visit {self.visit}: a bench sheet needs a step or a fit")


def bench_sheet(told: BenchSheet) -> Document:
    """Return the bench sheet as a document."""
    return Document(
        title=f"Bench sheet: {told.watch}",
        head=told.head,
        day=told.day,
        cells=(
            ("Visit", told.visit),
            ("Calibre", told.calibre or "not known"),
            ("Printed", told.day.isoformat()),
        ),
        blocks=tuple(bench_blocks(told)),
        foot=f"{told.head.name} · visit {told.visit} · for the bench, not for the owner",
        paper=told.paper,
    )


def bench_blocks(told: BenchSheet) -> Iterator[Block]:
    """Yield the fit, the drawings, the steps and the blanks."""
    yield CARE
    if told.fit:
        yield Heading(words="The fit")
        yield Facts(pairs=told.fit)
    for drawing in told.drawings:
        yield Figures(pictures=(drawing,), height_mm=110)
    if told.jobs:
        yield Heading(words="In this order")
        yield Points(items=tuple(job.words for job in told.jobs), ticked=True)
    if told.to_note:
        yield Heading(words="Measured")
        yield Words(words="Write down each size with the way it was measured.", quiet=True)
        yield Blanks(names=told.to_note)
