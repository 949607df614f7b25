"""The papers of a visit: what the records hold stands on the paper."""

import io
import re
from datetime import date
from decimal import Decimal
from html import unescape

import pytest
from django.core.cache import cache
from django.utils import timezone
from pypdf import PdfReader

from sideshake.web.base.saving import save
from sideshake.web.measuring.services import store
from sideshake.web.models import (
    Batch,
    Finding,
    Invoice,
    Issued,
    Item,
    Option,
    Outwork,
    Payment,
    PlanStep,
    Proposal,
    Reading,
    Used,
    Workshop,
    the_workshop,
)

LINES = [{"kind": "work", "text": "A jewel", "quantity": "1", "each": "238.00",
          "tax_percent": "19"}]  # fmt: skip


def words(answer) -> str:
    assert answer.status_code == 200, answer.content[:500]
    assert answer["Content-Type"] == "application/pdf"
    pages = PdfReader(io.BytesIO(answer.content)).pages
    return re.sub(r"\s+", " ", "\n".join(page.extract_text() for page in pages))


@pytest.fixture
def full(visit, colleague):
    """A visit with something for every part of the report."""
    the_workshop()
    visit.watch.story = 'My aunt\'s #1 watch, $5 <b> "never" *cleaned*'
    save(visit.watch, colleague)
    visit.warranty_until, visit.next_service_on = date(2027, 3, 31), date(2030, 3, 31)
    visit.advice = "Wind it once a day."
    save(visit, colleague)
    save(Finding(visit=visit, title="Hole worn oval", detail="1.012 by 0.936 mm"), colleague)
    for after, rate, swing in ((False, -50.0, 208.0), (True, 6.2, 272.0)):
        figures = {"lift_angle": "50 ± 1", "clock": ""}
        save(Reading(visit=visit, position="CH", wound="full", after=after, state="heard",
                     sentence="heard", rate_s_per_day=rate, rate_u_s_per_day=0.2,
                     amplitude_deg=swing, amplitude_u_deg=1.5, figures=figures),
             colleague)  # fmt: skip
    proposal = Proposal(visit=visit, edition=1, currency="EUR", made_on=date(2026, 3, 3),
                        state="agreed", deposit=Decimal("70"))  # fmt: skip
    save(proposal, colleague)
    save(Option(proposal=proposal, title="A jewel for the bridge", reason="It leans.",
                chosen=True, lines=LINES), colleague)  # fmt: skip
    save(PlanStep(visit=visit, kind="test", key="test-reserve", place=1, title="Power reserve",
                  value=46.2, u=0.15, unit="h", result="good"), colleague)  # fmt: skip
    save(PlanStep(visit=visit, key="option-jewel-above", place=2, title="A jewel for the bridge",
                  done_at=timezone.now(), done_by=colleague), colleague)  # fmt: skip
    item = Item(kind="jewel", name="Jewel 0.92 × 2.00")
    save(item, colleague)
    batch = Batch(item=item, received_on=date(2026, 3, 1), quantity=3, origin="made")
    save(batch, colleague)
    save(Used(visit=visit, batch=batch, on=date(2026, 3, 9), old_part="none"), colleague)
    invoice = Invoice(visit=visit, number="INV-2026-001", issued_on=date(2026, 3, 30),
                      due_on=date(2026, 4, 13), currency="EUR", lines=LINES)  # fmt: skip
    save(invoice, colleague)
    save(Payment(visit=visit, invoice=invoice, amount=Decimal("70"), currency="EUR",
                 on=date(2026, 3, 5)), colleague)  # fmt: skip
    return visit


def test_the_report_holds_what_the_records_hold(client, full):
    said = words(client.get("/visits/2026-001/papers/report.pdf"))
    for figure in (
        "−50.0 ± 0.4",
        "+6.2 ± 0.4",
        "208 ± 3",
        "272 ± 3",
        "46.2 ± 0.3 h",
        "1.012 by 0.936 mm",
    ):
        assert figure in said, figure
    for text in ("swings 64", "A jewel for the bridge", "Jewel 0.92 × 2.00", "31 March 2027",
                 "31 March 2030", "Wind it once a day.", "50 ± 1°"):  # fmt: skip
        assert text in said, text
    assert 'My aunt\'s #1 watch, $5 <b> "never" *cleaned*' in said.replace("’", "'")


