"""Letters that no text may hold: control characters, halves of letters, and what is no character.

PostgreSQL cannot store NUL, XML (and so an e-invoice) none of them, and on a page nobody sees them.
"""

import re

from django.utils.translation import gettext as _

from sideshake.core.errors import InputError

FORBIDDEN = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")
"""All but tab, line feed and return: Unicode's Cc and Cs, and what is never a character."""
BREAKS = re.compile("[\t\n\r]")
"""Only where a field has several lines."""
LONGEST_NAME = 60
FORMULA = (
    *"=+-@\t\r\n \u00a0\u3000",
    *"\uff1d\uff0b\uff0d\uff20",
)
"""A text that begins so is taken for a formula by spreadsheets (OWASP, CSV injection): also after
a line feed or blank that they leave out, and with the full-width signs of East Asian keyboards."""
GUARD = "'"
GUARDED = tuple(GUARD + sign for sign in FORMULA)


def require_letters(text: str, where: str, *, lines: bool = True) -> None:
    """Refuse a text with a letter that it may not hold.

    Parameters
    ----------
    where : what the text is, such as the name of a field
    lines : whether it may have several lines, and tabs

    Raises
    ------
    InputError : it holds one; the message says where and which

    Examples
    --------
    >>> require_letters("two\\nlines", "note")
    >>> require_letters("Ida\\0", "name")
    Traceback (most recent call last):
    ...
    sideshake.core.errors.InputError: name holds a control character, U+0000, as letter 4; ...
    """
    found = FORBIDDEN.search(text)
    if found:
        raise InputError(
            _(
                "%(where)s holds a control character, %(which)s, as letter %(place)d; letters, "
                "digits, signs and blanks are allowed; nothing was changed"
            )
            % told(found, where)
        )
    found = None if lines else BREAKS.search(text)
    if found:
        raise InputError(
            _(
                "%(where)s is one line, and has a line break or tab, %(which)s, as letter "
                "%(place)d; write it in one line; nothing was changed"
            )
            % told(found, where)
        )


def told(found: re.Match[str], where: str) -> dict[str, object]:
    """Return what is said of a letter that was found; a long or strange name is shortened."""
    name = BREAKS.sub(" ", FORBIDDEN.sub("?", where))[:LONGEST_NAME]
    which = f"U+{ord(found.group()):04X}"
    return {"where": name, "which": which, "place": found.start() + 1}


def guarded(text: str) -> str:
    """Return a text as a cell of a table that no spreadsheet takes for a formula.

    >>> guarded("=1+1"), guarded("\uff1d1+1"), guarded("\\n=1"), guarded("1 = 1")
    ("'=1+1", "'\uff1d1+1", "'\\n=1", '1 = 1')
    """
    return GUARD + text if text.startswith(FORMULA) else text


def without_guard(text: str) -> str:
    """Return a cell without blanks round it, and without the sign that `guarded` puts before it.

    >>> without_guard("'+41 44 000"), without_guard(" 'tis old ")
    ('+41 44 000', "'tis old")
    """
    text = text.strip()
    return text[1:].strip() if text.startswith(GUARDED) else text
