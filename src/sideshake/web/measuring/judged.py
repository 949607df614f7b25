"""What a visit's sizes say, as its pages show it."""

from dataclasses import dataclass

from sideshake.analysis.barrel import BarrelJudged
from sideshake.analysis.barrel_tables import Rows, gap_rows, lean_rows
from sideshake.analysis.barrel_words import basis, memory_notes
from sideshake.analysis.on_bench import Lying
from sideshake.wear.ahead import ahead_sentences
from sideshake.wear.measure_first import to_measure
from sideshake.wear.outlook import Worth
from sideshake.wear.verdict import Action, Verdict

MOST_SHOWN = 6
"""Measurements that are proposed at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What the measured sizes say: a verdict, or the sentence why there is none."""

    barrel: BarrelJudged | None = None
    lying: Lying | None = None
    lacking: str = ""

    @property
    def verdict(self) -> Verdict | None:
        """Return what to do, and how sure."""
        return self.barrel.verdict if self.barrel else None

    @property
    def is_judged(self) -> bool:
        """Return whether there is a verdict, and not only what to measure first."""
        return self.verdict is not None and self.verdict.action is not Action.MEASURE

    @property
    def ahead(self) -> list[str]:
        """Return from where on it rubs and what is still worth measuring."""
        return ahead_sentences(self.verdict) if self.verdict else []

    @property
    def worth(self) -> list[Worth]:
        """Return the measurements that pay, the most value for a minute first."""
        ahead = self.verdict.outlook if self.verdict else None
        return [each for each in ahead.worth if each.pays][:MOST_SHOWN] if ahead else []

    @property
    def leans(self) -> Rows:
        """Return how far it leans: as far as it can, under way, and while it is wound."""
        return lean_rows(self.barrel.poses) if self.barrel else ()

    @property
    def gaps(self) -> Rows:
        """Return what is left of each gap in each of these, and how likely it rubs."""
        return gap_rows(self.barrel.poses) if self.barrel else ()

    @property
    def basis(self) -> tuple[str, ...]:
        """Return what the figures rest on."""
        if self.lying is None:
            return ()
        return (*basis(self.lying.bench), *memory_notes(self.lying.calibre))

    @property
    def to_repeat(self) -> str:
        """Return which measurement to take again, or at all; empty where nothing is in doubt."""
        if self.verdict is None or self.lying is None or self.verdict.doubt is None:
            return ""
        return to_measure(self.lying.bench.case.barrel, self.verdict.doubt.name)
