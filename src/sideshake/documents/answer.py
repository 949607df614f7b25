"""The owner's own words answered: the cause that was found, and what was done about it."""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.documents.blocks import Block, Points, Words

TOLD = "You told us: “{told}”"
ONE_CAUSE, MANY_CAUSES = "The cause we found", "The causes we found"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """A finding that is the cause of what the owner told, and what became of it.

    `done` : the work ticked that answers it, with what was measured of it
    """

    found: str
    done: str = ""
    put_right: bool = False

    @property
    def words(self) -> str:
        """Return the cause as a line; that it is put right only where somebody said so."""
        found = f"{self.found.strip().rstrip('.')}."
        if self.done:
            return f"{found} {'Put right' if self.put_right else 'Done about it'}: {self.done}"
        return f"{found} It is put right." if self.put_right else found


def answer_blocks(told: str, causes: tuple[Cause, ...]) -> Iterator[Block]:
    """Yield what the owner told, and its causes; nothing where no finding is its cause."""
    if not told.strip() or not causes:
        return
    said = TOLD.format(told=" ".join(told.split()))
    if len(causes) == 1:
        yield Words(words=f"{said} {ONE_CAUSE}: {causes[0].words}")
        return
    yield Words(words=f"{said} {MANY_CAUSES}:", keep=True)
    yield Points(items=tuple(each.words for each in causes))
