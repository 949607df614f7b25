"""Forms for those who work here."""

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.web.models import User


class PersonForm(forms.ModelForm):  # type: ignore[type-arg] # a user is no versioned record
    """Name, role, active or not."""

    class Meta:
        model = User
        fields = ("username", "first_name", "last_name", "role", "is_active")
        labels = {
            "username": gettext_lazy("name to sign in with"),
            "first_name": gettext_lazy("first name"),
            "last_name": gettext_lazy("last name"),
            "is_active": gettext_lazy("works here now and may sign in"),
        }
        help_texts = {
            "username": gettext_lazy("letters, digits and @ . + - _"),
            "role": gettext_lazy("an apprentice reads and measures, and sees no prices"),
            "is_active": "",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Write labels as our forms do."""
        super().__init__(*args, **kwargs)
        self.label_suffix = ""


class NewPasswordForm(forms.Form):
    """A new password, twice; the old one too when there is one and it is one's own."""

    old = forms.CharField(
        label=gettext_lazy("the password until now"),
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        strip=False,
    )
    new = forms.CharField(
        label=gettext_lazy("new password"),
        help_text=gettext_lazy("at least 10 characters; a short sentence is good and easy to keep"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        strip=False,
    )
    again = forms.CharField(
        label=gettext_lazy("the same once more"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        strip=False,
    )

    def __init__(self, data: Any, person: User, *, ask_old: bool) -> None:
        """Ask for the old password only where it is to be proved."""
        super().__init__(data)
        self.label_suffix = ""
        self.person = person
        if not ask_old:
            del self.fields["old"]

    def clean_old(self) -> str:
        """Refuse a wrong old password."""
        old = str(self.cleaned_data["old"])
        if not self.person.check_password(old):
            raise forms.ValidationError(_("This is not the password until now."))
        return old

    def clean_new(self) -> str:
        """Refuse a password that is easy to guess."""
        new = str(self.cleaned_data["new"])
        validate_password(new, self.person)
        return new

    def clean_again(self) -> str:
        """Refuse a slip of the finger."""
        again = str(self.cleaned_data["again"])
        if "new" in self.cleaned_data and again != self.cleaned_data["new"]:
            raise forms.ValidationError(_("The two are not the same."))
        return again
