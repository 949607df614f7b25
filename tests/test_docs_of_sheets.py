"""What docs/sheet-bounds.md lists is what `calibre check` asks of a sheet.

After a bound has changed, `python -m tests.test_docs_of_sheets` writes the page anew.
"""

import re
from pathlib import Path

from sideshake.movement.bounds import BOUNDS
from sideshake.movement.escapement import KINDS
from sideshake.movement.proportions import SIZES
from sideshake.movement.sections import Driving, Escapement, Fusee
from sideshake.movement.sheet_file import shipped_names
from sideshake.movement.workings import PLAY, WORKINGS

DOCS = Path(__file__).parents[1] / "docs"
PAGE = DOCS / "sheet-bounds.md"
HEAD = """\
# Between what bounds a sheet's lines lie

`sideshake calibre check` holds each line against what can be in a watch at all, and against what
is usual: outside the first a sheet is refused, outside the second it is only warned of. *Fact* is
the number in the trade facts that a bound rests on, where there is one; *from memory* is what it
says, and such bounds are set wide, from the smallest ladies' movement to a deck watch. This page
is written from the program; a test fails when it is not.
"""


def rows():
    """Yield every row of the page's tables."""
    for key, each in BOUNDS.items():
        yield row(f"`{key}`", each)
    for kind in KINDS.values():
        yield row(f"`lift_angle_deg`, {kind.name} escapement", kind.lift_deg)
        yield row(f"`nominal.lying_full_deg`, {kind.name} escapement", kind.lying_deg)
    yield row("play of a bearing, hole less pivot (mm)", PLAY)
    for each in (*SIZES, *WORKINGS):
        yield row(each.what, each.bounds)


def row(what, limits):
    low, high = limits.can
    least, most = limits.usual
    fact = limits.fact or "–"
    return f"| {what} | {low:g} to {high:g} | {least:g} to {most:g} | {limits.source} | {fact} |"


def page():
    head = "| line, or what lines make together | can be | usual | from | fact |"
    return "\n".join([HEAD, head, "|---|---|---|---|---|", *rows()]) + "\n"


def test_the_page_lists_every_bound():
    assert PAGE.read_text(encoding="utf-8") == page()


def test_every_shipped_sheet_is_in_the_table():
    text = (DOCS / "calibre-sheet.md").read_text(encoding="utf-8")
    assert [name for name in shipped_names() if f"| `{name}` |" not in text] == []


def test_every_line_of_the_kinds_is_told_of():
    text = (DOCS / "calibre-sheet.md").read_text(encoding="utf-8")
    lines = [*Escapement.model_fields, *Driving.model_fields, *Fusee.model_fields]
    assert [name for name in lines if not re.search(rf"\b{name}\b", text)] == []


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
