"""Files being taken in, so that a half one can be taken back; files that nothing needs any more."""

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


class TakingIn(models.Model):
    """A file of owners and watches that is being taken in; the row goes when all is in."""

    file = models.CharField(max_length=200)
    host = models.CharField(max_length=200)
    """The computer on which it runs."""
    beat_at = models.DateTimeField()
    """When it last wrote something."""

    def __str__(self) -> str:
        return self.file


class TakenIn(models.Model):
    """What one short transaction wrote: the keys of new owners and watches."""

    taking = models.ForeignKey(TakingIn, on_delete=models.CASCADE, related_name="parts")
    owners = models.JSONField(default=list)
    watches = models.JSONField(default=list)
