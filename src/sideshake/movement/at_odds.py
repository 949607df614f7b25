"""Words of a calibre sheet that name two kinds of movement at once."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from sideshake.movement.fault import Fault
from sideshake.movement.sheet import CalibreSheet, Mainspring, SheetBarrel


@dataclass(frozen=True, slots=True, kw_only=True)
class Odds:
    """Two lines that tell of two kinds of movement, and when a sheet has both."""

    lines: str
    words: str
    both: Callable[[CalibreSheet], bool]
    cannot_be: bool = True


def barrel_of(sheet: CalibreSheet) -> SheetBarrel:
    """Return the sheet's barrel, an empty one without it."""
    return sheet.barrel or SheetBarrel()


def spring_lines(sheet: CalibreSheet) -> Mainspring:
    """Return the sheet's lines of the mainspring, none without the section."""
    return sheet.mainspring or Mainspring()


def slips_at(sheet: CalibreSheet) -> float:
    """Return the turns before full wind at which a bridle slips, 0 where the sheet has no line."""
    turns = spring_lines(sheet).bridle_turns
    return turns.value if turns else 0.0


def stop_work(sheet: CalibreSheet) -> str | None:
    """Return the sheet's stop work, None where it does not tell."""
    return sheet.drive.stop_work if sheet.drive else None


AT_ODDS = (
    Odds(
        lines="barrel.kind, fusee",
        words="there is a fusee, but barrel.kind says that the barrel pulls no chain",
        both=lambda sheet: sheet.fusee is not None and barrel_of(sheet).kind not in (None, "fusee"),
    ),
    Odds(
        lines="drive.stop_work, barrel.kind",
        words="drive.stop_work says fusee stop, but a barrel of this barrel.kind pulls no chain",
        both=lambda sheet: (
            stop_work(sheet) == "fusee stop" and barrel_of(sheet).kind in ("going", "hanging")
        ),
    ),
    Odds(
        lines="drive.stop_work, mainspring.stop_work_turns",
        words="drive.stop_work says none, but mainspring.stop_work_turns says what it lets through",
        both=lambda sheet: (
            stop_work(sheet) == "none" and spring_lines(sheet).stop_work_turns is not None
        ),
    ),
    Odds(
        lines="mainspring.slipping_bridle, mainspring.bridle_turns",
        words="mainspring.slipping_bridle says that no bridle slips, but mainspring.bridle_turns "
        "says when",
        both=lambda sheet: spring_lines(sheet).slipping_bridle is False and slips_at(sheet) > 0,
    ),
    Odds(
        lines="mainspring.slipping_bridle, mainspring.stop_work_turns",
        words="a stop work and a slipping bridle in one barrel: the bridle never comes to slip",
        both=lambda sheet: (
            spring_lines(sheet).slipping_bridle is True
            and spring_lines(sheet).stop_work_turns is not None
        ),
        cannot_be=False,
    ),
    Odds(
        lines="winding.by, automatic",
        words="winding.by says rotor, but the sheet has no section automatic",
        both=lambda sheet: (
            sheet.winding is not None and sheet.winding.by == "rotor" and sheet.automatic is None
        ),
        cannot_be=False,
    ),
)


def odds_faults(sheet: CalibreSheet) -> Iterator[Fault]:
    """Yield the lines that tell of two kinds of movement at once."""
    for each in AT_ODDS:
        if each.both(sheet):
            yield Fault(lines=each.lines, words=each.words, cannot_be=each.cannot_be)
