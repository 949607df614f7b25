"""Plain aligned tables on the screen."""

from collections.abc import Iterable, Sequence

from rich import box
from rich.console import Console
from rich.table import Table

WIDTH = 132
CONSOLE = Console(width=WIDTH, highlight=False)


def show(title: str, columns: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a table: the first column to the left, the others to the right."""
    table = Table(title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD)
    for place, column in enumerate(columns):
        table.add_column(
            column, justify="right" if place else "left", no_wrap=not place and not column
        )
    for row in rows:
        table.add_row(*row)
    CONSOLE.print(table)


def say(text: str) -> None:
    """Print a line of plain text."""
    CONSOLE.print(text, markup=False)


def mark(good: bool) -> str:
    """Return whether a target is met."""
    return "met" if good else "MISSED"
