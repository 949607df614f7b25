"""What a form offers of a customer's rights."""

from django import forms
from django.utils.translation import gettext_lazy as _

from sideshake.web.models import Owner, the_workshop
from sideshake.web.proposals.rights import is_consumer, words_of

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


def offer_form(fields: dict[str, forms.Field], owner: Owner) -> None:
    """Word the box for the form of withdrawal; take it out where there is no such right."""
    if "withdrawal" not in fields or not is_consumer(owner):
        del fields["withdrawal_form"]
        return
    fields["withdrawal_form"].label = _("with its instructions and a form to send back")
    fields["withdrawal_form"].help_text = _(
        "for consumers, in the place of the short words; printed only with the right of "
        "withdrawal; check your local law"
    )
