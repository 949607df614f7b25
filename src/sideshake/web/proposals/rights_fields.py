"""What a form offers of a customer's rights."""

from django import forms
from django.utils.translation import gettext_lazy as _

from sideshake.web.models import the_workshop
from sideshake.web.proposals.rights import words_of

RIGHTS_SAID = {
    "withdrawal": (
        _("print the right of withdrawal"),
        _("for contracts at a distance, 14 days in the EU; check your local law"),
    ),
    "guarantee": (
        _("print the statutory guarantee"),
        _("for consumers; check your local law"),
    ),
}


def offer_rights(fields: dict[str, forms.Field]) -> None:
    """Word a form's boxes for rights; take out those of which the workshop has no words."""
    shop = the_workshop()
    for name, (label, help_text) in RIGHTS_SAID.items():
        if words_of(shop, name):
            fields[name].label, fields[name].help_text = label, help_text
        else:
            del fields[name]
