"""Forms for showing a visit's story: the owner's consent, and what the page says."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.documents.public_story import PublicStory, Texts, parts_of
from sideshake.documents.redaction import hidden, same_words, secrets_in, unsafe_in
from sideshake.web.base.day_field import day_widget
from sideshake.web.base.record_form import RecordForm
from sideshake.web.models import Photograph, Visit
from sideshake.web.public_story.story import Chosen, first_report, first_texts, secrets_of, shown_of

MOST_LETTERS = 20_000
TEXTS = ("title", "story", "seen", "found", "done", "parts")
STAYS = "stays"


class ConsentForm(RecordForm):
    """When and how the owner agreed that the story may be shown."""

    class Meta:
        model = Visit
        fields = ("show_agreed_on", "show_agreed_how")
        widgets = {"show_agreed_on": day_widget()}
        help_texts = {
            "show_agreed_how": gettext_lazy("in which letter, email or talk, and to what exactly")
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Ask for both."""
        super().__init__(*args, **kwargs)
        for name in self.Meta.fields:
            self.fields[name].required = True

    def clean_show_agreed_on(self) -> Any:
        """Refuse a day that has not come yet."""
        day = self.cleaned_data["show_agreed_on"]
        if day > timezone.localdate():
            raise forms.ValidationError(_("This day has not come yet."))
        return day


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """Words that tell too much: what they are, where they stand, and whether they may stay."""

    words: str
    what: str
    where: tuple[str, ...]
    may_stay: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotographChoice:
    """A photograph with its two fields."""

    photograph: Photograph
    tick: Any
    caption: Any


def long_text(label: Any) -> forms.CharField:
    """Return a field for a text of many lines, which may be empty."""
    widget = forms.Textarea(attrs={"rows": 4})
    return forms.CharField(label=label, required=False, max_length=MOST_LETTERS, widget=widget)


class ShowForm(forms.Form):
    """What the page says and which photographs are on it; it begins with what the records hold."""

    title = forms.CharField(label=gettext_lazy("title"), max_length=200)
    story = long_text(gettext_lazy("the story"))
    seen = long_text(gettext_lazy("the watch, a line for each thing seen"))
    found = long_text(gettext_lazy("what was found, each with its title, an empty line between"))
    done = long_text(gettext_lazy("what was done, a line each"))
    parts = long_text(gettext_lazy("parts, a line each"))
    figures = forms.BooleanField(
        label=gettext_lazy("what was measured before and after"), required=False
    )
    section = forms.BooleanField(
        label=gettext_lazy("the section through the barrel"), required=False
    )

    def __init__(self, data: QueryDict | None, *, visit: Visit) -> None:
        """Show what was typed, or the records when nothing was yet."""
        self.visit, self.report = visit, first_report(visit)
        self.typed = self.first_data() if data is None else data
        super().__init__(self.typed)
        self.label_suffix = ""
        for each in visit.photographs.all():
            self.fields[f"photo_{each.pk}"] = forms.BooleanField(required=False)
            self.fields[f"caption_{each.pk}"] = forms.CharField(required=False, max_length=200)
        if not self.report.drawings:
            del self.fields["section"]

    def first_data(self) -> QueryDict:
        """Return the form as the records fill it; no photograph is chosen yet."""
        data = QueryDict(mutable=True)
        data.update(first_texts(self.visit, self.report))
        data.update({f"caption_{p.pk}": p.caption for p in self.visit.photographs.all()})
        data["figures"] = "on"
        return data

    def choices(self) -> list[PhotographChoice]:
        """Return the visit's photographs with their fields."""
        return [
            PhotographChoice(
                photograph=p, tick=self[f"photo_{p.pk}"], caption=self[f"caption_{p.pk}"]
            )
            for p in self.visit.photographs.all()
        ]

    def text_fields(self) -> list[Any]:
        """Return the fields of the texts."""
        return [self[name] for name in TEXTS]

    def shown(self) -> PublicStory:
        """Return the page as it would be; the form must be valid."""
        typed = self.cleaned_data
        texts = {name: typed[name].replace("\r\n", "\n") for name in TEXTS}
        chosen = Chosen(
            texts=Texts(**texts),
            captions={
                p.pk: typed[f"caption_{p.pk}"]
                for p in self.visit.photographs.all()
                if typed[f"photo_{p.pk}"]
            },
            figures=typed["figures"],
            section=typed.get("section", False),
            may_stay=frozenset(self.typed.getlist(STAYS)),
        )
        return shown_of(self.visit, self.report, chosen)

    def telling(self) -> list[Telling]:
        """Return every word of the page that tells too much, those that may stay as well."""
        shown = self.shown()
        spared = set(map(same_words, shown.may_stay))
        places: dict[str, Telling] = {}
        for part, text in parts_of(shown):
            for find in secrets_in(text, shown.secrets):
                key = same_words(find.words)
                before = places[key].where if key in places else ()
                where = tuple(dict.fromkeys((*before, self.name_of(part))))
                places[key] = Telling(
                    words=find.words, what=find.what, where=where, may_stay=key in spared
                )
        return list(places.values())

    def name_of(self, part: str) -> str:
        """Return what a part of the page is called."""
        others = {
            "pictures": _("the words under the photographs"),
            "figures": _("what was measured"),
            "drawings": _("the drawings"),
        }
        return str(others.get(part) or self.fields[part].label)

    def hushed(self) -> QueryDict:
        """Return what was typed with an ellipsis in the place of every word that tells too much."""
        data, secrets = self.typed.copy(), secrets_of(self.visit)
        harmless = frozenset(data.getlist(STAYS))
        for name in (*TEXTS, *(name for name in self.fields if name.startswith("caption_"))):
            text = data.get(name, "")
            data[name] = hidden(text, unsafe_in(text, secrets, harmless=harmless))
        return data
