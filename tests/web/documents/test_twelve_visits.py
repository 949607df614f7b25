"""Every paper of twelve visits, on A4 and on US Letter: what each must say, and none may."""

import io
import re
from decimal import Decimal

from pypdf import PdfReader
from twelve_visits import LONG_NAME, RIGHT_TO_LEFT, twelve_visits

from sideshake.documents.balance import LEAST_FILLED, LEAST_LAST, balanced_sheet
from sideshake.documents.kinds import PaperKind
from sideshake.documents.report import report
from sideshake.documents.typeset import pages
from sideshake.web.documents.registry import makers
from sideshake.web.documents.registry.requests import PaperRequest, paper_of
from sideshake.web.documents.report import report_of
from sideshake.web.models import the_workshop
from sideshake.web.money.price_lines import invoice_totals
from sideshake.web.proposals.queries import proposal_by_edition
from sideshake.web.visits.queries import whole_visit
from tests.documents.test_balance import COARSE, inked

FORMS = ("s/day", "if round", "goes back to the owner", "{", "%(")
"""What no paper may say: the words of forms, units of the code, gaps of a template."""
SET = {
    PaperKind.REPORT: (),
    PaperKind.PROPOSAL: ("proposed", "agreed", "gone-home"),
    PaperKind.INVOICE: (),
    PaperKind.CARE_CARD: ("proposed", "gone-home"),
    PaperKind.BENCH_SHEET: ("on-the-bench",),
    PaperKind.JEWEL_ORDER: ("on-the-bench",),
}
"""Which visits' papers of a kind are set; empty: those of all."""


LONG_REPORTS = ("looked-over", "on-test", "ready", "gone-home")
ROW_OF_PIXELS = 0.01
"""2 mm of a page, as a share of its height."""


class Shelf:
    """The papers of visits as text, by kind and the key of the visit's story."""

    def __init__(self, visits, kinds):
        self.words, self.pictures, self.pages = {}, {}, {}
        for key, visit in visits.items():
            for kind in (each for each in kinds if not SET[each] or key in SET[each]):
                for paper in papers_of(visit, kind):
                    self.put(kind, key, paper)

    def put(self, kind, key, paper):
        """Keep a paper's words, and how many pictures it has."""
        reader = PdfReader(io.BytesIO(paper.data))
        text = "\n".join(page.extract_text() for page in reader.pages)
        self.words.setdefault((kind, key), []).append(" ".join(text.split()))
        self.pages[kind, key, paper.of] = text, reader
        self.pictures[kind, key] = sum(len(page.images) for page in reader.pages)

    def one(self, kind, key):
        """Return the words of the one paper of a kind."""
        (words,) = self.words[kind, key]
        return words


def papers_of(visit, kind):
    """Yield the papers of one kind that a visit has; none is kept as issued."""
    if kind is PaperKind.PROPOSAL:
        for row in visit.proposals.all():
            yield makers.proposal_paper(proposal_by_edition(visit.number, row.edition))
    elif kind is PaperKind.INVOICE:
        for row in visit.invoices.select_related("visit__watch__owner", "cancels"):
            yield makers.invoice_paper(row)
    else:
        address = "http://bench.example/v/"
        yield paper_of(PaperRequest(kind=kind, visit=visit.number, address=address))


def test_every_paper_of_twelve_visits_says_what_is_so(client, owner_of_workshop, shipped_sizes):
    visits = twelve_visits(client, owner_of_workshop, shipped_sizes)
    shelf = Shelf(visits, SET)
    nothing_is_broken(shelf)
    no_page_is_a_third_empty(visits)
    the_steps_are_told(shelf)
    what_is_hard_is_told(shelf)
    money_is_lawful(shelf)
    tax_not_charged_is_not_asked_for(visits)
    shop = the_workshop()
    shop.paper = "us-letter"
    shop.save()
    some = {key: visits[key] for key in ("looked-over", "arrived")}
    letter = Shelf(some, (PaperKind.REPORT,))
    nothing_is_broken(letter)
    no_page_is_a_third_empty(visits)
    assert letter.one(PaperKind.REPORT, "looked-over").count("Pivot scratched") == 8


def nothing_is_broken(shelf):
    """No page is empty, no word is parted, none is of a form or of the code."""
    for (kind, key, _of), (text, reader) in shelf.pages.items():
        said = (kind, key)
        assert not [words for words in FORMS if words in text], said
        assert not re.search(r"[a-z]-$", text, flags=re.MULTILINE), said
        assert not [page for page in reader.pages if not page.extract_text().strip()], said


