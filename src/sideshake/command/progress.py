"""How far a long command is, for whoever watches."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


@contextmanager
def progress_bar(title: str) -> Iterator[Any]:
    """Yield what shows how far it is, when somebody looks."""
    from rich.console import Console
    from rich.progress import Progress

    console = Console(stderr=True)
    with Progress(console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task(title, total=None)

        def show(done: int, whole: int) -> None:
            bar.update(task, completed=done, total=whole or 1)

        yield show
