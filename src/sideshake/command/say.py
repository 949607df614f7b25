"""How every command answers: the meaning first, then a small table; or JSON; or pictures."""

import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from sideshake.core.errors import InputError
from sideshake.core.version import EAR, PROGRAM


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A small table: a title, columns, rows of text. Columns in `numbers` are set to the right."""

    title: str
    columns: Sequence[str]
    rows: Sequence[Sequence[str]]
    numbers: Sequence[int] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CommandAnswer:
    """What a command found: sentences, tables, and the same in figures for other programs.

    `schema` names what `figures` holds; `version` rises when a figure changes its meaning.
    `heard` says that the figures come from sound: then the JSON tells by which ear.
    """

    schema: str
    sentences: Sequence[str]
    grids: Sequence[Grid] = ()
    notes: Sequence[str] = ()
    figures: Mapping[str, Any] = field(default_factory=dict)
    version: int = 1
    heard: bool = False


def say(answer: CommandAnswer, *, as_json: bool, drawn: Sequence[str] = ()) -> None:
    """Write the answer to standard output, in words or as JSON; last, where pictures were drawn."""
    answer = replace(answer, notes=[*answer.notes, *(f"Drawn in {each}" for each in drawn)])
    if as_json:
        sys.stdout.write(json_text(answer) + "\n")
        return
    from rich import box
    from rich.console import Console
    from rich.table import Table

    console = Console(highlight=False, soft_wrap=False)
    for sentence in answer.sentences:
        console.print(sentence, markup=False)
    for grid in answer.grids:
        table = Table(title=grid.title, title_justify="left", box=box.SIMPLE_HEAD)
        for place, column in enumerate(grid.columns):
            table.add_column(column, justify="right" if place in grid.numbers else "left")
        for row in grid.rows:
            table.add_row(*row)
        console.print(table, markup=False)
    for note in answer.notes:
        console.print(note, markup=False, style="dim")


def json_text(answer: CommandAnswer) -> str:
    """Return the answer as JSON: schema and versions first, then sentences, figures and notes."""
    tree = {
        "schema": f"sideshake.{answer.schema}",
        "version": answer.version,
        "program": PROGRAM,
        **({"ear": EAR} if answer.heard else {}),
        "sentences": list(answer.sentences),
        **{key: plain(value) for key, value in answer.figures.items()},
        "notes": list(answer.notes),
    }
    return json.dumps(tree, ensure_ascii=False, indent=2, allow_nan=False)


def plain(value: Any) -> Any:
    """Return a value as JSON can hold it: fractions as numbers, dataclasses as objects."""
    if isinstance(value, Fraction):
        return int(value) if value.denominator == 1 else float(value)
    if is_dataclass(value):
        return {each.name: plain(getattr(value, each.name)) for each in fields(value)}
    if isinstance(value, Mapping):
        return {key: plain(each) for key, each in value.items()}
    if hasattr(value, "tolist"):
        return value.tolist()
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [plain(each) for each in value]
    return value


def save_picture(folder: Path, name: str, text: str | bytes) -> str:
    """Write one picture into the folder, which is made if need be; return where it is.

    Raises
    ------
    InputError : the folder cannot be written to
    """
    path = folder / name
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    except OSError as error:
        raise InputError(f"cannot write {path}: {error.strerror}") from None
    return str(path)
