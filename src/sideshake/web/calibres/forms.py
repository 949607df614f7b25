"""Forms for a new calibre: as a copy of a like one, or from a blank with five questions."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.core.errors import InputError
from sideshake.movement.plain import typed
from sideshake.movement.written_lines import Written, number_written
from sideshake.web.base.typed import with_points
from sideshake.web.calibres.sheets import sheet_names

LONGEST_TITLE = 80


class TitleField(forms.CharField):
    """What a calibre is called."""

    def __init__(self) -> None:
        """Ask for the name as people say it."""
        super().__init__(
            label=gettext_lazy("what you call it"),
            max_length=LONGEST_TITLE,
            help_text=gettext_lazy("maker and number as engraved, or what it is"),
            widget=forms.TextInput(attrs={"autocomplete": "off"}),
        )


class CopyForm(forms.Form):
    """A copy of a calibre that is like it."""

    title = TitleField()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer every calibre there is."""
        super().__init__(*args, **kwargs)
        self.label_suffix = ""
        self.fields["like"] = forms.ChoiceField(
            label=gettext_lazy("like which one"), choices=[(each, each) for each in sheet_names()]
        )


class BlankForm(forms.Form):
    """The five questions about a calibre of which nothing is written yet."""

    title = TitleField()
    beats = forms.IntegerField(
        label=gettext_lazy("beats an hour"),
        required=False,
        min_value=1,
        help_text=gettext_lazy("such as 18000; left out: not known"),
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    lift_angle = forms.CharField(
        label=gettext_lazy("lift angle, degrees"),
        required=False,
        help_text=gettext_lazy("such as 50 ± 1; left out: not known, 52 ± 3 is taken"),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    automatic = forms.BooleanField(label=gettext_lazy("winds itself by a rotor"), required=False)
    chronograph = forms.BooleanField(label=gettext_lazy("has a chronograph"), required=False)
    calendar = forms.BooleanField(label=gettext_lazy("has a calendar"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Show the labels as they are."""
        super().__init__(*args, **kwargs)
        self.label_suffix = ""

    def clean_lift_angle(self) -> Written | None:
        """Return the lift angle as it is written into the sheet; None when it is not known.

        Raises
        ------
        ValidationError : it cannot be read
        """
        text = with_points(self.cleaned_data["lift_angle"])
        if not text:
            return None
        try:
            found = typed("lift_angle_deg", text)
        except InputError as error:
            raise forms.ValidationError(error.sentence) from None
        if found.value <= 0:
            raise forms.ValidationError(_("a lift angle is above 0°"))
        return Written(value=number_written(text))
