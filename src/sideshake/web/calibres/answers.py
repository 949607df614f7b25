"""What a calibre's sheet answers now, what it contradicts, and what one more line would open."""

from dataclasses import dataclass
from functools import lru_cache

from sideshake.core.errors import InputError, NotEnough
from sideshake.movement.check import CheckResult, CheckState, findings
from sideshake.movement.escapement import require_heard_amplitude
from sideshake.movement.fault import Fault
from sideshake.movement.faults import faults, look_first
from sideshake.movement.opening import Opening, openings
from sideshake.movement.sheet import CalibreSheet, meaning
from sideshake.timing.reading import USUAL_LIFT_DEG
from sideshake.wear.measurements import Measurements, bench
from sideshake.web.calibres.sheet_lines import PARTS


@dataclass(frozen=True, slots=True, kw_only=True)
class Lack:
    """A line that lacks: what it means, and in which section of the pages it stands."""

    key: str
    meaning: str
    slug: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenAnswer:
    """What could be told, and the lines it lacks for that."""

    what: str
    lines: tuple[Lack, ...]
    more: bool
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What the checks say of a sheet."""

    wrong: tuple[Fault, ...]
    """What is wrong with single lines, and lines against each other."""
    contradicted: tuple[str, ...]
    """Why computations say that the sheet contradicts itself."""
    told: tuple[CheckResult, ...]
    unsaid: tuple[CheckResult, ...]
    one_more: tuple[OpenAnswer, ...]
    further: tuple[OpenAnswer, ...]
    usual_lift: str
    """The lift angle that is taken because the sheet has none; empty when it has one."""

    @property
    def cannot(self) -> tuple[str, ...]:
        """Return what cannot be right, a sentence each."""
        return (*said(self.wrong, cannot_be=True), *self.contradicted)

    @property
    def odd(self) -> tuple[str, ...]:
        """Return what is odd but possible, a sentence each."""
        return said(self.wrong, cannot_be=False)

    @property
    def look_first(self) -> str:
        """Return the line that most of it comes from; empty when none stands out."""
        return look_first(self.wrong)


def answers_of(sheet: CalibreSheet) -> Answers:
    """Return what the checks say of a sheet."""
    found = findings(sheet)
    opened = tuple(in_places(each) for each in openings(sheet))
    alone = tuple(each for each in opened if len(each.lines) == 1 and not each.more)
    return Answers(
        wrong=faults(sheet),
        contradicted=tuple(each.words for each in found if each.state is CheckState.CONTRADICTED),
        told=tuple(each for each in found if each.state is CheckState.POSSIBLE),
        unsaid=tuple(each for each in found if each.state is CheckState.UNSAID),
        one_more=alone,
        further=tuple(each for each in opened if each not in alone),
        usual_lift=usual_lift(sheet),
    )


@lru_cache(maxsize=32)
def taken_under_way(sheet: CalibreSheet) -> tuple[str, ...]:
    """Return what the barrel's lean under way takes at its worst, since the sheet tells it not.

    Nothing where no such lean is told, or where all of it is known.
    """
    try:
        running = bench(sheet, Measurements()).case.running
    except (InputError, NotEnough):
        return ()
    return running.taken if running else ()


def said(wrong: tuple[Fault, ...], *, cannot_be: bool) -> tuple[str, ...]:
    """Return the words of the faults that cannot be, or of those that are only odd."""
    return tuple(each.words for each in wrong if each.cannot_be is cannot_be)


def in_places(lack: Opening) -> OpenAnswer:
    """Return what lacks, each line with its meaning and the section where it is written."""
    lines = tuple(Lack(key=key, meaning=meaning(key), slug=slug_of(key)) for key in lack.lines)
    return OpenAnswer(what=lack.what, lines=lines, more=lack.more, words=lack.words)


def slug_of(key: str) -> str:
    """Return the address of the section in which a line stands."""
    table = key.partition(".")[0]
    return next(each.slug for each in PARTS if table in (*each.tables, each.rows))


def usual_lift(sheet: CalibreSheet) -> str:
    """Return the lift angle that readings take where the sheet has none; empty when it has one.

    Also where no amplitude is told by ear at all.
    """
    if sheet.lift_angle_deg is not None:
        return ""
    try:
        require_heard_amplitude(sheet)
    except (InputError, NotEnough):
        return ""
    return USUAL_LIFT_DEG.text()
