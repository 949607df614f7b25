"""What is typed into a section of a calibre: laid over its sheet, each fault at its line."""

import re
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from sideshake.core.errors import Faults
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_of
from sideshake.movement.sheet_text import Tree, sheet_text, tree_of
from sideshake.movement.written_lines import (
    Written,
    as_written,
    in_order,
    line_at,
    line_of,
    number_written,
    put_line,
)
from sideshake.web.base.typed import with_points
from sideshake.web.calibres.sheet_lines import (
    Group,
    Holds,
    LineKind,
    SheetPart,
    groups_of,
    row_group,
)

Sent = Mapping[str, str]
SOURCE, MEMORY, HAS, PLACE, GONE = "@source", "@memory", "@has", "@place", "@gone"
"""Behind a line's key: where it is from, whether from memory; behind a table's, whether the
movement has it; behind a row's, where it stands in the order, whether it is to go."""
WHOLE = re.compile(r"[1-9][0-9]{0,8}", re.ASCII)
SPARE_ROWS = 2
MOST_ROWS = 60
USUAL_ARBORS = ("barrel", "centre", "third", "fourth", "escape")
ONLY_NAMED = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A sheet with what was typed laid over it."""

    text: str
    tree: Tree
    """Its lines as they are written."""
    sheet: CalibreSheet | None
    """None when a line cannot be read."""
    wrong: dict[str, str] = field(default_factory=dict)
    """What is wrong with a line, by its key; of what is no line under an empty one."""


def groups_shown(part: SheetPart, tree: Tree, *, spare: bool = True) -> list[Group]:
    """Return the tables and rows of a section as they are shown, with spare rows at the end."""
    groups = list(groups_of(part))
    if part.rows:
        count = len(rows_at(tree, part.rows))
        more = 0
        if spare:
            begins = part.rows == "train.arbors" and not count
            more = len(USUAL_ARBORS) if begins else SPARE_ROWS
        groups += [row_group(part.rows, number) for number in range(count + more)]
    return groups


def rows_at(tree: Tree, rows: str) -> list[Any]:
    """Return the rows of a list of tables."""
    found: Any = tree
    for each in rows.split("."):
        found = found.get(each, {}) if isinstance(found, dict) else {}
    return found if isinstance(found, list) else []


def shown_text(line: Written | None, kind: LineKind) -> str:
    """Return a line as it stands in its field."""
    if line is None:
        return ""
    return line.text.replace("+-", " ± ") if kind.holds is Holds.SIZE else line.text


def laid_over(text: str, part: SheetPart, sent: Sent) -> Laid:
    """Return a sheet's text with a section's lines as they were typed; lines not sent stay.

    What cannot be read is laid over as it was typed: the check of the sheet tells it at its line.
    """
    tree = tree_of(text)
    for group in groups_of(part):
        had = line_at(tree, group.place) is not None if group.place else True
        for kind in group.lines:
            if kind.key in sent:
                put_line(tree, kind.key, typed_line(kind, sent, line_at(tree, kind.key)))
        keep_or_take(tree, group, sent, had=had)
    if part.rows and any(each.startswith(f"{part.rows}.") for each in sent):
        put_rows(tree, part.rows, sent)
    return read(sheet_text(in_order(tree)))


def read(text: str) -> Laid:
    """Return a text with its sheet, or with what is wrong with it."""
    tree = tree_of(text)
    try:
        return Laid(text=text, tree=tree, sheet=sheet_of(tree))
    except Faults as faults:
        return Laid(text=text, tree=tree, sheet=None, wrong=dict(faults.told))


def typed_line(kind: LineKind, sent: Sent, before: Written | None) -> Written | None:
    """Return a line as it was typed; what was not touched stays as it was written."""
    text = "\n".join(sent[kind.key].splitlines()).strip()
    if not text:
        return None
    same = before is not None and text == shown_text(before, kind)
    return Written(
        value=before.value if before is not None and same else typed_value(kind, text),
        source=sent.get(f"{kind.key}{SOURCE}", "").strip(),
        from_memory=f"{kind.key}{MEMORY}" in sent,
    )


def typed_value(kind: LineKind, text: str) -> Any:
    """Return what was typed as a sheet holds it; a count that is none stays as it was typed."""
    if kind.holds is Holds.LIST:
        return [each.strip() for each in text.splitlines() if each.strip()]
    if kind.holds is Holds.YES_NO:
        return text == "yes"
    if kind.holds is Holds.COUNT:
        return int(text) if WHOLE.fullmatch(text) else text
    if kind.holds in (Holds.SIZE, Holds.NUMBER):
        return number_written(with_points(text))
    return text


def keep_or_take(tree: Tree, group: Group, sent: Sent, *, had: bool) -> None:
    """Take a table away that holds nothing, or that the movement is said not to have.

    One that it is said to have stays, though nothing of it is known yet.
    """
    if not group.place:
        return
    found = line_at(tree, group.place)
    empty = found is None or found.value == {}
    asked = group.may_lack and any(kind.key in sent for kind in group.lines)
    if asked and f"{group.place}{HAS}" in sent:
        if found is None:
            put_line(tree, group.place, Written(value={}))
    elif (asked and had) or (empty and not group.may_lack):
        put_line(tree, group.place, None)
        prune(tree, group.place)


def prune(tree: Tree, place: str) -> None:
    """Take away the tables around a place that hold nothing any more."""
    while "." in place:
        place = place.rpartition(".")[0]
        found = line_at(tree, place)
        if found is None or found.value != {}:
            return
        put_line(tree, place, None)


def put_rows(tree: Tree, rows: str, sent: Sent) -> None:
    """Write the typed rows of a list of tables in their order; an empty row is taken away."""
    before = rows_at(tree, rows)
    made: list[tuple[float, Tree]] = []
    for number in sent_rows(rows, sent):
        old = before[number] if number < len(before) else {}
        row = typed_row(row_group(rows, number), old, sent)
        gone = f"{rows}.{number}{GONE}" in sent
        if row and not gone and (number < len(before) or len(row) > ONLY_NAMED):
            made.append((place_of(sent.get(f"{rows}.{number}{PLACE}", ""), number), row))
    made.sort(key=lambda each: each[0])
    found = [row for _place, row in made]
    put_line(tree, rows, Written(value=found) if found else None)
    prune(tree, rows)


def sent_rows(rows: str, sent: Sent) -> Iterator[int]:
    """Yield the numbers of the rows that were sent, in order."""
    numbers = {
        int(part)
        for each in sent
        if each.startswith(f"{rows}.")
        and (part := each.removeprefix(f"{rows}.").partition(".")[0]).isdecimal()
        and len(part) < 4
    }
    yield from sorted(each for each in numbers if each < MOST_ROWS)


def typed_row(group: Group, old: Tree, sent: Sent) -> Tree:
    """Return one row of a list of tables as it was typed."""
    row = deepcopy(old)
    for kind in group.lines:
        name = kind.key.rpartition(".")[2]
        if kind.key not in sent:
            continue
        line = typed_line(kind, sent, line_of(row[name]) if name in row else None)
        if line is None:
            row.pop(name, None)
        else:
            row[name] = as_written(line)
    return row


def place_of(text: str, number: int) -> float:
    """Return where a row is to stand: as it was typed, or where it stood."""
    plain = text.strip().replace(",", ".")
    whole_part, _point, rest = plain.partition(".")
    told = whole_part.isdecimal() and (not rest or rest.isdecimal()) and plain.isascii()
    return float(plain) if told else number + 1.0
