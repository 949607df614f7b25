"""What stands on a PDF, as pypdf reads it."""

import io
import re

from pypdf import PdfReader


def words_of(data: bytes) -> str:
    """The text of all pages: white space evened out, words broken at line ends joined again."""
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    return re.sub(r"\s+", " ", re.sub(r"(?:\xad|-)\s*\n", "", text))


def letters_of(data: bytes) -> str:
    """The text without any white space or hyphen: for words that a line's end may have parted."""
    return re.sub(r"[\s\xad‐-]", "", words_of(data))
