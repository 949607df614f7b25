"""No page three quarters empty: a document is set with as much air as fills its pages best."""

import io

import numpy as np
from PIL import Image

from sideshake.paper.blocks import Document
from sideshake.paper.document import document_sheet
from sideshake.paper.typeset import Sheet, pages

AIR = (1.0, 0.85, 0.7, 0.55, 1.25, 1.5, 1.8, 2.2)
"""Sizes of photographs and gaps, as shares of the usual ones, in the order they are tried."""
LEAST_FILLED = 0.25
COARSE = 12.0
"""Pixels per inch of pages that are only looked at for where they end."""
TOP_MM, FOOT_MM, MM_PER_INCH = 16.0, 23.0, 25.4
INK = 235
"""Darker than this grey there is something on the paper."""


def balanced_sheet(document: Document) -> Sheet:
    """Return the document ready for setting, so that no page of several is nearly empty.

    Where no amount of air helps it is set as usual.
    """
    for air in AIR:
        sheet = document_sheet(document, air=air)
        shares = [filled(page) for page in pages(sheet, pixels_per_inch=COARSE)]
        if len(shares) == 1 or min(shares) >= LEAST_FILLED:
            return sheet
    return document_sheet(document)


def filled(page: bytes) -> float:
    """Return which share of a page's height is used, from its top to the last thing on it."""
    grey = np.asarray(Image.open(io.BytesIO(page)).convert("L"))
    top, foot = (round(each / MM_PER_INCH * COARSE) for each in (TOP_MM, FOOT_MM))
    body = grey[top : grey.shape[0] - foot]
    rows = np.flatnonzero((body < INK).any(axis=1))
    return float(rows[-1] + 1) / body.shape[0] if rows.size else 0.0
