"""The documents: what they say, that they say it whole, and what they leave out."""

import io
import re
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.documents.acceptance import HeardFigures, PositionRow, Proof
from sideshake.documents.blocks import Figures, Paper, Picture, Table
from sideshake.documents.document import document_sheet
from sideshake.documents.einvoice import BillKind
from sideshake.documents.invoice import invoice
from sideshake.documents.labels import Label, label_sheet
from sideshake.documents.page import html_page
from sideshake.documents.proposal import OfferedChoice, OfferedOption, proposal
from sideshake.documents.report import Report, report
from sideshake.documents.typeset import pdf, template_bytes

DAY_TEXT = "2026-11-25"
NASTY = 'He said #let x = $y$ <b>&amp; "quoted" \\end @ref *no* _no_ `no` // no'


def words_of(data: bytes) -> str:
    """The PDF's text as pypdf reads it, white space evened out, hyphens at line ends undone."""
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    return re.sub(r"\s+", " ", text.replace("-\n", ""))


def pages_of(document) -> list[str]:
    """The text of each page."""
    read = PdfReader(io.BytesIO(pdf(document_sheet(document))))
    return [page.extract_text() for page in read.pages]


def set_words(document) -> str:
    return words_of(pdf(document_sheet(document)))


def test_the_report_holds_every_figure_of_the_proof(told):
    words = set_words(report(told))
    for figure in ("−50 ± 5", "208 ± 4", "+6.2 ± 0.4", "272 ± 3", "0.20 ± 0.04", "46.2 ± 0.3 h"):
        assert figure in words


def test_the_report_tells_water_only_with_its_day_and_limits(told):
    words = set_words(report(told))
    assert "held 1 bar, dry (20 November 2026)" in words
    assert "Valid for the day of the test only" in words


def test_no_report_is_called_a_certificate(told):
    assert "no valuation and no certificate" in set_words(report(told))


def test_an_empty_report_has_no_empty_table_and_no_none(told):
    bare = Report(head=told.head, day=told.day, visit="1", watch="Watch", owner="Owner")
    document = report(bare)
    assert not any(isinstance(block, Table) for block in document.blocks)
    assert "None" not in set_words(document)
    assert "a photograph to open with: choose one at its page" in document.gaps
    assert len(document.gaps) == 9


def test_a_full_report_has_no_gap(told):
    assert report(told).gaps == ()


def test_an_unheard_figure_is_a_dash(told):
    heard = PositionRow(words="dial up", after=HeardFigures(rate_s_per_day=Measured(1, 0.1)))
    document = report(replace(told, proof=Proof(positions=(heard,))))
    table = next(block for block in document.blocks if isinstance(block, Table) and block.numbers)
    assert table.rows == (("dial up", "+1.00 ± 0.20", "–", "–"),)


def test_a_position_in_which_nothing_was_heard_is_refused():
    with pytest.raises(InputError, match="nothing was heard"):
        PositionRow(words="dial up")


def test_the_proposal_holds_every_price_and_how_to_answer(offer):
    words = set_words(proposal(offer))
    for said in ("€240.00", "€60.00", "€252.10", "€47.90", "€300.00", "six weeks", "Version 2"):
        assert said in words
    assert "bench@example.org or +44 1632 960123" in words
    assert "holds until 25 December 2026" in words


CHOICES = (
    OfferedChoice(words="All that we advise", numbers="1", sum="€240.00", limit="within it"),
    OfferedChoice(
        words="All that we advise, and 2", numbers="1, 2", sum="€300.00", limit="over it by €50.00"
    ),
)


def test_the_proposal_says_who_wrote_it_when_and_whether_prices_hold_the_tax(offer):
    dated = replace(
        offer, written_on="25 November 2026", written_by="Edda Renn", tax="All prices include tax."
    )
    words = set_words(proposal(dated))
    for said in ("Written on 25 November 2026", "Written by Edda Renn", "All prices include tax."):
        assert said in words
    bare = set_words(proposal(offer))
    assert "Written by" not in bare
    assert "include tax" not in bare


def test_each_choice_stands_with_its_sum_and_only_a_named_limit_is_held_against_it(offer):
    words = set_words(proposal(replace(offer, choices=CHOICES, limit="€250.00")))
    assert "Your limit: €250.00" in words
    assert "over it by €50.00" in words
    unlimited = tuple(replace(each, limit="") for each in CHOICES)
    bare = set_words(proposal(replace(offer, choices=unlimited)))
    assert "and 2" in bare
    assert "limit" not in bare