def test_a_bare_visit_gives_a_report_without_gaps_on_paper_but_told_to_the_restorer(client, visit):
    said = words(client.get("/visits/2026-001/papers/report.pdf"))
    assert "None" not in said
    page = client.get("/visits/2026-001/papers/").content.decode()
    assert "a reading from before the work" in page


def test_the_proposal_on_paper_holds_prices_and_deposit(client, full):
    said = words(client.get("/visits/2026-001/papers/proposal/1.pdf"))
    for text in ("€238.00", "€200.00", "€38.00", "€70.00", "It leans."):
        assert text in said, text


def test_the_invoice_on_paper_holds_sums_payment_and_rest(client, full):
    said = words(client.get("/invoices/INV-2026-001/invoice.pdf"))
    for text in ("INV-2026-001", "€238.00", "€38.00", "-€70.00", "€168.00", "13 April 2026"):
        assert text in said.replace("−", "-"), text


def test_the_care_card_is_made_from_the_calibre_sheet(client, full):
    full.watch.calibre = "lindquell-25"
    full.watch.save()
    for size in ("a6", "credit-card"):
        assert "half past seven in the evening" in words(
            client.get(f"/visits/2026-001/papers/card/{size}.pdf")
        )
    assert client.get("/visits/2026-001/papers/card/a0.pdf").status_code == 422


def test_a_watch_without_a_calibre_sheet_has_a_card_too_and_the_telephone_stands_on_it(
    client, full
):
    full.watch.calibre = ""
    full.watch.save()
    bare = words(client.get("/visits/2026-001/papers/card/a6.pdf"))
    assert "If it shows the date: never set the date on its own" in bare
    assert "01632" not in bare
    shop = the_workshop()
    shop.phone = "01632 960142"
    shop.save()
    for size in ("a6", "credit-card"):
        assert "01632 960142" in words(client.get(f"/visits/2026-001/papers/card/{size}.pdf"))
    full.watch.calibre = "tarnbrook-31"
    full.watch.save()
    assert "date" not in words(client.get("/visits/2026-001/papers/card/a6.pdf"))


def test_the_bench_sheet_holds_the_fit_of_the_hole_that_is_judged(
    client, full, colleague, shipped_sizes
):
    save(PlanStep(visit=full, kind="work", key="a", place=1, title="Let it down"), colleague)
    before = words(client.get("/visits/2026-001/papers/bench.pdf"))
    assert "Let it down" in before
    assert "Reamers" not in before
    store(full, shipped_sizes, colleague, seen={})
    reamer = Item(kind="reamer", name="Reamer", outside_mm=1.49)
    save(reamer, colleague)
    save(Batch(item=reamer, received_on=date(2026, 3, 1), quantity=1), colleague)
    said = words(client.get("/visits/2026-001/papers/bench.pdf"))
    assert "ruby jewel 0.920 × 1.500 × 0.600 mm" in said
    assert (
        "1.09, 1.19, 1.29, 1.39, 1.49 mm; missing, get these before you begin: 1.09, 1.19" in said
    )
    assert "Hole after 1.49 1.492 to 1.495" in said


def test_the_report_to_mail_is_one_file(client, full):
    answer = client.get("/visits/2026-001/papers/report.html")
    page = answer.content.decode()
    assert answer["Content-Disposition"] == 'attachment; filename="report-2026-001.html"'
    assert "&lt;b&gt;" in page
    assert 'src="http' not in page


PAGES = ("", "report.pdf", "report.html", "labels.pdf", "proposal/1.pdf", "card/a6.pdf")


