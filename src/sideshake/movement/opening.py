"""What a calibre sheet lacks for what could be told from it: one more line, or several.

A line that lacks is filled in with the example of its kind, to see whether the computation then
asks for another; only which lines it asked for is told, nothing that was computed from examples.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from sideshake.core.errors import InputError, Lacking, NotEnough
from sideshake.movement.check import PROBES
from sideshake.movement.lines import SheetSection
from sideshake.movement.sheet import CalibreSheet, section_of

MOST_LINES = 24
"""More than any computation asks for."""
WORKS = ("automatic", "calendar", "day", "chronograph", "fusee")
"""What a movement may be without: a sheet without the section lacks nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A computation that lacks lines of the sheet."""

    what: str
    lines: tuple[str, ...]
    """The lines by their dotted keys."""
    words: str
    """What it asked for first."""
    more: bool = False
    """Whether it then asks for something that is no single line, such as the train's arbors."""


def openings(sheet: CalibreSheet) -> tuple[Opening, ...]:
    """Return what each computation lacks, those that lack the fewest lines first.

    Examples
    --------
    >>> sheet = CalibreSheet(name="New", beats_per_hour=18000)
    >>> next(each.lines for each in openings(sheet) if each.what == "amplitude by ear")
    ('lift_angle_deg',)
    """
    found = (opening(what, probe, sheet) for what, probe in PROBES)
    known = [each for each in found if each is not None]
    return tuple(sorted(known, key=lambda each: (each.more, len(each.lines))))


def opening(
    what: str, probe: Callable[[CalibreSheet], object], sheet: CalibreSheet
) -> Opening | None:
    """Return what one computation lacks; None if it lacks nothing, or a work that is not there."""
    lines: list[str] = []
    filled, lack = sheet, lacking(probe, sheet)
    if lack is None or is_not_there(sheet, lack.key):
        return None
    first = str(lack)
    while lack is not None:
        if lack.key in lines or len(lines) == MOST_LINES or not has_example(lack.key):
            return Opening(what=what, lines=tuple(lines), words=first, more=True)
        lines.append(lack.key)
        filled = with_example(filled, lack.key)
        lack = lacking(probe, filled)
    return Opening(what=what, lines=tuple(lines), words=first)


def is_not_there(sheet: CalibreSheet, key: str) -> bool:
    """Return whether a line belongs to a work that the movement may be without, and is."""
    work = key.partition(".")[0]
    return work in WORKS and getattr(sheet, work) is None


def lacking(probe: Callable[[CalibreSheet], object], sheet: CalibreSheet) -> Lacking | None:
    """Return what a computation says it lacks; None when it lacks nothing."""
    try:
        probe(sheet)
    except Lacking as lack:
        return lack
    except (InputError, NotEnough):
        return None
    return None


def has_example(key: str) -> bool:
    """Return whether a dotted key is a line that can be filled in; an empty one is not."""
    section: type[SheetSection] | None = CalibreSheet
    *tables, last = key.split(".")
    for each in tables:
        field = section.model_fields.get(each) if section else None
        section = section_of(field.annotation) if field else None
    field = section.model_fields.get(last) if section else None
    return field is not None and section_of(field.annotation) is None and bool(field.examples)


def with_example(sheet: CalibreSheet, key: str) -> CalibreSheet:
    """Return the sheet with the example of a line at its place."""
    tables = key.split(".")[:-1]
    sections: list[Any] = [sheet]
    for each in tables:
        inner = getattr(sections[-1], each)
        kind = section_of(type(sections[-1]).model_fields[each].annotation) or SheetSection
        sections.append(kind() if inner is None else inner)
    last = key.rpartition(".")[2]
    kind = type(sections[-1])
    example = kind.model_fields[last].examples
    filled = getattr(example_of(kind, last, example[0] if example else None), last)
    made = sections.pop().model_copy(update={last: filled})
    for each in reversed(tables):
        made = sections.pop().model_copy(update={each: made})
    return made  # type: ignore[no-any-return] # the last section is the sheet itself


def example_of(kind: type[SheetSection], line: str, example: object) -> SheetSection:
    """Return a section with nothing but the example of one line."""
    name = {"name": "example"} if kind is CalibreSheet else {}
    return kind.model_validate({**name, line: example})