def test_an_option_says_how_needed_it_is_and_whose_place_it_takes(offer):
    bush = OfferedOption(title="A bush", price="€100.00", need="possible", instead_of=1)
    words = set_words(proposal(replace(offer, options=(offer.options[0], bush))))
    assert "1. A jewel for the bridge – €240.00 (advised)" in words
    assert "2. A bush – €100.00 (possible, instead of 1)" in words
    assert "tick only one of 1 and 2" in words
    assert "tick only one" not in set_words(proposal(offer))


def test_what_is_agreed_has_one_sum_and_no_box_to_tick(offer):
    words = set_words(proposal(replace(offer, choices=CHOICES, agreed=True)))
    assert "What you agreed to, altogether" in words
    assert "and 2" not in words
    assert "Signature" not in words
    assert "Signature" in set_words(proposal(offer))


def test_the_restorer_is_told_which_option_says_too_little(offer):
    assert proposal(offer).gaps == (
        "the reason for “Polish the case”",
        "the risk of “Polish the case”",
        "what happens without “Polish the case”",
    )


def test_the_invoice_holds_lines_sums_and_where_to_pay(bill):
    words = set_words(invoice(bill))
    for said in ("INV-2026-007", "€67.228", "€200.00", "−€80.00", "€140.00", "account 4711",
                 "12/345/678", "FR 12 345678901", "20 November 2026", "Tax 0 %",
                 "Margin scheme — Second-hand goods.", "withdraw"):  # fmt: skip
        assert said in words, said


# counter-case: what the record does not say is not there
def test_an_invoice_says_nothing_that_it_was_not_told(bill):
    bare = replace(
        bill, to_tax_number="", supplied="", due="", paid=(), left=("", ""), reasons=(), note="",
        rights="", data=b"",
    )  # fmt: skip
    words = set_words(invoice(bare))
    for unsaid in ("VAT number", "Supplied", "Due", "Please pay", "Paid", "Margin", "rights"):
        assert unsaid not in words, unsaid


def test_prices_without_tax_have_no_second_sum(bill):
    lines = tuple(replace(line, gross="") for line in bill.lines)
    table = invoice(replace(bill, lines=lines)).blocks[1]
    assert table.columns[-1] == "Without tax"


def test_a_cancellation_names_the_invoice_and_asks_for_nothing(bill):
    back = replace(
        bill, kind=BillKind.CANCELLATION, cancels="INV-2026-003", cancels_on="2 October 2026",
        due="", left=("", ""),
    )  # fmt: skip
    words = set_words(invoice(back))
    assert "cancels our invoice INV-2026-003 of 2 October 2026 in full" in words
    assert "Please pay" not in words


def test_a_deposit_invoice_says_what_it_is_for(bill):
    words = set_words(invoice(replace(bill, kind=BillKind.DEPOSIT)))
    assert "Deposit invoice INV-2026-007" in words
    assert "work still to be done" in words
    assert "still to be done" not in set_words(invoice(bill))


def test_an_invoice_without_lines_is_refused(bill):
    with pytest.raises(InputError, match="needs a line and a sum"):
        replace(bill, lines=())


def test_four_hundred_words_are_all_there(told):
    document = report(replace(told, story="word " * 400))
    assert set_words(document).count("word") == 400


@pytest.mark.parametrize("nasty", [NASTY, "محمد بن علي", "x" * 300])
def test_any_text_is_set_as_it_is_written(told, nasty):
    document = report(replace(told, story=nasty, owner=nasty[:60], watch=nasty[:40]))
    data = pdf(document_sheet(document))
    squeezed = words_of(data).replace(" ", "").replace("-", "")
    if nasty.isascii():
        assert nasty.replace(" ", "").replace("-", "") in squeezed
    else:
        assert any("\u0600" <= letter <= "\u06ff" for letter in squeezed + letters_of(data))


def letters_of(data: bytes) -> str:
    """Arabic may be read back in its joined forms (U+FE70 and following)."""
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    return "".join("\u0600" for letter in text if "\ufb50" <= letter <= "\ufeff")


