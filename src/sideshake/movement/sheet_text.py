"""A calibre sheet as text: its lines as they were written, its remarks, and the text made of them.

What is read here is a tree of tables as TOML has it, each number as it stood in the file; what is
made of it again reads as the same sheet, line by line.
"""

import json
import re
import tomllib
from collections.abc import Iterator
from typing import Any

from sideshake.core.errors import InputError
from sideshake.movement.lines import WrittenFigure

Tree = dict[str, Any]
A_SOURCED_LINE = {"value", "source", "from_memory"}
BARE = re.compile(r"[A-Za-z0-9_-]+")
PIECE = re.compile(
    r'"""(?:\\.|[^\\])*?"""|'
    r"'''.*?'''|"
    r'"(?:\\.|[^"\\\n])*"|'
    r"'[^'\n]*'|"
    r"#(?P<remark>[^\n]*)",
    re.DOTALL,
)
"""Texts, in which # means nothing, and remarks (TOML 1.0)."""


def tree_of(text: str) -> Tree:
    """Return the tables and lines of a TOML text, numbers as they were written.

    Raises
    ------
    InputError : the text is no TOML
    """
    try:
        return tomllib.loads(text, parse_float=WrittenFigure)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"the sheet is not valid TOML: {error}") from None


def remarks_of(text: str) -> str:
    """Return the remarks of a TOML text, a line each.

    Examples
    --------
    >>> remarks_of('# Of a friend.\\nname = "No # here"  # as engraved')
    'Of a friend.\\nas engraved'
    """
    found = (match["remark"] for match in PIECE.finditer(text))
    return "\n".join(each.strip() for each in found if each is not None and each.strip())


def sheet_text(tree: Tree, remarks: str = "") -> str:
    """Return the TOML text of a tree, its remarks at the head.

    Examples
    --------
    >>> print(sheet_text({"name": "A", "barrel": {"teeth": 80}}, "Of a friend."), end="")
    # Of a friend.
    <BLANKLINE>
    name = "A"
    <BLANKLINE>
    [barrel]
    teeth = 80
    """
    head = [f"# {each}" for each in remarks.splitlines() if each.strip()]
    body = "\n".join(table_lines(tree, "")).lstrip("\n")
    return "\n".join([*head, *([""] * bool(head)), body, ""])


def table_lines(table: Tree, place: str) -> Iterator[str]:
    """Yield the lines of a table, then the tables in it."""
    inner = []
    for key, value in table.items():
        if is_table(value) or is_rows(value):
            inner.append((key, value))
        else:
            yield f"{key_text(key)} = {value_text(value)}"
    for key, value in inner:
        path = f"{place}.{key_text(key)}" if place else key_text(key)
        for each in value if is_rows(value) else [value]:
            yield ""
            yield f"[[{path}]]" if is_rows(value) else f"[{path}]"
            yield from table_lines(each, path)


def is_table(value: object) -> bool:
    """Return whether a value is a table and not a line with its source."""
    return isinstance(value, dict) and not is_sourced(value)


def is_sourced(value: object) -> bool:
    """Return whether a value is a line with its source."""
    return isinstance(value, dict) and "value" in value and value.keys() <= A_SOURCED_LINE


def is_rows(value: object) -> bool:
    """Return whether a value is a list of tables, such as the arbors of a train."""
    return isinstance(value, list) and bool(value) and all(map(is_table, value))


def key_text(key: str) -> str:
    """Return a key as TOML, in quotes where it needs them."""
    return key if BARE.fullmatch(key) else quoted(key)


def value_text(value: object) -> str:
    """Return a value as TOML on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, WrittenFigure):
        return value.written
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, list):
        return f"[{', '.join(value_text(each) for each in value)}]"
    if isinstance(value, dict):
        pairs = (f"{key_text(key)} = {value_text(each)}" for key, each in value.items())
        return f"{{ {', '.join(pairs)} }}" if value else "{}"
    return quoted(str(value))


def quoted(text: str) -> str:
    """Return a text in quotes; JSON's escapes are TOML's, but for one letter that TOML escapes."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
