"""Single lines of a written sheet: what stands at a place, whence it is, and how it is changed."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sideshake.movement.lines import SheetSection, WrittenFigure, text_of
from sideshake.movement.sheet import CalibreSheet, section_of
from sideshake.movement.sheet_text import Tree, is_sourced, tree_of

PLAIN_NUMBER = re.compile(r"-?(?:0|[1-9]\d*)\.\d+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """One line as it was written: its value, where it is from, whether it is from memory."""

    value: Any
    source: str = ""
    from_memory: bool = False

    @property
    def text(self) -> str:
        """Return the value as a person writes it into a field."""
        if isinstance(self.value, bool):
            return "yes" if self.value else "no"
        if isinstance(self.value, list) and all(isinstance(each, str) for each in self.value):
            return "\n".join(self.value)
        if isinstance(self.value, list | int | float | str):
            return text_of(self.value)
        return str(self.value)


def line_at(tree: Tree, key: str) -> Written | None:
    """Return what stands at a dotted key; None where nothing does."""
    found: Any = tree
    for part in key.split("."):
        if isinstance(found, list):
            found = found[int(part)] if part.isdigit() and int(part) < len(found) else None
        else:
            found = found.get(part) if isinstance(found, dict) else None
    return None if found is None else line_of(found)


def line_of(value: Any) -> Written:
    """Return a value of a tree with its source, if it tells one."""
    if not is_sourced(value):
        return Written(value=value)
    return Written(
        value=value["value"],
        source=str(value.get("source", "")),
        from_memory=value.get("from_memory") is True,
    )


def put_line(tree: Tree, key: str, line: Written | None) -> None:
    """Write a line at a dotted key of tables, or take it away."""
    *tables, last = key.split(".")
    table = tree
    for each in tables:
        if line is None and each not in table:
            return
        table = table.setdefault(each, {})
    if line is None:
        table.pop(last, None)
    else:
        table[last] = as_written(line)


def as_written(line: Written) -> Any:
    """Return a line as a tree holds it: plain, or with its source."""
    if not (line.source or line.from_memory):
        return line.value
    told: Tree = {"value": line.value}
    if line.source:
        told["source"] = line.source
    if line.from_memory:
        told["from_memory"] = True
    return told


def number_written(text: str) -> Any:
    """Return a typed size as it is written: a plain number as one, anything else as text.

    Examples
    --------
    >>> number_written("0.920").written, number_written("0.92 ± 0.01")
    ('0.920', '0.92 ± 0.01')
    """
    return WrittenFigure(text) if PLAIN_NUMBER.fullmatch(text) else text


def sources_at_lines(tree: Tree) -> None:
    """Move each source that stands apart to its line; those of whole sections stay apart."""
    apart = []
    for each in tree.pop("sources", []):
        line = line_at(tree, str(each.get("key", ""))) if isinstance(each, dict) else None
        plain = line is not None and not isinstance(line.value, dict)
        if line is None or not plain or line.source or line.from_memory or not lies_in_tables(each):
            apart.append(each)
            continue
        told = Written(
            value=line.value,
            source=str(each.get("text", "")),
            from_memory=each.get("from_memory") is True,
        )
        put_line(tree, each["key"], told)
    if apart:
        tree["sources"] = apart


def lies_in_tables(source: Tree) -> bool:
    """Return whether the line of a source stands in tables, not in the rows of a list."""
    return not any(part.isdigit() for part in str(source["key"]).split("."))


def told_lines(text: str) -> dict[str, str]:
    """Return every line of a sheet's text by its dotted key, in one text each, for the history."""
    return dict(lines_in(tree_of(text), ""))


def lines_in(value: Any, place: str) -> Iterator[tuple[str, str]]:
    """Yield the lines at and below a place."""
    if is_sourced(value):
        line = line_of(value)
        memory = "from memory" if line.from_memory else ""
        yield place, f"{line.text} ({', '.join(filter(None, (line.source, memory)))})"
    elif isinstance(value, dict):
        if not value and place:
            yield place, "there"
        for key, each in value.items():
            yield from lines_in(each, f"{place}.{key}" if place else key)
    elif isinstance(value, list) and any(isinstance(each, dict) for each in value):
        for row, each in enumerate(value):
            yield from lines_in(each, f"{place}.{row}")
    else:
        yield place, Written(value=value).text


def in_order(tree: Tree, section: type[SheetSection] = CalibreSheet) -> Tree:
    """Return the tree with its lines in the order of the sheet's description."""
    known = [key for key in section.model_fields if key in tree]
    return {
        key: inner_in_order(tree[key], section, key)
        for key in [*known, *(each for each in tree if each not in known)]
    }


def inner_in_order(value: Any, section: type[SheetSection], key: str) -> Any:
    """Return what stands at a key, its own lines in order."""
    field = section.model_fields.get(key)
    below = section_of(field.annotation) if field else None
    if below is None or is_sourced(value):
        return value
    if isinstance(value, list):
        return [in_order(each, below) if isinstance(each, dict) else each for each in value]
    return in_order(value, below) if isinstance(value, dict) else value