@pytest.mark.parametrize("page", PAGES)
def test_papers_open_to_no_stranger_and_ask_few_questions(
    client, stranger, full, page, django_assert_max_num_queries
):
    address = f"/visits/2026-001/papers/{page}"
    assert stranger.get(address).status_code == 302
    with django_assert_max_num_queries(18):
        assert client.get(address).status_code == 200


def test_prices_on_paper_are_not_for_an_apprentice(apprentice_client, full):
    assert apprentice_client.get("/visits/2026-001/papers/proposal/1.pdf").status_code == 403
    assert apprentice_client.get("/invoices/INV-2026-001/invoice.pdf").status_code == 403
    assert apprentice_client.get("/visits/2026-001/papers/report.pdf").status_code == 200


def notes(browser) -> dict[str, str]:
    """Return what the page of papers says under each heading."""
    page = browser.get("/visits/2026-001/papers/").content.decode()
    parts = re.findall(r"<h2>(.*?)</h2>(.*?)</section>", page, flags=re.DOTALL)
    return {
        unescape(title): " ".join(unescape(re.sub(r"<[^>]+>", " ", said)).split())
        for title, said in parts
    }


def test_every_paper_is_listed_with_what_it_does_not_say(client, full):
    said = notes(client)
    assert list(said) == [
        "Owner's report", "Proposal, version 1", "Invoice INV-2026-001", "Care card",
        "Jewel order, draft", "Bench sheet", "Labels", "A page to show",
    ]  # fmt: skip
    assert "the risk of “A jewel for the bridge”" in said["Proposal, version 1"]
    assert "the workshop's tax number; the workshop's bank details" in said["Invoice INV-2026-001"]
    assert "the owner's address" in said["Invoice INV-2026-001"]
    assert "the new holes are made" in said["Jewel order, draft"]
    assert "complete" in said["Bench sheet"]
    assert "has not agreed" in said["A page to show"]


def test_a_bare_visit_lists_every_paper_and_offers_no_link_to_one_that_cannot_be(client, visit):
    said = notes(client)
    assert "There is no proposal yet." in said["Proposal"]
    assert "There is no bench plan and no fit yet." in said["Bench sheet"]
    assert "There is no invoice yet." in said["Invoice"]
    page = client.get("/visits/2026-001/papers/").content.decode()
    for link in re.findall(r'href="(/visits/[^"]+\.(?:pdf|html|dxf))"', page):
        assert client.get(link).status_code == 200, link
    assert "None" not in page


def test_an_apprentice_is_told_of_no_proposal_and_no_page_to_show(apprentice_client, full):
    said = notes(apprentice_client)
    assert "Care card" in said
    assert not {"Proposal, version 1", "Invoice INV-2026-001", "A page to show"} & set(said)


def test_letters_that_no_font_has_are_told_and_the_papers_still_made(client, full, colleague):
    full.watch.owner.name = "李明 \U0001f600"
    save(full.watch.owner, colleague)
    page = client.get("/visits/2026-001/papers/").content.decode()
    assert "stand as ▯ on paper: 李明\U0001f600" in page
    for address in ("papers/report.pdf", "papers/proposal/1.pdf"):
        assert client.get(f"/visits/2026-001/{address}").status_code == 200


def test_labels_that_open_on_this_computer_only_are_told(client, visit):
    page = client.get("/visits/2026-001/papers/", headers={"host": "127.0.0.1:8137"})
    assert "on this computer only" in page.content.decode()
    assert "on this computer only" not in notes(client)["Labels"]


