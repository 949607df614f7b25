"""No page half empty: a document is set with as much air as fills its pages best."""

from collections.abc import Sequence
from math import inf

from sideshake.documents.blocks import Document, Paper
from sideshake.documents.document import document_sheet
from sideshake.documents.typeset import PageMark, Sheet, marks

AIR = (1.0, 0.92, 1.1, 0.85, 0.78, 1.25, 0.7, 0.62, 1.5, 1.8, 2.2)
"""Sizes of photographs and gaps, as shares of the usual ones, in the order they are tried."""
TIGHT_AIR = (1.0, 0.92, 0.85, 0.78, 0.7, 1.1, 1.25, 1.4, 1.6)
"""Of letters, which are set on as few pages as can be; photographs stay large enough to be read."""
LEAST_FILLED, LEAST_LAST = 2 / 3, 0.25
"""So full is every page but the last at least, and the last where there are several."""
TOP_MM, FOOT_MM = 18.0, 22.0
"""The margins of document.typ."""
HIGH_MM = {Paper.A4: 297.0, Paper.US_LETTER: 279.4}


def balanced_sheet(document: Document) -> Sheet:
    """Return the document ready for setting, so that its pages are as full as they can be.

    Where no amount of air fills them all, the one that leaves least out counts, the usual first.
    One that is to be tight is on as few pages as can be, before they are filled.
    """
    if document.tight:
        return tight_sheet(document)
    best, least_lack = 1.0, inf
    for air in AIR:
        lack = lacking(shares_at(document, air))
        if lack < least_lack:
            best, least_lack = air, lack
        if not lack:
            break
    return document_sheet(document, air=best)


def tight_sheet(document: Document) -> Sheet:
    """Return the document on as few pages as can be, and those as full as that allows."""
    best, shares = 1.0, shares_at(document, 1.0)
    if len(shares) == 1:
        return document_sheet(document)
    fewest = len(shares_at(document, min(TIGHT_AIR)))
    least = len(shares), lacking(shares)
    for air in TIGHT_AIR[1:]:
        if least == (fewest, 0.0):
            break
        shares = shares_at(document, air)
        cost = len(shares), lacking(shares)
        if cost < least:
            best, least = air, cost
    return document_sheet(document, air=best)


def shares_at(document: Document, air: float) -> list[float]:
    """Return which share of each page is used with so much air."""
    return filled(marks(document_sheet(document, air=air)), document.paper)


def lacking(shares: Sequence[float]) -> float:
    """Return by how much the emptiest pages are too empty; a page that stands alone may be short.

    >>> lacking([0.4]), lacking([0.9, 0.3]), round(lacking([0.5, 0.9, 0.2]), 3)
    (0.0, 0.0, 0.217)
    """
    *others, last = shares
    if not others:
        return 0.0
    return max(0.0, LEAST_FILLED - min(others)) + max(0.0, LEAST_LAST - last)


def filled(found: Sequence[PageMark], paper: Paper) -> list[float]:
    """Return which share of each page's height is used, from its top to the last thing on it.

    Parameters
    ----------
    found : where words and pictures begin and end, in turn; what ends on a later page than it
        began on fills the pages before that one
    """
    body_mm = HIGH_MM[paper] - TOP_MM - FOOT_MM
    last = max((each.page for each in found), default=1)
    shares = [0.0] * last
    for begin, end in zip(found[::2], found[1::2], strict=True):
        for page in range(begin.page, end.page):
            shares[page - 1] = 1.0
        shares[end.page - 1] = max(shares[end.page - 1], (end.down_mm - TOP_MM) / body_mm)
    return shares
