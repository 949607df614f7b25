"""In which line of a sheet's file a key stands, so that a fault is found in an editor."""

import re
from collections import Counter

from sideshake.movement.sheet_text import PIECE

HEADER = re.compile(r"^\s*(\[\[?)([^\[\]]+)\]\]?\s*(?:#.*)?$")
KEY = re.compile(r"^\s*([A-Za-z0-9_\-.\" ]+?)\s*=")
SIGNS = re.compile(r"[=\[{]")
"""Of a key, a table or a row; no key that a sheet knows has one of them."""
ROW = re.compile(r"^\s*\{|=\s*\[\s*\{")


def line_number(text: str, key: str) -> int | None:
    """Return the number of the line at which a key is written, or of the nearest one around it.

    Examples
    --------
    >>> line_number('name = "A"\\n\\n[barrel]\\nteeth = 80', "barrel.teeth")
    4
    """
    best: tuple[int, int] | None = None
    for number, place in written_places(text):
        if place == key or key.startswith(f"{place}."):
            best = max(best or (0, 0), (len(place), number))
    return best[1] if best else None


def written_places(text: str) -> list[tuple[int, str]]:
    """Return the number of each line that begins a table, a key, or a row of tables, with its key.

    Inner keys of a table on one line count as that line's.
    """
    found: list[tuple[int, str]] = []
    rows: Counter[str] = Counter()
    table = last = ""
    for number, line in enumerate(without_texts(text).split("\n"), start=1):
        header, key = HEADER.match(line), KEY.match(line)
        if header:
            table = plain(header[2])
            if header[1] == "[[":
                rows[table] += 1
                table = f"{table}.{rows[table] - 1}"
            found.append((number, table))
        elif key:
            last = ".".join(filter(None, (table, plain(key[1]))))
            found.append((number, last))
        if not header and ROW.search(line) and last:
            found.append((number, f"{last}.{rows[last]}"))
            rows[last] += 1
    return found


def without_texts(text: str) -> str:
    """Return a TOML text of the same lines in which nothing in quotes looks like a key."""

    def emptied(piece: re.Match[str]) -> str:
        if piece["remark"] is not None or not SIGNS.search(piece[0]):
            return piece[0]
        return '"' + "\n" * piece[0].count("\n")

    return PIECE.sub(emptied, text)


def plain(key: str) -> str:
    """Return a dotted key without blanks and quotes."""
    return ".".join(part.strip().strip('"') for part in key.split("."))