MARKED = 'O\'Nasty #let $x$ <b>"q"</b> \\\\end @ref *no*'
HOSTILE = {"marked": MARKED, "wide": "W" * 110, "arabic": "محمد بن علي", "asian": "李明 \U0001f600"}
EVERY_PAPER = (
    "papers/report.pdf", "papers/proposal/1.pdf", "papers/bench.pdf", "papers/labels.pdf",
    "papers/card/a6.pdf", "papers/card/credit-card.pdf", "papers/parts.pdf",
)  # fmt: skip


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_any_name_goes_from_the_records_to_every_paper(client, full, colleague, text, paper):
    owner, watch, shop = full.watch.owner, full.watch, the_workshop()
    owner.name, owner.address = text, f"{text}\n{text}"
    save(owner, colleague)
    watch.title, watch.story, watch.dial_seen = text, text * 4, text
    save(watch, colleague)
    shop.name, shop.address, shop.paper, shop.report_words = text, text, paper, text
    save(shop, colleague)
    save(Finding(visit=full, title=text, detail=text * 4), colleague)
    save(PlanStep(visit=full, key="open", place=1, title=text, how=text), colleague)
    save(Outwork(visit=full, what=text, jewel=True, hole_mm=0.1, outside_mm=1.2, thickness_mm=0.3,
                 note=text), colleague)  # fmt: skip
    for address in (*(f"/visits/2026-001/{each}" for each in EVERY_PAPER),
                    "/invoices/INV-2026-001/invoice.pdf"):  # fmt: skip
        said = words(client.get(address))
        assert said
        if text == MARKED and "labels" not in address and "card" not in address:
            assert re.sub(r"[\s'’]", "", MARKED) in re.sub(r"[\s'’\u00ad]", "", said), address


def test_a_report_is_issued_at_one_press_and_given_again_unchanged(client, full, colleague):
    answer = client.post("/visits/2026-001/papers/report/issue/", follow=True)
    issued = answer.redirect_chain[0][0]
    assert answer.content.startswith(b"%PDF")
    save(Finding(visit=full, title="The crown is worn"), colleague)
    assert client.get(issued).content == answer.content
    assert "The crown is worn" in words(client.get("/visits/2026-001/papers/report.pdf"))
    page = client.get("/visits/2026-001/papers/").content.decode()
    assert f'href="{issued}"' in page


def test_a_card_is_issued_in_its_size(client, full):
    full.watch.calibre = "lindquell-25"
    full.watch.save()
    typed = {"size": "credit-card"}
    answer = client.post("/visits/2026-001/papers/care-card/issue/", typed, follow=True)
    assert 'filename="care-card-2026-001-credit-card.pdf"' in answer["Content-Disposition"]
    page = client.get("/visits/2026-001/papers/").content.decode()
    assert "care card credit-card of" in page


@pytest.mark.parametrize("kind", ["invoice", "labels", "nonsense"])
def test_other_papers_are_not_issued_by_hand(client, full, kind):
    assert client.post(f"/visits/2026-001/papers/{kind}/issue/").status_code == 422


def test_an_apprentice_issues_nothing_and_reads_no_issued_invoice(apprentice_client, client, full):
    client.get("/invoices/INV-2026-001/invoice.pdf")
    client.post("/visits/2026-001/papers/report/issue/")
    invoice, report = (Issued.objects.get(kind=kind).pk for kind in ("invoice", "report"))
    assert apprentice_client.get(f"/papers/{invoice}/").status_code == 403
    assert apprentice_client.get(f"/papers/{report}/").status_code == 200
    assert apprentice_client.post("/visits/2026-001/papers/report/issue/").status_code == 403
    page = apprentice_client.get("/visits/2026-001/papers/").content.decode()
    assert "Issue the report" not in page


def test_what_an_issued_invoice_lacks_is_still_told_when_the_settings_are_mended(client, full):
    client.get("/invoices/INV-2026-001/invoice.pdf")
    the_workshop()
    Workshop.objects.update(tax_number="DE 123", bank="Bank", address="Lane")
    cache.clear()
    page = client.get("/visits/2026-001/papers/").content.decode()
    assert "the workshop&#x27;s tax number" in page


def test_labels_begin_where_the_sheet_is_free(client, full):
    page = client.get("/visits/2026-001/papers/").content.decode()
    assert "first free place, 1 to 24" in page
    assert client.get("/visits/2026-001/papers/labels.pdf?first=20").status_code == 200
    for wrong in ("25", "0", "x"):
        assert client.get(f"/visits/2026-001/papers/labels.pdf?first={wrong}").status_code == 422
