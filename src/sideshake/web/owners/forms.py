"""Forms for owners and watches."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.record_form import RecordForm
from sideshake.web.calibres.sheets import sheet_names
from sideshake.web.models import Owner, Watch


class OwnerForm(RecordForm):
    """Somebody whose watch comes here."""

    class Meta:
        model = Owner
        fields = (
            "name", "email", "phone", "prefers", "language", "address", "country", "tax_number",
            "heard_of_us", "note",
        )  # fmt: skip
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "country": _("its name or two letters; empty: the workshop's own"),
            "tax_number": _("of a business, for invoices with reverse charge"),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Leave the language as it is where a form does not ask for it."""
        super().__init__(*args, **kwargs)
        self.fields["language"].required = False


class WatchForm(RecordForm):
    """A watch as it is seen."""

    class Meta:
        model = Watch
        fields = (
            "title", "dial_name", "calibre", "calibre_seen", "movement_serial", "case_serial",
            "reference", "year_from", "year_to", "lume", "burn_marks", "t_mark", "case_seen",
            "dial_seen", "repairers_marks", "story", "provenance", "note",
        )  # fmt: skip
        widgets = {
            name: forms.Textarea(attrs={"rows": 2})
            for name in ("case_seen", "dial_seen", "repairers_marks", "provenance", "note")
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the calibre sheets at hand while the name is typed."""
        super().__init__(*args, **kwargs)
        self.fields["calibre"].widget.attrs["list"] = "calibres"
        self.calibres = sheet_names()

    def clean(self) -> dict[str, Any]:
        """Refuse years that run backwards."""
        cleaned: dict[str, Any] = super().clean() or {}
        first, last = cleaned.get("year_from"), cleaned.get("year_to")
        if first and last and first > last:
            self.add_error("year_to", _("The years run backwards."))
        return cleaned
