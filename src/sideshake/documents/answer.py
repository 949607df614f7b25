"""The owner's own words answered: the cause that was found, and what was done about it."""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.documents.blocks import Block, Points, Words
from sideshake.wording import gettext as _
from sideshake.wording import ngettext, noop

TOLD = noop("You told us: “{told}”")


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
            what = noop("Put right: {done}") if self.put_right else noop("Done about it: {done}")
            return f"{found} {_(what).format(done=self.done)}"
        return " ".join((found, _("It is put right."))) if self.put_right else found


def answer_blocks(told: str, causes: tuple[Cause, ...]) -> Iterator[Block]:
    """Yield what the owner told, and its causes; nothing where no finding is its cause."""
    if not told.strip() or not causes:
        return
    said = _(TOLD).format(told=" ".join(told.split()))
    cause = ngettext("The cause we found:", "The causes we found:", len(causes))
    if len(causes) == 1:
        yield Words(words=f"{said} {cause} {causes[0].words}")
        return
    yield Words(words=f"{said} {cause}", keep=True)
    yield Points(items=tuple(each.words for each in causes))
