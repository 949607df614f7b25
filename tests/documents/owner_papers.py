"""Each paper of the owner as one text, from the record that a case of a sentence names."""

import re
from dataclasses import replace
from datetime import date
from html import unescape

from sideshake.core.quantities import Measured
from sideshake.documents.acceptance import Proof
from sideshake.documents.blocks import Letterhead
from sideshake.documents.care_card import CareCard, card_sheet, care_card
from sideshake.documents.invoice import Bill, BillLine, RateRow, invoice
from sideshake.documents.page import html_page
from sideshake.documents.proposal import Offer, OfferedOption, proposal
from sideshake.documents.report import Report, report
from sideshake.documents.result import FindingsSeen, Ran, Result, WorkStage, result_words
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.workshop_rules.acceptance import checks_before_home
from sideshake.workshop_rules.acceptance_told import Ticked
from sideshake.workshop_rules.acceptance_told import told as told_of
from sideshake.workshop_rules.cautions import KnownOfWatch
from sideshake.workshop_rules.owner_cautions import owner_cautions

DAY = date(2026, 11, 25)
HEAD = Letterhead(name="Werkstatt Aldermoor", email="a@example.org", phone="01632 960123",
                  bank="account 4711", tax_number="12/345")  # fmt: skip


def text_of(document) -> str:
    """Return all words of a document, its title, cells and foot included."""
    page = re.sub(r"<style>.*?</style>", " ", html_page(document), flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def reported(**more) -> str:
    return text_of(report(Report(head=HEAD, day=DAY, visit="2026-001", watch="W", owner="O",
                                 **more)))  # fmt: skip


def proved(**more) -> str:
    return reported(proof=Proof(**more))


def summed(
    stage=WorkStage.DONE, *, now=(), hours=None, came=(), ran=None, not_good=(), **seen
) -> str:
    def rates(values):
        return tuple(Measured(*each) for each in values)

    return result_words(Result(
        stage=stage, now=Ran(rates_s_per_day=rates(now), running_h=hours and Measured(*hours)),
        came=Ran(rates_s_per_day=rates(came)), ran_when_it_came=ran, seen=FindingsSeen(**seen),
        not_good=not_good,
    ))  # fmt: skip


def offered(*options, **more) -> str:
    options = options or (OfferedOption(title="Overhaul", price="£9"),)
    return text_of(proposal(Offer(
        head=more.pop("head", HEAD), day=DAY, visit="2026-001", watch="W", edition=1, to="O",
        options=options, total=more.pop("total", (("Total", "£9"),)), **more,
    )))  # fmt: skip


def option(**more) -> OfferedOption:
    return OfferedOption(title="Jewel", price="£5", **more)


def one_of_them(two=(), **more) -> str:
    return offered(*(two or (option(**more),)))


def billed(**more) -> str:
    row = RateRow(words="Tax 20 %", net="8", tax="2", gross="10")
    total = replace(row, words="Total")
    line = BillLine(what="Overhaul", quantity="1", each="8", tax="20 %", net="8",
                    gross=more.pop("gross", ""))  # fmt: skip
    return text_of(invoice(Bill(
        head=more.pop("head", HEAD), day=DAY, number="INV-1", visit="2026-001", watch="W", to="O",
        issued="today", lines=(line,), rates=(row,), total=total, **more,
    )))  # fmt: skip


def carded(sheet=None, **more) -> str:
    card: CareCard = care_card(sheet and shipped_sheet(sheet), watch="W", workshop="S")
    said = card_sheet(replace(card, **more), day=DAY).said
    return " ".join(str(value) for value in said.values())


def cautioned(sheet=None, date_words="", **known) -> str:
    sheet = sheet and shipped_sheet(sheet)
    found = owner_cautions(KnownOfWatch(**known), sheet, date_words=date_words)
    return " ".join(f"{each.title}: {each.text}" for each in found)


def result_of(key, **more) -> str:
    check = {each.key: each for each in checks_before_home(shipped_sheet("lindquell-25"))}[key]
    said = told_of(Ticked(title="T", unit=check.unit, **more), check)
    return f"{said.value} {said.limit} {said.says}" if said else ""
