"""`sideshake calibre`: start a calibre sheet, and learn what can be computed from one."""

import sys
from pathlib import Path

from sideshake.command.options import Json
from sideshake.errors import InputError

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
    """Say what can be computed from a calibre sheet, what is missing, what contradicts itself.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as tarnbrook-31).
    as_json
        Write JSON instead of words.
    """
    from sideshake.command.say import Answer, Grid, say
    from sideshake.movement.check import State, findings
    from sideshake.movement.sheet_file import sheet_at

    calibre = sheet_at(sheet)
    found = findings(calibre)
    count = {state: sum(each.state is state for each in found) for state in State}
    bad = count[State.CONTRADICTED]
    sentence = (
        f"{calibre.name}: {count[State.POSSIBLE]} of {len(found)} computations are possible, "
        f"{count[State.LACKING]} {'lacks' if count[State.LACKING] == 1 else 'lack'} a line"
        + (f", and {bad} contradict themselves." if bad else "; nothing contradicts itself.")
    )
    memory = [each.key for each in calibre.sources if each.from_memory]
    say(
        Answer(
            schema="calibre-check",
            sentences=[sentence],
            grids=[
                Grid(
                    title="",
                    columns=("computation", "", "result, or what is missing"),
                    rows=[(each.what, each.state.value, each.words) for each in found],
                )
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
                "from_memory": memory,
            },
        ),
        as_json=as_json,
    )
    if bad:
        raise InputError(next(e.words for e in found if e.state is State.CONTRADICTED))
