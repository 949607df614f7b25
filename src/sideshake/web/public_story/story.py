"""A visit's records as a page that may be shown to others."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from sideshake.documents.acceptance import Proof
from sideshake.documents.blocks import Picture
from sideshake.documents.public_story import PublicStory, Texts
from sideshake.documents.redaction import Secret, hidden, secrets_in
from sideshake.documents.report import Report
from sideshake.web.documents.report import report_of
from sideshake.web.documents.words import letterhead, picture_of
from sideshake.web.models import Photograph, Visit


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """What the restorer wants on the page."""

    texts: Texts
    captions: dict[int, str]
    """The caption of each chosen photograph, by its key."""
    figures: bool
    section: bool
    may_stay: frozenset[str]


def secrets_of(visit: Visit) -> tuple[Secret, ...]:
    """Return everything in the records that tells who owns the watch, or which one it is."""
    watch, owner = visit.watch, visit.watch.owner
    return (
        *Secret.name(_("the owner's name"), owner.name),
        *Secret.place(_("the owner's address"), owner.address),
        *Secret.phone(_("the owner's telephone"), owner.phone),
        *Secret.number(_("the owner's email"), owner.email.partition("@")[0]),
        *Secret.number(_("the case number"), watch.case_serial),
        *Secret.number(_("the movement number"), watch.movement_serial),
        *Secret.number(_("the visit's number"), visit.number),
        *Secret.number(_("a parcel's number"), visit.tracking_in),
        *Secret.number(_("a parcel's number"), visit.tracking_out),
        *(
            secret
            for invoice in visit.invoices.all()
            for secret in Secret.number(_("an invoice's number"), invoice.number)
        ),
    )


def kept_back(visit: Visit) -> list[str]:
    """Return what the records hold and the page never shows."""
    watch, owner = visit.watch, visit.watch.owner
    held = (
        (owner.name, _("the owner's name")),
        (owner.address or owner.country, _("the owner's address")),
        (owner.phone or owner.email, _("the owner's telephone and email")),
        (watch.case_serial, _("the case number")),
        (watch.movement_serial, _("the movement number")),
        (watch.reference, _("the reference")),
        (watch.provenance, _("papers and provenance")),
        (watch.repairers_marks, _("earlier repairers' marks")),
        (visit.number, _("the visit's number, its days and its parcels")),
        (visit.proposals.all() or visit.invoices.all(), _("prices, proposals and invoices")),
        (visit.warranty_until or visit.next_service_on, _("warranty and next service")),
        (visit.advice, _("the advice to the owner")),
        (visit.note or owner.note or watch.note, _("notes for the workshop")),
        (visit.photographs.all(), _("the points on photographs")),
        (visit.plan.all(), _("the water test, which holds for its day alone")),
    )
    return [words for there, words in held if there]


def first_texts(visit: Visit, told: Report) -> dict[str, str]:
    """Return the texts as the records have them, to be edited for the page."""
    watch = visit.watch
    seen = (
        (_("On the dial"), watch.dial_name),
        (_("Case"), watch.case_seen),
        (_("Dial and hands"), watch.dial_seen),
    )
    return {
        "title": watch.title,
        "story": watch.story,
        "seen": "\n".join(f"{name}: {one_line(words)}" for name, words in seen if words),
        "found": "\n\n".join(f"{each.title}\n{each.detail}".strip() for each in told.findings),
        "done": "\n".join(one_line(each.words) for each in told.done),
        "parts": "\n".join(f"{each.what}, {each.origin}" for each in told.parts),
    }


def one_line(words: str) -> str:
    """Return words in one line."""
    return " ".join(words.split())


def shown_of(visit: Visit, told: Report, chosen: Chosen) -> PublicStory:
    """Return the page of a visit.

    Raises
    ------
    InputError : the owner has not agreed
    """
    return PublicStory(
        head=letterhead(),
        texts=chosen.texts,
        proof=replace(told.proof, water="", water_day="", tests=()) if chosen.figures else Proof(),
        pictures=(
            *pictures_of(visit, chosen.captions),
            *(told.drawings if chosen.section else ()),
        ),
        secrets=secrets_of(visit),
        may_stay=chosen.may_stay,
        consent_on=visit.show_agreed_on,
        consent_how=visit.show_agreed_how,
    )


def shown_as_recorded(visit: Visit, *, photographs: bool, hide: bool) -> PublicStory:
    """Return the page of a visit as its records stand, with every photograph or none.

    With `hide` an ellipsis stands in the place of each word that tells too much.

    Raises
    ------
    InputError : the owner has not agreed
    """
    told, secrets = first_report(visit), secrets_of(visit)

    def kept(text: str) -> str:
        return hidden(text, secrets_in(text, secrets)) if hide else text

    rows = visit.photographs.all() if photographs else ()
    texts = {name: kept(text) for name, text in first_texts(visit, told).items()}
    chosen = Chosen(
        texts=Texts(**texts),
        captions={each.pk: kept(each.caption) for each in rows},
        figures=True,
        section=True,
        may_stay=frozenset(),
    )
    return shown_of(visit, told, chosen)


def pictures_of(visit: Visit, captions: dict[int, str]) -> Iterator[Picture]:
    """Yield the chosen photographs with their captions; one whose file is gone is left out."""
    chosen: list[Photograph] = [each for each in visit.photographs.all() if each.pk in captions]
    for photograph in chosen:
        picture = picture_of(photograph)
        if picture is not None:
            words = captions[photograph.pk].strip()
            yield replace(picture, alt=words or _("a photograph of the watch"), caption=words)


def first_report(visit: Visit) -> Report:
    """Return what the owner's report of the visit tells; its day does not matter here."""
    return report_of(visit, day=visit.arrived_on)
