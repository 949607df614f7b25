"""A fault of a calibre sheet: something that cannot be, or that is odd but possible."""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.movement.bounds import Bounds


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What is wrong or odd: the lines, why, and whether it cannot be at all."""

    lines: str
    words: str
    cannot_be: bool

    @property
    def keys(self) -> tuple[str, ...]:
        """Return the lines one by one."""
        return tuple(self.lines.split(", "))


def judged(lines: str, said: str, value: float, limits: Bounds) -> Iterator[Fault]:
    """Yield the fault of a value that lies outside its bounds, if it does."""
    if limits.cannot_hold(value):
        low, high = limits.can
        words = f"{said} is {value:.4g}; it lies between {low:g} and {high:g} ({limits.source})"
        yield Fault(lines=lines, words=words, cannot_be=True)
    elif limits.finds_odd(value):
        low, high = limits.usual
        words = f"{said} is {value:.4g}; {low:g} to {high:g} is usual ({limits.source})"
        yield Fault(lines=lines, words=words, cannot_be=False)
