"""A visit's records as the values that paper is made of."""

from sideshake.bench.papers.business import bill_of, offer_of
from sideshake.bench.papers.report import card_of, report_of
from sideshake.bench.papers.words import letterhead

__all__ = ["bill_of", "card_of", "letterhead", "offer_of", "report_of"]
