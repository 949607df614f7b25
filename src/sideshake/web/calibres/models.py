"""The workshop's own calibres: their sheets, with a version and a history each."""

from hashlib import sha256
from typing import Any

from django.core.cache import cache
from django.db import models, transaction
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record

LONGEST_NAME = 80
"""As much as a watch keeps of its calibre's name."""


class Calibre(Record):
    """A calibre of the workshop's own. Watches name it by `name`, which stays as it is."""

    name = models.CharField(_("name"), max_length=LONGEST_NAME, unique=True)
    sheet = models.TextField(_("sheet"))
    """TOML, every value, doubt and source as it was written; always one that can be read."""
    note = models.TextField(_("remarks"), blank=True)

    UNTOLD = ("sheet",)

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name

    @property
    def told_apart(self) -> dict[str, str]:
        """Return each line of the sheet, for the history."""
        # late: whoever only prints a paper need not wait for what reads sheets
        from sideshake.movement.written_lines import told_lines

        return {f"sheet: {key}": text for key, text in told_lines(self.sheet).items()}

    @property
    def file(self) -> str:
        """Return the sheet as a file of its own, remarks at its head."""
        from sideshake.movement.sheet_text import sheet_text, tree_of

        return sheet_text(tree_of(self.sheet), self.note)

    def save_base(self, *args: Any, **options: Any) -> None:
        """Write the row, also one that is taken back, and forget what was kept of it."""
        super().save_base(*args, **options)
        forget_sheet(self.name)

    def delete(
        self, using: Any | None = None, keep_parents: bool = False
    ) -> tuple[int, dict[str, int]]:
        """Delete the row, and forget what was kept of it."""
        forget_sheet(self.name)
        return super().delete(using, keep_parents)


SHEET_KEPT_S = 5
"""As for the workshop's own row: other processes see a change so much later."""


def sheet_key(name: str) -> str:
    """Return under which key the text of a sheet is kept."""
    return f"calibre-sheet-{sha256(name.encode()).hexdigest()}"


def forget_sheet(name: str) -> None:
    """Forget what was kept of a calibre's sheet: now, and when others can see what changed."""
    cache.delete(sheet_key(name))
    transaction.on_commit(lambda: cache.delete(sheet_key(name)))


def own_sheet_text(name: str) -> str:
    """Return the sheet of an own calibre; empty when there is none of that name.

    It is kept for a few seconds, since every page about a watch needs it.
    """
    found: str | None = cache.get(sheet_key(name))
    if found is None:
        rows = Calibre.objects.filter(name=name).values_list("sheet", flat=True)
        found = rows.first() or ""
        keep_sheet_text(name, found)
    return found


def keep_sheet_text(name: str, text: str) -> None:
    """Keep the text of a sheet that was just read for a few seconds; empty when there is none."""
    cache.set(sheet_key(name), text, SHEET_KEPT_S)
