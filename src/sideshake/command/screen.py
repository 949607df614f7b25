"""What is shown while a watch is heard live: the sentence, how loud, since when untouched."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from sideshake.core.errors import InputError, NotEnough
from sideshake.sound.stillness import QUIETEST_DB, Stillness
from sideshake.timing.reading import Reading
from sideshake.timing.sentence import sentence

if TYPE_CHECKING:
    from rich.live import Live

SOFT_DB = -50.0
HANDS_FROM_S = 1.5
"""Before that nothing can be told of handling."""
HOW_TO_END = "Ctrl-C ends the listening and tells the whole."

Told = Reading | NotEnough | InputError


class Screen:
    """Shows lines that replace each other; on nothing that somebody watches it shows nothing."""

    def __init__(self, live: "Live | None") -> None:
        """Show on that display, if there is one."""
        self._live = live

    @property
    def watched(self) -> bool:
        """Return whether anybody sees it."""
        return self._live is not None

    def show(self, told: Told, heard_s: float, stillness: Stillness) -> None:
        """Replace what is shown."""
        if self._live is not None:
            from rich.text import Text

            self._live.update(Text("\n".join(lines(told, heard_s, stillness))), refresh=True)


@contextmanager
def screen() -> Iterator[Screen]:
    """Yield the screen; it is cleared in the end, for then the answer is written."""
    if not sys.stderr.isatty():
        yield Screen(None)
        return
    from rich.console import Console
    from rich.live import Live

    with Live(console=Console(stderr=True), transient=True, auto_refresh=False) as live:
        yield Screen(live)


def lines(told: Told, heard_s: float, stillness: Stillness) -> list[str]:
    """Return the lines shown after `heard_s`."""
    said = sentence(told) if isinstance(told, Reading) else f"No reading yet: {told}."
    state = [f"{heard_s:.0f} s heard", loudness(stillness), quiet(stillness, heard_s)]
    return [said, ", ".join(each for each in state if each) + ".", HOW_TO_END]


def loudness(stillness: Stillness) -> str:
    """Return how loud it is, and what to do about it."""
    if stillness.clipped:
        return "too loud: turn the input down"
    if stillness.level_db <= QUIETEST_DB:
        return "no sound at all: is the microphone switched off?"
    soft = " (very soft: turn the input up)" if stillness.level_db < SOFT_DB else ""
    return f"loudest {stillness.level_db:.0f} dB of full scale{soft}".replace("-", "−")


def quiet(stillness: Stillness, heard_s: float) -> str:
    """Return since when nobody has touched watch or bench."""
    if heard_s < HANDS_FROM_S:
        return ""
    if stillness.still_for_s == 0:
        return "hands or knocks are heard: wait"
    return f"undisturbed for {stillness.still_for_s:.0f} s"
