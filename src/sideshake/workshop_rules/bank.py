"""Where an invoice is to be paid: IBAN and BIC checked, and written as they are read.

A wrong digit in an account number sends money astray; the check digits of an IBAN find it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

IBAN_BEGINS = re.compile(r"\b[A-Za-z]{2}[0-9]{2}(?: ?[A-Za-z0-9]){11,30}\b", re.ASCII)
IBAN = re.compile(r"[A-Z]{2}[0-9]{2}[A-Z0-9]{11,30}")
BIC = re.compile(r"[A-Z0-9]{4}[A-Z]{2}[A-Z0-9]{2}(?:[A-Z0-9]{3})?")
"""Four letters or digits of the bank, two of its country, two of the place, three of the branch
(ISO 9362)."""
GROUP = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundIban:
    """An IBAN in a text: where it stands, and its letters without spaces."""

    begin: int
    end: int
    iban: str


def compact(text: str) -> str:
    """Return a number without spaces, in capitals.

    >>> compact("gb82 west 1234 5698 7654 32")
    'GB82WEST12345698765432'
    """
    return re.sub(r"\s", "", text).upper()


def is_iban(text: str) -> bool:
    """Return whether a text without spaces is an IBAN whose check digits are right.

    References
    ----------
    ISO 13616-1 and ISO 7064, MOD 97-10

    Examples
    --------
    >>> is_iban("GB82WEST12345698765432"), is_iban("GB83WEST12345698765432")
    (True, False)
    """
    if not IBAN.fullmatch(text):
        return False
    return int("".join(str(int(letter, 36)) for letter in text[4:] + text[:4])) % 97 == 1


def is_bic(text: str) -> bool:
    """Return whether a text without spaces has the shape of a BIC (ISO 9362).

    >>> is_bic("WESTGB2L"), is_bic("WESTGB2LXXX"), is_bic("WESTGB2LX")
    (True, True, False)
    """
    return BIC.fullmatch(text) is not None


def in_groups(iban: str) -> str:
    """Return an IBAN as it is printed: in groups of four (ISO 13616-1).

    >>> in_groups("GB82WEST12345698765432")
    'GB82 WEST 1234 5698 7654 32'
    """
    return " ".join(iban[at : at + GROUP] for at in range(0, len(iban), GROUP))


def ibans_in(text: str) -> Iterator[FoundIban]:
    """Yield the right IBANs in a text, whatever stands before or behind them."""
    for match in IBAN_BEGINS.finditer(text):
        words = match[0].split(" ")
        for count in range(len(words), 0, -1):
            kept = " ".join(words[:count])
            if is_iban(compact(kept)):
                yield FoundIban(
                    begin=match.start(), end=match.start() + len(kept), iban=compact(kept)
                )
                break


def first_iban(text: str) -> str:
    """Return the first right IBAN in a text without spaces; empty where there is none.

    >>> first_iban("IBAN GB82 WEST 1234 5698 7654 32 BIC WESTGB2L")
    'GB82WEST12345698765432'
    >>> first_iban("Porth Averil Bank, account 0000 2291")
    ''
    """
    return next((found.iban for found in ibans_in(text)), "")


def grouped(text: str) -> str:
    """Return a text with its right IBANs in groups of four; all else stays as it is.

    >>> grouped("Bank of West, GB82WEST12345698765432")
    'Bank of West, GB82 WEST 1234 5698 7654 32'
    >>> grouped("account 4711, GB83WEST12345698765432")
    'account 4711, GB83WEST12345698765432'
    """
    for found in reversed(tuple(ibans_in(text))):
        text = text[: found.begin] + in_groups(found.iban) + text[found.end :]
    return text


def pay_to(bank: str, *, iban: str = "", bic: str = "") -> str:
    """Return where to pay, line by line: the account's own words, its IBAN and its BIC.

    What the words name already is not said twice.

    >>> print(pay_to("Bank of West", iban="GB82WEST12345698765432", bic="WESTGB2L"))
    Bank of West
    IBAN GB82 WEST 1234 5698 7654 32
    BIC WESTGB2L
    """
    said = compact(bank)
    lines = [grouped(bank.strip())]
    lines += [f"IBAN {in_groups(iban)}"] if iban and iban not in said else []
    lines += [f"BIC {bic}"] if bic and bic not in said else []
    return "\n".join(filter(None, lines))
