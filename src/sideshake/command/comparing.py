"""Two recordings heard, what is said of their difference, and its picture."""

from pathlib import Path
from typing import Any

from sideshake.analysis.hearing import KnownForHearing, reading_of
from sideshake.command.figures import measured
from sideshake.command.hearing import said_of
from sideshake.command.listen import hear_file
from sideshake.command.say import CommandAnswer, Grid, save_picture
from sideshake.core.errors import NotEnough
from sideshake.sound.clock import SampleClock
from sideshake.timing.compare.compared import Comparison
from sideshake.timing.compare.difference import ComparedFigure, Difference
from sideshake.timing.reading import Reading
from sideshake.timing.turn.fold import turn_of
from sideshake.timing.what_beats import NoWatch

COLUMNS = ("", "before", "after", "change", "more, likely", "")


def read_one(name: str, known: KnownForHearing, *, clock: SampleClock) -> Reading:
    """Return the reading of one recording; a fault names it."""
    try:
        return reading_of(hear_file(name, known.per_hour), known, clock)
    except NoWatch as why:
        raise NotEnough(said_of(name, why)) from None
    except NotEnough as why:
        raise NotEnough(f"{name}: no reading, {why}") from None


def save(
    picture: Path, compared: Comparison, readings: list[Reading], escape_teeth: int | None
) -> list[str]:
    """Draw before and after, and beside it one turn of the escape wheel each; return where."""
    from sideshake.drawings.before_after import before_after_drawing
    from sideshake.drawings.ring import rings_drawing
    from sideshake.drawings.svg import svg_text

    figures = svg_text(before_after_drawing(compared.differences))
    written = [save_picture(picture.parent, picture.name, figures)]
    before, after = (turn_of(reading, escape_teeth) for reading in readings)
    if before is not None and after is not None:
        name = f"{picture.stem}-rings{picture.suffix}"
        written.append(save_picture(picture.parent, name, svg_text(rings_drawing(before, after))))
    return written


def answer(compared: Comparison, drawn: list[str]) -> CommandAnswer:
    """Return what to say: the sentences, a table, the cautions, and the same for programs."""
    rows = [row(each) for each in compared.differences]
    return CommandAnswer(
        schema="comparison",
        heard=True,
        sentences=[each.sentence for each in compared.differences],
        grids=[Grid(title="", columns=COLUMNS, rows=rows, numbers=(1, 2, 3, 4))],
        notes=[*compared.cautions, *compared.basis],
        figures={
            "differences": [figures(each) for each in compared.differences],
            "cautions": list(compared.cautions),
            "basis": list(compared.basis),
            "written": drawn,
        },
    )


def row(each: Difference) -> tuple[str, ...]:
    """Return a difference as a row of the table."""
    signed = each.what is ComparedFigure.RATE
    return (
        f"{each.what}, {each.what.unit.strip()}",
        each.before.text(sign=signed),
        each.after.text(sign=signed),
        each.change.text(sign=True),
        f"{100 * each.more:.0f} %",
        each.turn.value,
    )


def figures(each: Difference) -> dict[str, Any]:
    """Return a difference in figures."""
    return {
        "what": each.what.value,
        "place": each.place,
        "before": measured(each.before),
        "after": measured(each.after),
        "change": measured(each.change),
        "probability_more": each.more,
        "real": each.real,
        "turn": each.turn.value,
    }