def no_page_is_a_third_empty(visits):
    """No page of a report but its last is more than a third empty, looked at as a picture."""
    for key in LONG_REPORTS:
        whole = whole_visit(visits[key].number)
        sheet = balanced_sheet(report(report_of(whole, day=whole.arrived_on)))
        *others, last = (inked(page) for page in pages(sheet, pixels_per_inch=COARSE))
        assert others, key
        assert min(others) >= LEAST_FILLED - ROW_OF_PIXELS, (key, others)
        assert last >= LEAST_LAST, key


def the_steps_are_told(shelf):
    """The title says how far the work is; only done work is told as done."""
    for key, title in (
        ("arrived", "Your watch has arrived: Gold dress watch"),
        ("looked-over", "Report of findings:"),
        ("agreed", "Report of findings:"),
        ("declined", "Report of findings:"),
        ("on-test", "Report so far:"),
        ("ready", "Your watch:"),
        ("gone-home", "Your watch:"),
    ):
        assert title in shelf.one(PaperKind.REPORT, key), key
    for key in ("arrived", "looked-over", "proposed", "agreed", "declined"):
        assert "What we did" not in shelf.one(PaperKind.REPORT, key)
    assert "What we did" in shelf.one(PaperKind.REPORT, "ready")
    assert "We found 40 things that need work." in shelf.one(PaperKind.REPORT, "looked-over")
    assert "Your answer" in shelf.one(PaperKind.PROPOSAL, "proposed")
    assert "What you agreed to, altogether" in shelf.one(PaperKind.PROPOSAL, "gone-home")


def what_is_hard_is_told(shelf):
    """Radium, the diver, the pocket watch, the names and the many photographs."""
    for kind in (PaperKind.REPORT, PaperKind.PROPOSAL, PaperKind.CARE_CARD):
        assert "radium" in shelf.one(kind, "proposed")
        assert "radium" not in shelf.one(kind, "gone-home")
    diver = shelf.one(PaperKind.REPORT, "on-test")
    assert "not tight at 1.00 ± 0.10 bar, bubbles at the crown" in diver
    assert "which may still be radium" in diver
    pocket = shelf.one(PaperKind.BENCH_SHEET, "on-the-bench")
    assert "Silver pocket watch, hunter" in pocket
    assert "".join(LONG_NAME.split()) in shelf.one(PaperKind.REPORT, "arrived").replace(" ", "")
    for kind in (PaperKind.REPORT, PaperKind.PROPOSAL):
        assert set(RIGHT_TO_LEFT) - {" "} <= set(shelf.one(kind, "agreed"))
    assert shelf.pictures[PaperKind.REPORT, "ready"] >= 30
    order = shelf.one(PaperKind.JEWEL_ORDER, "on-the-bench")
    for words in ("0.360 × 2.100 × 0.400", "Olive hole", "Whom to ask", "Wanted by", "quantity 2"):
        assert words in order


def money_is_lawful(shelf):
    """Each kind of invoice names what Article 226 of Directive 2006/112/EC asks of it."""
    deposit, rest = shelf.words[PaperKind.INVOICE, "deposits"]
    assert "Deposit invoice" in deposit
    assert "Supplied on" not in deposit
    assert "Deposit, invoice INV-" in rest
    assert "Norway" in rest
    small, cancelled, margin = shelf.words[PaperKind.INVOICE, "ready"]
    assert "exempt as a small business" in small
    assert "This cancels our invoice" in cancelled
    assert "To be paid" not in cancelled
    assert "Complete overhaul of the movement −1 £" in cancelled
    assert "Reference" not in cancelled
    assert "Margin scheme — Second-hand goods. No tax is shown separately." in margin
    assert "the goods leave the country" in shelf.one(PaperKind.INVOICE, "export")
    charge = shelf.one(PaperKind.INVOICE, "reverse-charge")
    assert "Reverse charge: the customer owes the tax." in charge
    assert "Your VAT number NL000099998B57" in charge
    home = shelf.one(PaperKind.INVOICE, "gone-home")
    for words in ("Your rights", "Tax no. XV 000 7716 20", "Supplied on", "Each without tax",
                  "Tax 20 %", "Paid ", "by email", "Reference INV-"):  # fmt: skip
        assert words in home
    assert "Reverse charge" not in home


def tax_not_charged_is_not_asked_for(visits):
    """What was agreed on holds 20 %: without tax it is 1 / 1.2 of it, to the cent of each line.

    Article 73 of Directive 2006/112/EC: the taxable amount is the price without the tax.
    """
    for key in ("export", "reverse-charge"):
        invoice = visits[key].invoices.get()
        options = visits[key].proposals.get().options.filter(chosen=True)
        agreed = [row for option in options for row in option.lines]
        whole = sum(Decimal(row["each"]) * Decimal(row["quantity"]) for row in agreed)
        asked = invoice_totals(invoice).gross.value
        assert abs(asked - whole / Decimal("1.2")) <= Decimal("0.005") * len(agreed), key
