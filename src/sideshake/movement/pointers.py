"""Names in a calibre sheet that point at an arbor or a line, and must find it."""

from collections.abc import Iterator
from difflib import get_close_matches

from sideshake.movement.fault import Fault
from sideshake.movement.sheet import CalibreSheet, meaning

HANDS = ("seconds hand", "minute hand")
NO_SUCH_LINE = meaning("no such line")


def pointer_faults(sheet: CalibreSheet) -> Iterator[Fault]:
    """Yield the names that point nowhere, and names of hands that are nearly those we know."""
    names = {arbor.name for arbor in sheet.train.arbors} if sheet.train else set()
    if names:
        for lines, name in arbor_pointers(sheet):
            if name not in names:
                yield Fault(
                    lines=lines,
                    words=f"{lines} says {name!r}, but the arbors are {', '.join(sorted(names))}",
                    cannot_be=True,
                )
    yield from source_faults(sheet)
    yield from hand_faults(sheet)


def arbor_pointers(sheet: CalibreSheet) -> Iterator[tuple[str, str]]:
    """Yield the lines that name an arbor, with the name; `driven_by` is checked in order."""
    for row, bearing in enumerate(sheet.bearings):
        yield f"bearings.{row}.arbor", bearing.arbor
    if sheet.train and sheet.train.reference:
        yield "train.reference", sheet.train.reference
    for row, arbor in enumerate(sheet.train.arbors if sheet.train else ()):
        if arbor.driven_by:
            yield f"train.arbors.{row}.driven_by", arbor.driven_by
    if sheet.chronograph and sheet.chronograph.driven_by:
        yield "chronograph.driven_by", sheet.chronograph.driven_by


def source_faults(sheet: CalibreSheet) -> Iterator[Fault]:
    """Yield the sources of lines that are not in the sheet."""
    for source in sheet.sources:
        if meaning(source.key) == NO_SUCH_LINE:
            yield Fault(
                lines="sources",
                words=f"a source is given for {source.key!r}, but there is no such line",
                cannot_be=True,
            )


def hand_faults(sheet: CalibreSheet) -> Iterator[Fault]:
    """Yield what an arbor carries when it is nearly, but not quite, a hand that is checked."""
    for row, arbor in enumerate(sheet.train.arbors if sheet.train else ()):
        carried = arbor.carries
        if carried and carried not in HANDS and (close := get_close_matches(carried, HANDS, n=1)):
            yield Fault(
                lines=f"train.arbors.{row}.carries",
                words=f"{arbor.name} carries {carried!r}; only {close[0]!r} is checked as a hand",
                cannot_be=False,
            )
