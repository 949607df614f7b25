"""Files that are being taken in, so that a half one can be taken back."""

from django.db import models


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
