"""What is written to an owner is in his language, from the suggestion to the invoice."""

from datetime import date
from decimal import Decimal

import pytest
from pdf_words import words_of
from pseudo_language import escaped, speaking_with_accents

from sideshake.web.base.saving import save
from sideshake.web.documents.registry import makers
from sideshake.web.documents.words import written_day
from sideshake.web.models import Finding, Invoice, Owner, Payment, Visit, the_workshop
from sideshake.web.money.deposits import deposit_lines
from sideshake.web.proposals.rights import rights_asked
from sideshake.web.proposals.services import draft
from sideshake.wording import Language, speaking

DAY = date(2026, 3, 3)
LINE = {"kind": "work", "text": "Stahl", "quantity": "2", "each": "1119.25", "tax_percent": "19"}
RECORDS = "Ottilie Marwood Stahl Mill Lane Oberaldermoor March April EUR"


@pytest.fixture
def written(visit, colleague):
    """Return a draft for an owner with a language, of a visit with three usual findings."""
    save(Finding(visit=visit, title="Oil dried or gummed", key="oil-dried"), colleague)
    save(Finding(visit=visit, title="Gaskets hardened", key="gasket-dead"), colleague)
    shop = the_workshop()
    shop.hourly_rate, shop.currency, shop.withdrawal, shop.locale = 80, "EUR", True, "de_AT"
    shop.guarantee = True
    shop.save()

    def make(language):
        Owner.objects.filter(pk=visit.watch.owner_id).update(language=language)
        return draft(Visit.objects.get(pk=visit.pk), colleague, on=DAY)

    return make


@pytest.fixture
def invoiced(visit, colleague):
    """Return the words of an invoice with a deposit, partly paid, in the language spoken."""
    invoice = Invoice(visit=visit, number="INV-1", issued_on=DAY, due_on=date(2026, 4, 2),
                      supplied_on=DAY, currency="EUR", lines=[LINE])  # fmt: skip
    save(invoice, colleague)
    save(Payment(visit=visit, invoice=invoice, amount=Decimal("70"), currency="EUR", on=DAY,
                 deposit=True), colleague)  # fmt: skip
    return invoice


@pytest.mark.parametrize(("language", "title", "right"), [
    ("de", "Vollständige Revision des Werks", "binnen 14 Tagen"),
    ("fr", "Révision complète du mouvement", "14 jours"),
    ("en", "Complete overhaul of the movement", "within 14 days"),
])  # fmt: skip
def test_a_draft_is_begun_in_the_owner_s_language(written, language, title, right):
    proposal = written(language)
    titles = [each.title for each in proposal.options.all()]
    assert title in titles
    with speaking(Language(language)):
        assert right in rights_asked(proposal)
    said = words_of(makers.proposal_paper(proposal).data).replace("\xa0", " ")
    assert title in said
    english = ("Altogether", "Your answer", "We begin")
    assert all(each in said for each in english) is (language == "en")
    assert not any(each in said for each in english) or language == "en"


def test_no_word_of_a_proposal_escapes(written):
    with speaking_with_accents():
        proposal = written("de")
        made = makers.proposal_paper(proposal)
    own = " ".join((RECORDS, the_workshop().name, proposal.visit.watch.title,
                    proposal.visit.watch.owner.name, str(proposal.written_by)))  # fmt: skip
    assert escaped(words_of(made.data), own) == set()


@pytest.mark.parametrize(("language", "said"), [
    ("de", ("Rechnung INV-1", "3. März 2026", "Noch zu zahlen bis 2. April 2026", "Menge",
            "Steuer 19 %")),
    ("fr", ("Facture INV-1", "3 mars 2026", "Reste à payer au plus tard le 2 avril 2026",
            "Quantité")),
    ("en", ("Invoice INV-1", "3 March 2026", "Still to be paid by 2 April 2026", "Quantity")),
])  # fmt: skip
def test_an_invoice_is_in_the_owner_s_language(invoiced, language, said):
    Owner.objects.update(language=language)
    found = Invoice.objects.get(pk=invoiced.pk)
    printed = words_of(makers.invoice_paper(found).data).replace("\xa0", " ")
    assert [each for each in said if each not in printed] == []


def test_no_word_of_an_invoice_escapes(invoiced):
    with speaking_with_accents():
        Owner.objects.update(language="de")
        made = makers.invoice_paper(Invoice.objects.get(pk=invoiced.pk))
    visit = invoiced.visit
    own = " ".join((RECORDS, the_workshop().name, visit.watch.title, visit.watch.owner.name, "INV"))
    assert escaped(words_of(made.data), own) == set()


def test_a_deposit_s_line_is_in_the_owner_s_language(written, colleague):
    proposal = written("fr")
    proposal.options.update(chosen=True)
    proposal.state, proposal.deposit, proposal.answered_on = "agreed", Decimal(10), DAY
    save(proposal, colleague)
    lines = deposit_lines(Visit.objects.get(pk=proposal.visit_id))
    assert [each["text"] for each in lines] == ["Acompte sur le travail convenu le 3 mars 2026"]


@pytest.mark.parametrize(("language", "day", "said"), [
    (Language.FRENCH, date(2026, 2, 1), "1er février 2026"),
    (Language.FRENCH, date(2026, 2, 11), "11 février 2026"),
    (Language.GERMAN, date(2026, 2, 1), "1. Februar 2026"),
    (Language.ENGLISH, date(2026, 2, 1), "1 February 2026"),
])  # fmt: skip
def test_the_first_of_a_month_is_an_ordinal_in_french(db, language, day, said):
    """Common practice of French spelling, from memory."""
    the_workshop()
    with speaking(language):
        assert written_day(day) == said
