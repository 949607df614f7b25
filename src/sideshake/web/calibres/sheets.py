"""The calibre sheets at hand: the workshop's own, which are records, and the examples."""

from functools import lru_cache
from pathlib import Path

from django.conf import settings

from sideshake.core.errors import InputError
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_from_text, sheet_of, shipped_names, shipped_text
from sideshake.movement.sheet_text import sheet_text, tree_of
from sideshake.movement.written_lines import sources_at_lines
from sideshake.web.calibres.models import own_sheet_text
from sideshake.web.models import Calibre

LARGEST_BYTES = 500_000
"""No sheet is larger."""
OWN = "calibres"
"""The folder in the workshop's data in which its own sheets lay before they were records."""


def sheet_names() -> list[str]:
    """Return the names of all sheets, the workshop's own first."""
    own = list(Calibre.objects.values_list("name", flat=True))
    return [*own, *(name for name in shipped_names() if name not in own)]


def sheet_named(name: str) -> CalibreSheet | None:
    """Return a sheet by its name; None when there is none."""
    text = name and (own_sheet_text(name) or example_text(name))
    return read_sheet(text) if text else None


def sheet_of_example(name: str) -> CalibreSheet | None:
    """Return the sheet of an example by its name; None when there is none."""
    text = example_text(name)
    return read_sheet(text) if text else None


@lru_cache(maxsize=256)
def example_text(name: str) -> str:
    """Return the text of an example; empty when there is none of that name."""
    return shipped_text(name) if name in shipped_names() else ""


@lru_cache(maxsize=64)
def read_sheet(text: str) -> CalibreSheet | None:
    """Return the sheet in a text, read once; None when it cannot be read.

    An own calibre's text always could when it was stored, but an older Sideshake may have read it.
    """
    try:
        return sheet_from_text(text)
    except InputError:
        return None


def plain_sheet(text: str) -> str:
    """Return a text as calibres are stored: checked, without remarks, each source at its line.

    Raises
    ------
    InputError : the text is no sheet that can be read
    """
    tree = tree_of(text)
    sheet_of(tree)
    sources_at_lines(tree)
    return sheet_text(tree)


def own_folder() -> Path:
    """Return where the workshop's own sheets lay, and still may lie."""
    return Path(settings.DATA) / OWN