PLAIN = st.text(st.characters(codec="latin-1", categories=("L", "N", "P", "S")), max_size=30)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rate=st.floats(-900, 900), u=st.floats(0.01, 50), swing=st.floats(100, 340), title=PLAIN)
def test_whatever_was_measured_stands_in_the_report(told, rate, u, swing, title):
    heard = HeardFigures(rate_s_per_day=Measured(rate, u), amplitude_deg=Measured(swing, u))
    position = PositionRow(words=f"dial up {title}", after=heard)
    words = set_words(report(replace(told, proof=Proof(positions=(position,)))))
    bare = words.replace(" ", "")
    assert Measured(rate, u).text(sign=True).replace(" ", "") in bare
    assert Measured(swing, u).text().replace(" ", "") in bare


def test_us_letter_is_us_letter(told):
    data = pdf(document_sheet(report(replace(told, paper=Paper.US_LETTER))))
    box = PdfReader(io.BytesIO(data)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((612, 792), abs=0.5)


def test_two_pictures_of_one_name_are_refused(told):
    twice = (told.portrait, told.portrait)
    with pytest.raises(InputError, match="share a name"):
        replace(report(told), blocks=(Figures(pictures=twice),))


def test_a_picture_of_another_kind_is_refused():
    with pytest.raises(InputError, match="SVG, PNG or JPEG"):
        Picture(name="front.heic", data=b"", alt="")


def test_the_page_to_mail_carries_its_pictures_and_escapes_text(told):
    page = html_page(report(replace(told, story=NASTY)))
    assert "&lt;b&gt;&amp;amp; &quot;quoted&quot;" in page
    assert page.count("data:image/png;base64,") == 2
    assert "http" not in re.sub(r"data:[^\"]*", "", page)


def test_no_word_of_the_page_to_mail_is_broken_while_there_is_room():
    """`overflow-wrap: anywhere` counts any break when a column's width is chosen: befor|e."""
    style = template_bytes("document.css").decode()
    assert "anywhere" not in style
    assert "break-word" in style  # a word longer than the page is still broken


def test_a_table_without_rows_is_refused():
    with pytest.raises(InputError, match="leave the block out"):
        Table(columns=("a",), rows=())


def test_a_label_opens_its_visit():
    # decoded by an independent reader would be better; none is at hand without a system library
    label = Label(visit="2026-014", watch="Watch", what="bridge", address="http://127.0.0.1:8137/v")
    words = words_of(pdf(label_sheet((label,), day=report_day())))
    assert "2026-014" in words


def report_day():
    from datetime import date

    return date.fromisoformat(DAY_TEXT)


def places_used(first, paper=Paper.A4, count=3):
    """Where the codes lie on each page, from the left and from the top, mm."""
    label = Label(visit="2026-014", watch="Watch", what="x", address="http://127.0.0.1/v")
    sheet = label_sheet((label,) * count, day=report_day(), paper=paper, first=first)
    return [sheet.said["used"], len(PdfReader(io.BytesIO(pdf(sheet))).pages)]


def test_labels_begin_at_any_place_of_a_sheet_begun():
    """A sheet of A4 has 24 places: three labels from the 23rd need a second sheet."""
    assert places_used(1) == [0, 1]
    assert places_used(22) == [21, 1]
    assert places_used(23) == [22, 2]
    assert places_used(10, Paper.US_LETTER) == [9, 2]


@pytest.mark.parametrize(("first", "paper"), [(0, Paper.A4), (25, Paper.A4), (11, Paper.US_LETTER)])
def test_labels_begin_at_no_place_that_is_not_there(first, paper):
    with pytest.raises(InputError, match="labels begin at place 1 to"):
        places_used(first, paper)


def test_a_label_needs_a_web_address():
    with pytest.raises(InputError, match="http address"):
        Label(visit="1", watch="w", what="x", address="javascript:alert(1)")


def test_an_invoice_s_number_stands_once_on_its_first_page_and_at_the_foot_of_the_others(bill):
    many = replace(bill, lines=bill.lines * 30, cancels="", data=b"")
    pages = pages_of(invoice(many))
    assert len(pages) > 1
    as_reference = [page.count(f"Reference {bill.number}") for page in pages]
    assert sum(as_reference) == 1
    found = [page.count(bill.number) for page in pages]
    assert found == [1 + each for each in as_reference]


def test_a_proposal_s_version_stands_at_the_foot_from_the_second_page_on(offer):
    many = replace(offer, options=offer.options * 9)
    first, *others = pages_of(proposal(many))
    assert "version 2" not in first
    assert others
    assert all("proposal 2026-014, version 2" in page for page in others)
