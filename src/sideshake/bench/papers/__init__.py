"""A visit's records as the values that paper is made of, and as paper."""

from sideshake.bench.papers.business import bill_of
from sideshake.bench.papers.cards import card_of, date_moves
from sideshake.bench.papers.made import (
    bench_paper,
    card_paper,
    invoice_paper,
    labels_paper,
    order_paper,
    parts_paper,
    proposal_paper,
    report_page,
    report_paper,
)
from sideshake.bench.papers.offering import offer_of
from sideshake.bench.papers.report import report_of
from sideshake.bench.papers.words import letterhead
from sideshake.bench.papers.work import bench_of, labels_of

__all__ = [
    "bench_of",
    "bench_paper",
    "bill_of",
    "card_of",
    "card_paper",
    "date_moves",
    "invoice_paper",
    "labels_of",
    "labels_paper",
    "letterhead",
    "offer_of",
    "order_paper",
    "parts_paper",
    "proposal_paper",
    "report_of",
    "report_page",
    "report_paper",
]
