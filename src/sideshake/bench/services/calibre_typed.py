"""What is typed into a section of a calibre: laid over its sheet, each fault at its line."""

from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from sideshake.bench.services.calibre_lines import (
    Group,
    Holds,
    LineKind,
    Part,
    groups_of,
    row_group,
)
from sideshake.bench.typed import with_points
from sideshake.errors import Faults, InputError
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_from_text
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

Sent = Mapping[str, str]
SOURCE, MEMORY, HAS, PLACE = "@source", "@memory", "@has", "@place"
"""Behind a line's key: where it is from, whether from memory; behind a table's, whether the
movement has it; behind a row's, where it stands in the order."""
SPARE_ROWS = 2
MOST_ROWS = 60
USUAL_ARBORS = ("barrel", "centre", "third", "fourth", "escape")
ONLY_NAMED = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A sheet with what was typed laid over it."""

    text: str
    sheet: CalibreSheet | None
    """None when a line cannot be read."""
    wrong: dict[str, str] = field(default_factory=dict)
    """What is wrong with a line, by its key; an empty key for what is no line of this section."""


def groups_shown(part: Part, tree: Tree, *, spare: bool = True) -> list[Group]:
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


def laid_over(text: str, part: Part, sent: Sent) -> Laid:
    """Return a sheet's text with a section's lines as they were typed; lines not sent stay."""
    tree, wrong = tree_of(text), dict[str, str]()
    for group in groups_of(part):
        had = line_at(tree, group.place) is not None if group.place else True
        for kind in group.lines:
            if kind.key in sent:
                put_typed(tree, kind, sent, wrong)
        keep_or_take(tree, group, sent, had=had)
    if part.rows and any(each.startswith(f"{part.rows}.") for each in sent):
        put_rows(tree, part.rows, sent, wrong)
    return read(sheet_text(in_order(tree)), wrong)


def read(text: str, wrong: dict[str, str]) -> Laid:
    """Return a laid text with its sheet, or with what is wrong with it."""
    try:
        sheet = sheet_from_text(text)
    except Faults as faults:
        for key, words in faults.told:
            wrong.setdefault(key, words)
        return Laid(text=text, sheet=None, wrong=wrong)
    except InputError as error:
        return Laid(text=text, sheet=None, wrong={"": str(error), **wrong})
    return Laid(text=text, sheet=None if wrong else sheet, wrong=wrong)


def put_typed(tree: Tree, kind: LineKind, sent: Sent, wrong: dict[str, str]) -> None:
    """Write a typed line into the tree, or note what is wrong with it."""
    try:
        put_line(tree, kind.key, typed_line(kind, kind.key, sent, line_at(tree, kind.key)))
    except InputError as error:
        wrong[kind.key] = str(error)


def typed_line(kind: LineKind, name: str, sent: Sent, before: Written | None) -> Written | None:
    """Return a line as it was typed; what was not touched stays as it was written.

    Raises
    ------
    InputError : it cannot be read
    """
    text = "\n".join(sent[name].splitlines()).strip()
    if not text:
        return None
    same = before is not None and text == shown_text(before, kind)
    value = before.value if before is not None and same else typed_value(kind, text)
    source = sent.get(f"{name}{SOURCE}", "").strip()
    return Written(value=value, source=source, from_memory=f"{name}{MEMORY}" in sent)


def typed_value(kind: LineKind, text: str) -> Any:
    """Return what was typed as a sheet holds it.

    Raises
    ------
    InputError : it cannot be read
    """
    if kind.holds is Holds.LIST:
        return [each.strip() for each in text.splitlines() if each.strip()]
    if kind.holds is Holds.YES_NO:
        return text == "yes"
    if kind.holds is Holds.COUNT:
        return whole(text)
    if kind.holds in (Holds.SIZE, Holds.NUMBER):
        return number_written(with_points(text))
    return text


def whole(text: str) -> int:
    """Return a typed count.

    Raises
    ------
    InputError : it is no whole number
    """
    if not (text.isdecimal() and text.isascii() and len(text) <= 9):
        raise InputError(
            _("a whole number belongs here, such as 75; got %(text)s") % {"text": text}
        )
    return int(text)


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


def put_rows(tree: Tree, rows: str, sent: Sent, wrong: dict[str, str]) -> None:
    """Write the typed rows of a list of tables in their order; an empty row is taken away."""
    before = rows_at(tree, rows)
    made: list[tuple[float, Tree]] = []
    for number in sent_rows(rows, sent):
        old = before[number] if number < len(before) else {}
        row = typed_row(row_group(rows, number), old, sent, wrong)
        if row and (number < len(before) or len(row) > ONLY_NAMED):
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


def typed_row(group: Group, old: Tree, sent: Sent, wrong: dict[str, str]) -> Tree:
    """Return one row of a list of tables as it was typed."""
    row = deepcopy(old)
    for kind in group.lines:
        name = kind.key.rpartition(".")[2]
        if kind.key not in sent:
            continue
        try:
            line = typed_line(kind, kind.key, sent, line_of(row[name]) if name in row else None)
        except InputError as error:
            wrong[kind.key] = str(error)
            continue
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
