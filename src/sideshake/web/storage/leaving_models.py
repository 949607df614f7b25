"""Files that nothing needs any more, noted until they are deleted."""

from django.db import models


class Leaving(models.Model):
    """Files to be deleted; noted together with the removal of the rows that named them.

    Should the workshop end in between, the note is worked off at the next start.
    """

    names = models.JSONField(default=list)
    """"folder/name" each, among the workshop's files; a drawing's name may end in `*`."""

    class Meta:
        verbose_name = "files to be deleted"
        ordering = ("id",)
