"""Forms for findings."""

from typing import Any

from django import forms

from sideshake.web.base.record_form import RecordForm
from sideshake.web.models import Finding


class FindingForm(RecordForm):
    """A fault seen."""

    class Meta:
        model = Finding
        fields = ("title", "detail", "part", "severity", "photograph", "is_cause", "mended")
        widgets = {"detail": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the photographs of the same visit only."""
        super().__init__(*args, **kwargs)
        photographs: Any = self.fields["photograph"]
        photographs.queryset = self.instance.visit.photographs.all()
