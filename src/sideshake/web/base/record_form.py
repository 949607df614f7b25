"""Forms that know which version of a record they show."""

from typing import Any, cast

from django import forms
from django.http import QueryDict
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from sideshake.web.base.saving import EditConflict, plain
from sideshake.web.base.version_field import SeenField
from sideshake.web.models import Record


class RecordForm(forms.ModelForm):  # type: ignore[type-arg] # its record's type is the subclass's
    """A form for one record; it keeps what was typed when somebody else was quicker."""

    seen = SeenField()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Show the record as it is, with its version hidden in the form."""
        super().__init__(*args, **kwargs)
        self.label_suffix = ""
        if self.instance.pk:
            self.fields["seen"].initial = self.instance.version

    def show_overtaken(self, overtaken: EditConflict) -> None:
        """Say who was quicker and what they wrote; saving once more then replaces it knowingly."""
        self.add_error(None, overtaken_words(overtaken))
        for name in self.changed_fields(overtaken.stored):
            theirs = getattr(overtaken.stored, name)
            self.add_error(name, _("Stored now: %(theirs)s") % {"theirs": theirs or _("nothing")})
        again = cast(QueryDict, self.data).copy()
        again[self.add_prefix("seen")] = str(overtaken.stored.version)
        self.data = again

    def changed_fields(self, stored: Record) -> list[str]:
        """Return the form's fields in which the stored record differs from what was typed."""
        return [
            name
            for name in self.fields
            if name in {field.name for field in stored._meta.concrete_fields}
            and plain(getattr(stored, name)) != plain(self.cleaned_data.get(name))
        ]


def overtaken_words(overtaken: EditConflict) -> str:
    """Return the sentence for the one who came second."""
    return _(
        "%(told)s. What you typed is still here: compare it with what is stored now, then save "
        "again."
    ) % {"told": capfirst(str(overtaken))}
