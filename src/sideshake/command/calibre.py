"""`sideshake calibre`: start a calibre sheet, and learn what can be computed from one."""

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from sideshake.command.options import Json
from sideshake.core.errors import InputError

if TYPE_CHECKING:
    from sideshake.command.say import Grid
    from sideshake.movement.check import CheckResult
    from sideshake.movement.fault import Fault
HOW_READ = (
    "Read with +- as the 95 % interval that is printed. In a file written when it meant one "
    "standard deviation: sideshake calibre convert OLD NEW."
)


def new(file: Path | None = None, *, name: str = "New calibre", like: str | None = None) -> None:
    """Write a blank calibre sheet with the meaning of every line.

    Parameters
    ----------
    file
        Where to write it; to the screen if left out. A file that exists is never overwritten.
    name
        The calibre's name.
    like
        Start from a sheet that comes with the program instead of a blank one.
    """
    from sideshake.movement.blank import blank_sheet
    from sideshake.movement.sheet_file import shipped_text

    text = shipped_text(like) if like else blank_sheet(name)
    if file is None:
        sys.stdout.write(text)
        return
    try:
        with file.open("x", encoding="utf-8") as sheet:
            sheet.write(text)
    except FileExistsError:
        raise InputError(f"{file} exists already; choose another name") from None
    except OSError as error:
        raise InputError(f"cannot write {file}: {error.strerror}") from None
    sys.stdout.write(f"A sheet is in {file}. Fill in what you know, then: calibre check {file}\n")


def convert(old: Path, new: Path) -> None:
    """Carry a sheet, or measurements, over from the time when +- meant one standard deviation.

    Every "0.92+-0.005" becomes "0.92+-0.010", the 95 % interval that is printed; comments and
    everything else stay as they are.

    Parameters
    ----------
    old
        The file as it was written.
    new
        Where the converted one goes; a file that exists is never overwritten.
    """
    from sideshake.movement.renew import renewed

    try:
        text = renewed(old.read_text(encoding="utf-8"))
        with new.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise InputError(f"{new} exists already; choose another name") from None
    except UnicodeDecodeError as error:
        raise InputError(f"{old} is not a UTF-8 text: {error.reason}") from None
    except OSError as error:
        raise InputError(f"cannot convert {old} to {new}: {error.strerror}") from None
    sys.stdout.write(f"Converted: {new}. Its +- is the 95 % interval now.\n")


def check(sheet: str, *, as_json: Json = False) -> None:
    """Say what cannot be in a calibre sheet, what is odd, what can be computed from it.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as tarnbrook-31).
    as_json
        Write JSON instead of words.
    """
    from sideshake.command.say import CommandAnswer, Grid, say
    from sideshake.movement.check import CheckState, findings
    from sideshake.movement.faults import faults
    from sideshake.movement.sheet_file import sheet_at

    calibre = sheet_at(sheet)
    found, wrong = findings(calibre), faults(calibre)
    memory = [each.key for each in calibre.sources if each.from_memory]
    say(
        CommandAnswer(
            schema="calibre-check",
            sentences=[computed_sentence(calibre.name, found), *fault_sentences(wrong)],
            grids=[
                *([fault_grid(wrong)] if wrong else []),
                Grid(
                    title="",
                    columns=("computation", "", "result, or what is missing"),
                    rows=[(each.what, each.state.value, each.words) for each in found],
                ),
            ],
            notes=[
                *(
                    [f"From memory, not checked against a source: {', '.join(memory)}."]
                    * bool(memory)
                ),
                HOW_READ,
            ],
            figures={
                "calibre": calibre.name,
                "findings": [
                    {"what": each.what, "state": each.state.value, "words": each.words}
                    for each in found
                ],
                "faults": wrong,
                "from_memory": memory,
            },
        ),
        as_json=as_json,
    )
    bad = [each.words for each in wrong if each.cannot_be]
    bad += [each.words for each in found if each.state is CheckState.CONTRADICTED]
    if bad:
        raise InputError(bad[0])


def computed_sentence(name: str, found: "Sequence[CheckResult]") -> str:
    """Return how many computations are possible, and how many are not, and why not."""
    from sideshake.movement.check import CheckState

    count = {state: sum(each.state is state for each in found) for state in CheckState}
    lacking = count[CheckState.LACKING]
    parts = [f"{lacking} {'lacks' if lacking == 1 else 'lack'} a line"]
    if count[CheckState.UNSAID]:
        parts.append(f"{count[CheckState.UNSAID]} cannot be said of this kind of movement")
    bad = count[CheckState.CONTRADICTED]
    own = (
        f", and {bad} {'contradicts itself' if bad == 1 else 'contradict themselves'}."
        if bad
        else "; nothing contradicts itself."
    )
    possible = f"{count[CheckState.POSSIBLE]} of {len(found)} computations are possible"
    return f"{name}: {', '.join([possible, *parts])}{own}"


def fault_sentences(wrong: "Sequence[Fault]") -> list[str]:
    """Return how much cannot be, which line to look at first, and how much is odd."""
    from sideshake.movement.faults import look_first

    bad = sum(each.cannot_be for each in wrong)
    odd = len(wrong) - bad
    said = []
    if bad:
        first = look_first(wrong)
        where = f" Look at {first} first: most of it comes from there." if first else ""
        said.append(f"{bad} {'thing' if bad == 1 else 'things'} in it cannot be.{where}")
    if odd:
        said.append(f"{odd} {'thing is' if odd == 1 else 'things are'} odd, but possible.")
    return said


def fault_grid(wrong: "Sequence[Fault]") -> "Grid":
    """Return what cannot be and what is odd as a table."""
    from sideshake.command.say import Grid

    return Grid(
        title="What cannot be, and what is odd",
        columns=("", "why"),
        rows=[("cannot be" if each.cannot_be else "odd", each.words) for each in wrong],
    )
