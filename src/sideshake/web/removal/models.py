"""What was removed, put aside until it is taken back or thrown away for good."""

import json
from datetime import timedelta
from typing import Any

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.visits.models import Visit

KEPT = timedelta(days=30)
"""How long at least what was removed can be taken back."""


class Removed(models.Model):
    """One removal: whatever went with it is in `held`, as it was; its files stay where they lie.

    `held` is JSON text: {"rows": [{"table", "row"}], "links": [{"table", "row", "field", "value"}],
    "pieces": [{"table", "row", "field", "place", "value"}], "clock": {...}}. Rows are written back
    whole, links are set again, pieces go back into the list of their record. A comparison has
    "left" too: links that tell what its removal left.
    """

    at = models.DateTimeField(_("removed at"), auto_now_add=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, null=True, related_name="removed")
    kind = models.CharField(max_length=40)
    what = models.CharField(_("what was removed"), max_length=200)
    held = models.TextField()

    class Meta:
        verbose_name = _("removed thing")
        ordering = ("-at", "-id")

    @property
    def things(self) -> dict[str, Any]:
        """Return what is held, read."""
        read: dict[str, Any] = json.loads(self.held)
        return read

    def __str__(self) -> str:
        return self.what
