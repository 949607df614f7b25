"""The four questions of the first start."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from babel.dates import format_date
from babel.numbers import format_currency
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.web.models import UNNAMED, Workshop
from sideshake.web.workshop.forms import WorkshopChecks
from sideshake.web.workshop.guessing import Guess, country_of, writings

SHOWN_DAY, SHOWN_SUM = date(2026, 3, 5), Decimal("1234.50")
QUESTIONS: Sequence[tuple[Any, Any, tuple[str, ...]]] = (
    (
        gettext_lazy("Whose workshop is it?"),
        gettext_lazy("This stands at the head of every paper."),
        ("name", "address", "country", "phone", "email"),
    ),
    (
        gettext_lazy("Money and tax"),
        gettext_lazy("Which tax you charge nobody can guess: write 0 if you charge none."),
        ("currency", "tax_percent", "prices_hold_tax", "tax_number"),
    ),
    (
        gettext_lazy("Your hour and your week"),
        gettext_lazy("Proposals are reckoned with the rate; the week tells how long work takes."),
        ("hourly_rate", "hours_a_week"),
    ),
    (
        gettext_lazy("Language"),
        gettext_lazy(
            "Pages are in English; an owner's papers are in English, German or French, as you note "
            "with the owner. Choose how dates, numbers and money are written, and the paper."
        ),
        ("locale", "paper"),
    ),
)


class BeginningForm(WorkshopChecks):
    """Whose workshop it is, its money, its hours, and how things are written."""

    class Meta:
        model = Workshop
        fields = tuple(name for *_words, names in QUESTIONS for name in names)
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "country": gettext_lazy("two letters such as AT"),
            "tax_number": gettext_lazy("needed on invoices with tax; it can come later"),
        }

    def __init__(self, *args: Any, guess: Guess | None, **kwargs: Any) -> None:
        """Fill in what was guessed, as long as nobody has said otherwise."""
        super().__init__(*args, **kwargs)
        if self.instance.untouched:
            self.initial["name"] = ""
            self.fields["hourly_rate"].help_text = _("a figure to begin with: what do you ask?")
            for name in ("country", "currency", "locale", "paper") if guess else ():
                self.initial[name] = getattr(guess, name)
        self.fields["locale"] = forms.ChoiceField(
            label=_("dates, numbers and money"),
            choices=self.ways_of_writing(),
            initial=self.initial["locale"],
            help_text=_("the settings take any other"),
        )

    def locales(self) -> list[str]:
        """Return the ways of writing that are offered: the country's own, then the usual ones."""
        first = self.initial["locale"]
        offered = (first, *writings(country_of(first)), "en_GB", "en_US")
        return list(dict.fromkeys(offered))

    def ways_of_writing(self) -> list[tuple[str, str]]:
        """Return the ways with an example of each; of those that look alike the first."""
        shown: dict[str, str] = {}
        for each in self.locales():
            shown.setdefault(example(each, self.initial["currency"]), each)
        return [(each, words) for words, each in shown.items()]

    def clean_name(self) -> str:
        """Refuse the name that stands for none."""
        name = str(self.cleaned_data["name"]).strip()
        if name == UNNAMED:
            raise forms.ValidationError(_("Write the name that is to stand on your papers."))
        return name

    def questions(self) -> list[dict[str, Any]]:
        """Return the questions with their fields, in the order in which they are asked."""
        return [
            {"title": title, "words": words, "fields": [self[name] for name in names]}
            for title, words, names in QUESTIONS
        ]


def example(locale: str, currency: str) -> str:
    """Return how a day and an amount are written in one way."""
    day = format_date(SHOWN_DAY, format="medium", locale=locale)
    return f"{day} · {format_currency(SHOWN_SUM, currency, locale=locale)}"
